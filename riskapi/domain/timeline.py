"""Two clocks of a car: years since it was built, and kilometres, plain and effective (model: timeline).

t is years since the build date, x(t) the odometer [km], y(t) the effective odometer (distance weighted with
the stress in force) and z(t) the effective age, both piecewise linear like x. All three start at 0 at t = 0.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

DAYS_PER_YEAR = 365.25
IMPLAUSIBLE_KM_PER_YEAR = 150_000.0  # common practice, no source: more than 400 km on every day of a year


def years_between(start: date, end: date) -> float:
    """Years from `start` to `end` (Julian years of 365.25 days)."""
    return (end - start).days / DAYS_PER_YEAR


@dataclass(frozen=True, slots=True)
class Reading:
    """An odometer reading: t [years since build], x [km], and the date in words for facts."""

    t: float
    x: float
    label: str


@dataclass(frozen=True, slots=True)
class Timeline:
    """x(t) as knots; `now` is the age at the assessment [years], `annual` the buyer's distance [km/year]."""

    t: Floats
    x: Floats
    now: float
    annual: float
    horizon: float
    facts: tuple[str, ...]

    def odometer(self, t: npt.ArrayLike) -> Floats:
        """x at times t [years]; linear beyond the last knot is never needed, the knots reach the horizon."""
        return np.asarray(np.interp(t, self.t, self.x))

    def time_at(self, x: npt.ArrayLike) -> Floats:
        """First time [years] at which the odometer reaches x [km]; infinite beyond the horizon."""
        keep = np.concatenate(([True], np.diff(self.x) > 0))
        return np.asarray(np.interp(x, self.x[keep], self.t[keep], right=np.inf))

    def kinks(self) -> tuple[float, ...]:
        """Times before the assessment at which the rate changes."""
        return tuple(float(t) for t in self.t if 0.0 < t < self.now)


def build_timeline(
    readings: Sequence[Reading], now: float, odometer_now: float, annual: float, years: float
) -> Timeline:
    """Knots through (0, 0), the readings and (now, odometer_now), then at the annual distance for `years`.

    Where a reading falls, the cautious path is taken: the drop is added to everything after it, so the car is
    scored with the distance that both readings can be true of. Each disagreement becomes a fact, neutrally worded.
    """
    points = [*sorted(readings, key=lambda r: (r.t, r.x)), Reading(now, odometer_now, "the assessment")]
    times, distances, facts = [0.0], [0.0], []
    offset, previous = 0.0, Reading(0.0, 0.0, "the build date")
    for point in points:
        if point.x < previous.x:
            offset += previous.x - point.x
            facts.append(
                f"The readings of {previous.label} ({previous.x:,.0f} km) and {point.label} ({point.x:,.0f} km) disagree; "
                f"ask. The figures here are computed with the longer distance."
            )
        elapsed = point.t - previous.t
        if elapsed > 0.05 and (point.x - previous.x) / elapsed > IMPLAUSIBLE_KM_PER_YEAR:
            facts.append(
                f"Between {previous.label} and {point.label} the readings rise faster than a car is driven; ask which is right."
            )
        if point.t > times[-1]:
            times.append(point.t)
            distances.append(point.x + offset)
        else:
            distances[-1] = max(distances[-1], point.x + offset)
        previous = point
    end = now + max(years, 0.0)
    beyond = end + 1.0
    return Timeline(
        t=np.array([*times, beyond]),
        x=np.array([*distances, distances[-1] + annual * (beyond - now)]),
        now=now,
        annual=annual,
        horizon=end,
        facts=tuple(facts),
    )


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of time [start, end) [years] in which both clocks run at these factors [1]."""

    start: float
    end: float
    distance_factor: float
    age_factor: float


@dataclass(frozen=True, slots=True)
class Clocks:
    """Effective odometer y [km] and effective age z [years] as knots over t [years]."""

    t: Floats
    y: Floats
    z: Floats

    def at(self, t: npt.ArrayLike) -> tuple[Floats, Floats]:
        """(y, z) at times t; before 0 both are 0."""
        return np.asarray(np.interp(t, self.t, self.y)), np.asarray(np.interp(t, self.t, self.z))


def effective_clocks(timeline: Timeline, spans: Sequence[Span]) -> Clocks:
    """y(t) = integral of m dx, z(t) = integral of m dt, m the product of the spans' factors in force."""
    edges = {float(t) for t in timeline.t}
    edges.update(e for span in spans for e in (span.start, span.end) if 0.0 < e < timeline.t[-1])
    t = np.array(sorted(edges))
    middle = 0.5 * (t[1:] + t[:-1])
    m_distance, m_age = np.ones_like(middle), np.ones_like(middle)
    for span in spans:
        inside = (middle >= span.start) & (middle < span.end)
        m_distance[inside] *= span.distance_factor
        m_age[inside] *= span.age_factor
    y = np.concatenate(([0.0], np.cumsum(m_distance * np.diff(timeline.odometer(t)))))
    z = np.concatenate(([0.0], np.cumsum(m_age * np.diff(t))))
    return Clocks(t, y, z)
