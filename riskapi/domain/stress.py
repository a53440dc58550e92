"""Which stress was in force when: oil service documented or not, tune, past use and the buyer's use."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from riskapi.domain.case import Case
from riskapi.domain.knowledge import CARES, Pack, WeakPoint
from riskapi.domain.timeline import Span, Timeline

STRETCHED = "stretched_oil_service"
TUNE = "software_tune"
TOLERANCE = 1.3  # common practice, no source: a service up to 30 % late still counts as in time
EVER = 1.0e6
DOCUMENTS = ("invoice", "stamp")


@dataclass(frozen=True, slots=True)
class OilHistory:
    """Stretches [(start, end)] of years without documented oil service in time."""

    undocumented: tuple[tuple[float, float], ...]


def oil_history(
    case: Case, pack: Pack, timeline: Timeline, services: Sequence[tuple[float, float | None]]
) -> OilHistory:
    """From the documented services (t [years], odometer [km] or None), the stretches that nothing documents."""
    limit_km = TOLERANCE * pack.defaults.oil_service_km
    limit_years = TOLERANCE * pack.defaults.oil_service_years
    stops = [(0.0, 0.0)]
    stops += sorted((t, x if x is not None else float(timeline.odometer(t))) for t, x in services)
    stops.append((timeline.now, float(timeline.odometer(timeline.now))))
    gaps = [
        (a, b)
        for (a, xa), (b, xb) in zip(stops, stops[1:], strict=False)
        if b > a and (b - a > limit_years or xb - xa > limit_km)
    ]
    return OilHistory(tuple(gaps))


def spans_of(
    weak_point: WeakPoint, case: Case, pack: Pack, oil: OilHistory, care: str, tuned: bool, now: float
) -> tuple[Span, ...]:
    """Spans of one weak point's stress factors under a care and with or without a software tune."""
    spans: list[Span] = []
    for stress in weak_point.stresses:
        for start, end, share in _in_force(stress.condition, case, pack, oil, care, tuned, now):
            factor = 1.0 + share * (stress.factor - 1.0)
            if factor != 1.0:
                by_distance = stress.clock == "distance"
                spans.append(Span(start, end, factor if by_distance else 1.0, 1.0 if by_distance else factor))
    return tuple(spans)


def _in_force(
    condition: str, case: Case, pack: Pack, oil: OilHistory, care: str, tuned: bool, now: float
) -> list[tuple[float, float, float]]:
    """(start, end, share of the distance) of a stress condition."""
    if condition == TUNE:
        return [(0.0, EVER, 1.0)] if tuned else []
    found: list[tuple[float, float, float]] = []
    if condition == STRETCHED:
        share = 1.0 if STRETCHED in case.usage.past else pack.defaults.care[CARES.index(care)].stretched_share
        found += [(start, end, share) for start, end in oil.undocumented]
    elif condition in case.usage.past:
        found.append((0.0, now, 1.0))
    if condition in case.usage.planned:
        found.append((now, EVER, 1.0))
    return found
