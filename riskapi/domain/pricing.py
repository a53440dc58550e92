"""Severities of every weak point at a price level, planned services, and what immediate jobs share in access."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from riskapi.domain.assessment import PlannedItem
from riskapi.domain.costing import Prices, PriceTable
from riskapi.domain.identify import EngineIdentity, settled
from riskapi.domain.jobs import Outcome, PriceLevel, Severity, make_job, severity
from riskapi.domain.knowledge import FAULTY, Family, OutcomeTable, Pack, PartRevision, Traits, WeakPoint
from riskapi.domain.timeline import Floats, Timeline


def price_table(
    pack: Pack, level: PriceLevel, identity: EngineIdentity, weak_points: Sequence[WeakPoint]
) -> PriceTable:
    """(weak point, candidate) -> severities; equal tables under equal traits are built once."""
    known: dict[tuple[object, ...], Severity] = {}

    def one(table: OutcomeTable, traits: Traits) -> Severity:
        asked = {name for row in table.rows for name, _ in row.when.terms}
        key = (id(table), tuple((name, traits.get(name)) for name in sorted(asked)))
        if key not in known:
            known[key] = severity(table, traits, pack, level)
        return known[key]

    def renewal(part: PartRevision | None) -> Severity | None:
        if part is None or part.planned is None:
            return None
        key = ("planned", part.planned.operation)
        if key not in known:
            job = make_job((part.planned.operation,), pack, level)
            known[key] = Severity((Outcome(1.0, job, part.name),), (), None)
        return known[key]

    result = {}
    for w, wp in enumerate(weak_points):
        planned = renewal(next((part for part in wp.parts if part.planned), None))
        for c, candidate in enumerate(identity.candidates):
            traits = settled(wp.applies, candidate.traits)
            result[w, c] = Prices(one(wp.in_service, traits), one(wp.found_faulty, traits), planned)
    return result


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


def shared_access_saving(
    prices: PriceTable, weak_points: Sequence[WeakPoint], candidate: int, faulty: Floats, level: PriceLevel
) -> float:
    """Mean saving if immediate jobs share their access: sum over steps of hours * (E[jobs] - P(at least one)).

    Weak points are taken as independent given the findings, each with its likeliest job; money with tax.
    """
    jobs: dict[str, tuple[float, list[float]]] = {}
    for w in range(len(weak_points)):
        outcomes = prices[w, candidate].found.outcomes
        likeliest = max(outcomes, key=lambda outcome: outcome.chance)
        for step, hours in likeliest.job.access:
            jobs.setdefault(step, (hours, []))[1].append(float(faulty[w, FAULTY]))
    saved = sum(hours * (sum(p) - (1.0 - float(np.prod(1.0 - np.array(p))))) for hours, p in jobs.values())
    return saved * level.labour_rate * (1.0 + level.tax)
