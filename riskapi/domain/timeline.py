"""Two clocks of a car: years since it was built, and kilometres, plain and effective (model: timeline).

t is years since the build date, x(t) the odometer [km], y(t) the effective odometer (distance weighted with
the stress in force) and z(t) the effective age, both piecewise linear like x. All three start at 0 at t = 0.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from riskapi.domain.sentence import Kilometres, told

Floats = npt.NDArray[np.float64]

DAYS_PER_YEAR = 365.25
IMPLAUSIBLE_KM_PER_YEAR = 150_000.0  # common practice, no source: more than 400 km on every day of a year
SAME_DAYS = 0.05  # [years]: readings closer than this say nothing about a rate


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
    """x(t) [km] as knots over t [years]; `now` is the age at the assessment, `annual` the buyer's distance [km/year].

    `horizon` is the age at the end of the ownership period [years]; `facts` are sentences about readings that disagree.
    """

    t: Floats
    x: Floats
    now: float
    annual: float
    horizon: float
    facts: tuple[str, ...]

    def odometer(self, t: Floats | float) -> Floats:
        """x at times t [years], any shape; the knots reach one year beyond the horizon."""
        return np.asarray(np.interp(np.asarray(t), self.t, self.x))

    def time_at(self, x: Floats | float) -> Floats:
        """First time [years] at which the odometer reaches x [km]; infinite beyond the last knot."""
        keep = np.concatenate(([True], np.diff(self.x) > 0))
        return np.asarray(np.interp(np.asarray(x), self.x[keep], self.t[keep], right=np.inf))

    def kinks(self) -> tuple[float, ...]:
        """Times before the assessment at which the rate changes."""
        return tuple(float(t) for t in self.t if 0.0 < t < self.now)


def build_timeline(
    readings: Sequence[Reading], now: float, odometer_now: float, annual: float, years: float
) -> Timeline:
    """Knots through (0, 0), the readings and (now, odometer_now), then at the annual distance for `years` and one more.

    Where a reading falls, the cautious path is taken: the drop is added to everything after it, so the car is
    scored with the distance that both readings can be true of. Each disagreement becomes a fact, neutrally worded.
    """
    points = [*sorted(readings, key=lambda r: (r.t, r.x)), Reading(now, odometer_now, told("the assessment"))]
    times, distances = _cautious_path(points)
    end = now + max(years, 0.0)
    beyond = end + 1.0
    return Timeline(
        t=np.array([*times, beyond]),
        x=np.array([*distances, distances[-1] + annual * (beyond - now)]),
        now=now,
        annual=annual,
        horizon=end,
        facts=_disagreements(points),
    )


def _cautious_path(points: Sequence[Reading]) -> tuple[list[float], list[float]]:
    """Knots (t, x) from (0, 0) that never fall; of readings at the same time the longest counts."""
    times, distances = [0.0], [0.0]
    added, last = 0.0, 0.0
    for point in points:
        added += max(last - point.x, 0.0)
        last = point.x
        if point.t > times[-1]:
            times.append(point.t)
            distances.append(point.x + added)
        else:
            distances[-1] = max(distances[-1], point.x + added)
    return times, distances


def _disagreements(points: Sequence[Reading]) -> tuple[str, ...]:
    """What the reader should ask about: readings that fall, and a rate no car drives."""
    facts = []
    for before, after in pairwise([Reading(0.0, 0.0, told("the build date")), *points]):
        if after.x < before.x:
            facts.append(
                told(
                    "The readings of {before} ({short}) and {after} ({long}) disagree; ask. The figures here are "
                    "computed with the longer distance.",
                    before=before.label,
                    short=Kilometres(before.x),
                    after=after.label,
                    long=Kilometres(after.x),
                )
            )
        years = after.t - before.t
        if years > SAME_DAYS and (after.x - before.x) / years > IMPLAUSIBLE_KM_PER_YEAR:
            facts.append(
                told(
                    "Between {before} and {after} the readings rise faster than a car is driven; ask which is right.",
                    before=before.label,
                    after=after.label,
                )
            )
    return tuple(facts)


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

    def at(self, t: Floats | float) -> tuple[Floats, Floats]:
        """(y, z) at times t [years], any shape; before 0 both are 0."""
        times = np.asarray(t)
        return np.asarray(np.interp(times, self.t, self.y)), np.asarray(np.interp(times, self.t, self.z))


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
