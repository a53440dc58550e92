"""Severities of every weak point at a price level, planned services, and what immediate jobs share in access."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from riskapi.domain.assessment import PlannedItem
from riskapi.domain.costing import Prices, PriceTable
from riskapi.domain.jobs import Outcome, PriceLevel, Severity, make_job, severity
from riskapi.domain.knowledge import FAULTY, Family, OutcomeTable, Pack, Traits
from riskapi.domain.lanes import LaneSet
from riskapi.domain.timeline import Floats, Timeline
from riskapi.domain.traits import settled


def price_table(pack: Pack, level: PriceLevel, lanes: LaneSet) -> PriceTable:
    """(weak point, candidate) -> severities; equal tables under equal traits are built once."""
    result = {}
    for w, wp in enumerate(lanes.weak_points):
        planned = next((part.planned.operation for part in wp.parts if part.planned), None)
        for c, candidate in enumerate(lanes.candidates):
            traits = settled(wp.applies, candidate.traits)
            result[w, c] = Prices(
                _severity(pack, wp.id, "in_service", _asked(wp.in_service, traits), level),
                _severity(pack, wp.id, "found_faulty", _asked(wp.found_faulty, traits), level),
                _renewal(pack, planned, level) if planned is not None else None,
            )
    return result


def _asked(table: OutcomeTable, traits: Traits) -> Traits:
    """Only the traits that decide something in this table."""
    asked = {name for row in table.rows for name, _ in row.when.terms}
    return Traits(tuple((name, value) for name, value in traits.items if name in asked))


@lru_cache(maxsize=4096)
def _severity(pack: Pack, weak_point: str, table: str, traits: Traits, level: PriceLevel) -> Severity:
    return severity(getattr(pack.weak_point(weak_point), table), traits, pack, level)


@lru_cache(maxsize=512)
def _renewal(pack: Pack, operation: str, level: PriceLevel) -> Severity:
    job = make_job((operation,), pack, level)
    return Severity((Outcome(1.0, job, pack.operation(operation).name),), (), None)


def service_items(family: Family | None, pack: Pack, level: PriceLevel, timeline: Timeline) -> tuple[PlannedItem, ...]:
    """Services at an interval: how often they fall due in the ownership period, at full intervals from new."""
    if family is None:
        return ()
    start, end = timeline.now, timeline.horizon
    x_start, x_end = (float(timeline.odometer(t)) for t in (start, end))
    items = []
    for service in family.services:
        by_distance = _due(x_start, x_end, service.distance_km)
        by_age = _due(start, end, service.age_years)
        times = max(by_distance, by_age)
        if times:
            cost = make_job((service.operation,), pack, level).mean
            items.append(PlannedItem(service.id, service.name, float(times), times * cost))
    return tuple(items)


def _due(start: float, end: float, interval: float | None) -> int:
    return 0 if not interval else int(np.floor(end / interval + 1e-9) - np.floor(start / interval + 1e-9))


def shared_access_saving(prices: PriceTable, count: int, candidate: int, states: Floats, level: PriceLevel) -> float:
    """Mean saving if immediate jobs share their access: sum over steps of hours * (E[jobs] - P(at least one)).

    `states` (W, 3) of `count` weak points, taken as independent given the findings, each with its likeliest job;
    money with tax.
    """
    jobs: dict[str, tuple[float, list[float]]] = {}
    for w in range(count):
        outcomes = prices[w, candidate].found.outcomes
        likeliest = max(outcomes, key=lambda outcome: outcome.chance)
        for step, hours in likeliest.job.access:
            jobs.setdefault(step, (hours, []))[1].append(float(states[w, FAULTY]))
    saved = sum(hours * (sum(p) - (1.0 - float(np.prod(1.0 - np.array(p))))) for hours, p in jobs.values())
    return saved * level.labour_rate * (1.0 + level.tax)
