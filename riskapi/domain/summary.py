"""The last step: cost and risk records, who the engine is, and the decision."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from riskapi.domain.advice import advise, dangerous, work_now
from riskapi.domain.assessment import (
    Cost,
    Coverage,
    Decision,
    FixedChance,
    Identification,
    Identified,
    Inputs,
    PlannedItem,
    Risk,
    WeakPointInputs,
    WeakPointResult,
)
from riskapi.domain.band import COMBINATIONS, POINTS, band_of, node_scores
from riskapi.domain.case import Case
from riskapi.domain.costing import PriceTable, distribution, make_transforms, unplanned
from riskapi.domain.export import GENERIC
from riskapi.domain.identify import EngineIdentity
from riskapi.domain.jobs import default_level
from riskapi.domain.knowledge import FAULTY, Pack
from riskapi.domain.lanes import Root, lane_set
from riskapi.domain.lattice import beyond, make_lattice
from riskapi.domain.lifetime import doubt_nodes
from riskapi.domain.money import (
    Curves,
    Means,
    chance_of,
    curves,
    fixed_chances,
    horizon_means,
    planned_spread,
    spread_of,
    year_costs,
)
from riskapi.domain.outlook import MassTable, Outlook, look_ahead
from riskapi.domain.posterior import Posterior
from riskapi.domain.pricing import price_table, service_items, shared_access_saving
from riskapi.domain.terms import Terms

FIXED_POINTS = 256


def cost_and_risk(
    case: Case,
    pack: Pack,
    identity: EngineIdentity,
    terms: Terms,
    outlook: Outlook,
    posterior: Posterior,
    table: MassTable,
    prices: PriceTable,
    means: Means,
    results: Sequence[WeakPointResult],
    nodes: int,
) -> tuple[Cost, Risk]:
    """Distributions, figures by year, score with its band, after-work score and fixed chances."""
    mean = float(means.unplanned.sum())
    drawn = curves(outlook, posterior, prices, terms.budget, mean)
    services = service_items(identity.family, pack, terms.level, outlook.lanes.timeline)
    cost = _cost(pack, terms, outlook, posterior, table, prices, means, drawn, services)
    work = work_now(results)
    return cost, Risk(
        score=100.0 * float(beyond(drawn.whole, drawn.lattice, terms.budget)),
        band=_band(outlook, posterior, prices, terms, drawn),
        band_sample_size=float(COMBINATIONS),
        repair_budget=terms.budget,
        budget_origin=terms.budget_origin,
        after_work_score=_after_work(outlook, posterior, drawn, terms, work),
        work=work,
        fixed=_fixed(case, pack, identity, outlook, posterior, nodes),
    )


def _cost(
    pack: Pack,
    terms: Terms,
    outlook: Outlook,
    posterior: Posterior,
    table: MassTable,
    prices: PriceTable,
    means: Means,
    drawn: Curves,
    services: tuple[PlannedItem, ...],
) -> Cost:
    nothing_now = table.masses.copy()
    nothing_now[:, FAULTY] = 0.0
    at_once = float(means.immediate.sum())
    level, names = terms.level, outlook.lanes.weak_points
    saving = shared_access_saving(prices, names, _likeliest(posterior), posterior.state.sum(axis=2), level)
    renewals = tuple(
        PlannedItem(wp.id, wp.name, float(times), float(money))
        for wp, times, money in zip(names, means.renewals, means.planned, strict=True)
        if money > 0.0
    )
    return Cost(
        currency=level.currency,
        unplanned=spread_of(
            drawn.whole,
            drawn.lattice,
            float(means.unplanned.sum()),
            float(means.discounted.sum()),
            chance_of(posterior, table.quiet),
        ),
        planned=planned_spread(outlook, posterior, prices, means, services, pack.defaults.discount_rate, terms.years),
        immediate=spread_of(drawn.immediate, drawn.coarse, at_once, at_once, chance_of(posterior, nothing_now)),
        shared_access_saving=saving,
        by_year=year_costs(outlook, drawn, horizon_means(outlook, posterior, table, prices)),
        planned_items=(*services, *renewals),
        step=drawn.lattice.step,
    )


def _likeliest(posterior: Posterior) -> int:
    """Index of the likeliest candidate engine."""
    return int(np.argmax([posterior.root_chance[list(group.roots)].sum() for group in posterior.groups]))


def _band(
    outlook: Outlook, posterior: Posterior, prices: PriceTable, terms: Terms, drawn: Curves
) -> tuple[float, float]:
    """10th to 90th percentile of the score [0..100] over the doubt about lifetimes."""
    span = drawn.lattice.step * drawn.lattice.size
    lattice = make_lattice(terms.budget, span, POINTS, 1.0 / POINTS)
    single = make_transforms(prices, lattice, ("service", "found"))
    low, high = band_of(node_scores(outlook, posterior, single, terms.budget))
    return 100.0 * low, 100.0 * high


def _after_work(outlook: Outlook, posterior: Posterior, drawn: Curves, terms: Terms, work: Sequence[str]) -> float:
    """The score once these weak points are put right on day 0; that work itself is no surprise any more."""
    renewed = [w for w, wp in enumerate(outlook.lanes.weak_points) if wp.id in work]
    if not renewed:
        return 100.0 * float(beyond(drawn.whole, drawn.lattice, terms.budget))
    last = len(outlook.horizons) - 1
    pmf = distribution(outlook, posterior, drawn.transforms, unplanned(last), renewed)
    return 100.0 * float(beyond(pmf, drawn.lattice, terms.budget))


def _fixed(
    case: Case, pack: Pack, identity: EngineIdentity, outlook: Outlook, posterior: Posterior, nodes: int
) -> tuple[FixedChance, ...]:
    """Chances at the pack's fixed amounts, on its default rates, term and distance: a seller cannot move them."""
    fixed, annual = pack.fixed, pack.fixed.distance_km / pack.fixed.years
    same_use = outlook.lanes.timeline.annual == annual and not case.usage.planned
    if same_use and fixed.years in outlook.horizons:
        ahead, horizon = outlook, outlook.horizons.index(fixed.years)
    else:
        plain = replace(case, usage=replace(case.usage, planned=()))
        lanes = lane_set(plain, pack, identity, annual, fixed.years)
        ahead, horizon = look_ahead(lanes, fixed.years, (fixed.years,), pack.defaults.discount_rate, nodes), 0
    prices = price_table(pack, default_level(case, pack), identity, ahead.lanes.weak_points)
    lattice = make_lattice(max(fixed.amounts), max(fixed.amounts), FIXED_POINTS, 2.0 / FIXED_POINTS)
    single = make_transforms(prices, lattice, ("service", "found"))
    pmf = distribution(ahead, posterior, single, unplanned(horizon))
    return fixed_chances(pmf, lattice, fixed.amounts, fixed.years)


def root_shares(posterior: Posterior, roots: Sequence[Root]) -> tuple[tuple[float, float, float], float | None]:
    """Chances of careful / average / neglected, and of a tune where it is a root."""
    care = [float(sum(posterior.root_chance[i] for i, root in enumerate(roots) if root.care == c)) for c in range(3)]
    tuned = {root.tuned for root in roots}
    tune = float(sum(posterior.root_chance[i] for i, root in enumerate(roots) if root.tuned))
    return (care[0], care[1], care[2]), tune if len(tuned) > 1 else None


def engine_as_identified(identity: EngineIdentity, posterior: Posterior, roots: Sequence[Root]) -> Identification:
    """Candidates with their chances given all findings, likeliest first."""
    chances = [
        float(sum(posterior.root_chance[i] for i, root in enumerate(roots) if root.candidate == c))
        for c in range(len(identity.candidates))
    ]
    named = [
        Identified(c.revision.id if c.revision else None, c.revision.name if c.revision else GENERIC, chance)
        for c, chance in zip(identity.candidates, chances, strict=True)
    ]
    return Identification(
        generic=identity.family is None,
        family=identity.family.id if identity.family else None,
        how=identity.how,
        candidates=tuple(sorted(named, key=lambda i: -i.probability)),
    )


def decide(case: Case, pack: Pack, results: Sequence[WeakPointResult], risk: Risk, coverage: Coverage) -> Decision:
    """Advice by the rules of riskapi.domain.advice."""
    advice, reasons = advise(results, risk, coverage)
    return Decision(
        advice=advice,
        hazards=dangerous(results),
        reasons=reasons,
        price_for_findings=None,
        cautious_price=None,
        items=(),
        next_checks=(),
    )


def inputs_of(identity: EngineIdentity, outlook: Outlook, prices: PriceTable, terms: Terms, nodes: int) -> Inputs:
    """Everything a stranger needs to recompute the figures."""
    lanes = outlook.lanes
    copies = [max((mixes[w].copies for mixes in lanes.mixes), default=1) for w in range(len(lanes.weak_points))]
    rows = tuple(
        WeakPointInputs(
            lanes.weak_points[w].id,
            candidate.revision.id if candidate.revision else GENERIC,
            copies[w],
            prices[w, c].in_service,
            prices[w, c].found,
            prices[w, c].planned,
        )
        for w in range(len(lanes.weak_points))
        for c, candidate in enumerate(identity.candidates)
    )
    return Inputs(lanes, tuple(float(z) for z in doubt_nodes(nodes)), rows, terms, outlook.discount_rate)
