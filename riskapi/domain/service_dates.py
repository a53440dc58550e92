"""When services at an interval fall due, at full intervals from new, and what bringing one forward to day 0 gains."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from riskapi.domain.knowledge import PlannedService
from riskapi.domain.timeline import Timeline

SLACK = 1e-9


@dataclass(frozen=True, slots=True)
class DueService:
    """Years after purchase at which a service falls due in the term: by the usual count, and after one on day 0."""

    service: PlannedService
    usual: tuple[float, ...]
    renewed: tuple[float, ...]


def due_service(service: PlannedService, timeline: Timeline) -> DueService:
    """By the clock that counts more often, as the planned cost counts them; after day 0 by whichever comes first."""
    years = timeline.horizon - timeline.now
    by_age = _marks(timeline.now, timeline.horizon, service.age_years)
    start, end = (float(timeline.odometer(t)) for t in (timeline.now, timeline.horizon))
    by_distance = [float(timeline.time_at(x)) for x in _marks(start, end, service.distance_km)]
    usual = by_distance if len(by_distance) > len(by_age) else by_age
    return DueService(
        service,
        tuple(min(max(t - timeline.now, 0.0), years) for t in usual),
        tuple(_marks(0.0, years, _first_interval(service, timeline))),
    )


def _marks(start: float, end: float, interval: float | None) -> list[float]:
    """Whole multiples of the interval in (start, end]."""
    if not interval:
        return []
    first, last = (int(np.floor(x / interval + SLACK)) for x in (start, end))
    return [k * interval for k in range(first + 1, last + 1)]


def _first_interval(service: PlannedService, timeline: Timeline) -> float | None:
    """The interval in years of the buyer's use, whichever clock comes first; None without any."""
    spans = [service.age_years] if service.age_years else []
    if service.distance_km and timeline.annual > 0.0:
        spans.append(service.distance_km / timeline.annual)
    return min(spans, default=None)


def gain_of_now(due: DueService, cost: float, rate: float) -> float:
    """Discounted money no longer spent on this service later if it is done on day 0, before that is paid [money]."""
    return cost * (_worth(due.usual, rate) - _worth(due.renewed, rate))


def _worth(times: tuple[float, ...], rate: float) -> float:
    return float(sum((1.0 + rate) ** -t for t in times))
