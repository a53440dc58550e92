"""The risk record: score with its band, the score after the work, and the chances at the pack's fixed amounts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from riskapi.domain.assessment import FixedChance, Risk
from riskapi.domain.band import COMBINATIONS, POINTS, band_of, node_scores
from riskapi.domain.case import Case
from riskapi.domain.costing import REPAIRS, Basis, distribution, make_transforms, unplanned
from riskapi.domain.curves import Curve, Curves, after_work
from riskapi.domain.identify import EngineIdentity
from riskapi.domain.jobs import default_level
from riskapi.domain.knowledge import FixedAmounts, Pack
from riskapi.domain.lanes import lane_set
from riskapi.domain.lattice import make_lattice
from riskapi.domain.outlook import Outlook, along, look_ahead, under_plans
from riskapi.domain.pricing import price_table
from riskapi.domain.terms import Terms

FIXED_POINTS = 256


def risk_figures(
    basis: Basis, curves: Curves, terms: Terms, work: Sequence[str], fixed: tuple[FixedChance, ...]
) -> Risk:
    """Score, band and after-work score; `work` are ids of weak points to be put right now."""
    return Risk(
        score=100.0 * curves.score.beyond(terms.budget),
        band=score_band(basis, curves.span, terms.budget),
        band_sample_size=float(COMBINATIONS),
        repair_budget=terms.budget,
        budget_origin=terms.budget_origin,
        after_work_score=100.0 * after_work(basis, curves, work).beyond(terms.budget),
        work=tuple(work),
        fixed=fixed,
    )


def score_band(basis: Basis, span: float, budget: float) -> tuple[float, float]:
    """10th to 90th percentile of the score [0..100] over the doubt about lifetimes; `span` of the score's lattice and
    budget in [money]."""
    lattice = make_lattice(budget, span, POINTS, 1.0 / POINTS)
    low, high = band_of(node_scores(basis, make_transforms(basis.prices, lattice, REPAIRS), budget))
    return 100.0 * low, 100.0 * high


def fixed_chances(case: Case, pack: Pack, identity: EngineIdentity, basis: Basis) -> tuple[FixedChance, ...]:
    """Chances at the pack's fixed amounts, on its default rates, term and distance: a seller cannot move them."""
    fixed = pack.fixed
    outlook, horizon = _fixed_outlook(case, pack, identity, basis.outlook)
    prices = price_table(pack, default_level(case, pack), outlook.lanes)
    lattice = make_lattice(max(fixed.amounts), max(fixed.amounts), FIXED_POINTS, 2.0 / FIXED_POINTS)
    plain = Basis(outlook, basis.posterior, prices)
    curve = Curve(distribution(plain, make_transforms(prices, lattice, REPAIRS), unplanned(horizon)), lattice)
    return tuple(FixedChance(amount, fixed.years, curve.beyond(amount)) for amount in fixed.amounts)


def _fixed_outlook(case: Case, pack: Pack, identity: EngineIdentity, outlook: Outlook) -> tuple[Outlook, int]:
    """The outlook for the fixed term and distance and ordinary use, and which of its horizons is that term."""
    fixed, annual = pack.fixed, annual_of(pack.fixed)
    same_use = outlook.lanes.timeline.annual == annual and not case.usage.planned
    if same_use and fixed.years in outlook.horizons:
        return outlook, outlook.horizons.index(fixed.years)
    found = None if case.usage.planned else under_plans(outlook, annual, (fixed.years,))
    if found is not None:
        return found, 0
    plain = replace(case, usage=replace(case.usage, planned=()))
    lanes = lane_set(plain, pack, identity, annual, fixed.years)
    if lanes.mixes == outlook.lanes.mixes:  # the same lanes: planned use changes nothing of their past
        return along(outlook, lanes, (fixed.years,)), 0
    return look_ahead(lanes, (fixed.years,), outlook.discount_rate, outlook.doubt.size), 0


def annual_of(fixed: FixedAmounts) -> float:
    """Distance of the fixed term [km/year]."""
    return fixed.distance_km / fixed.years
