"""The few figures that are shown while an inspector answers one check after the other.

What the past makes of the lifetimes does not depend on what is looked at today, so it is computed once per car
(`Standing`) and used again for every further answer. Every figure is the one that an assessment of the case has.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from riskapi.domain.account import coverage_of, weak_point_results
from riskapi.domain.advice import advise, dangerous, work_now
from riskapi.domain.assessment import Coverage, Risk, WeakPointResult
from riskapi.domain.case import Case
from riskapi.domain.cost_figures import access_saving, spread_of
from riskapi.domain.costing import Basis, PriceTable
from riskapi.domain.curves import Curve, draw_term
from riskapi.domain.identify import EngineIdentity, identify
from riskapi.domain.knowledge import Pack
from riskapi.domain.lanes import LaneSet, lane_set
from riskapi.domain.lifetime import NODES
from riskapi.domain.means import Means, chance_of_nothing, expected
from riskapi.domain.open_traits import with_open_traits
from riskapi.domain.outlook import Outlook, look_ahead
from riskapi.domain.posterior import Posterior, candidate_chances, group_roots, infer
from riskapi.domain.price_lines import prices_of
from riskapi.domain.pricing import price_table
from riskapi.domain.readings import read_findings
from riskapi.domain.reference_car import ReferenceCost, reference_cost
from riskapi.domain.risk import score_band
from riskapi.domain.terms import Terms, terms_of


@dataclass(frozen=True, slots=True)
class Standing:
    """What does not depend on the findings of a case; it serves every case that differs from it in findings alone and
    has the same identity. `usual`: what the car as usually sold costs, with the chances of the candidate engines it was
    computed for; None until a sound value asks for it."""

    identity: EngineIdentity
    terms: Terms
    lanes: LaneSet
    outlook: Outlook
    prices: PriceTable
    usual: tuple[tuple[float, ...], ReferenceCost] | None = None


@dataclass(frozen=True, slots=True)
class Glance:
    """score and band [0..100], budget, mean (expected surprise cost) and prices [money], years [years].

    Prices are None without a sound value, net_benefit also without an asking price. `heaviest`: the three weak points
    with the highest expected cost; `core_open`: ids of core checks that nobody has spoken of yet.
    """

    score: float
    band: tuple[float, float]
    repair_budget: float
    years: float
    currency: str
    mean: float
    advice: str
    hazards: tuple[str, ...]
    heaviest: tuple[WeakPointResult, ...]
    price_for_findings: float | None
    cautious_price: float | None
    net_benefit: float | None
    coverage: Coverage
    core_open: tuple[str, ...]


def standing_of(case: Case, pack: Pack, identity: EngineIdentity, nodes: int = NODES) -> Standing:
    """Everything about this car that its findings leave alone."""
    terms = terms_of(case, pack)
    lanes = lane_set(case, pack, identity, terms.annual, terms.years)
    outlook = look_ahead(lanes, (terms.years,), pack.defaults.discount_rate, nodes)
    return Standing(identity, terms, lanes, outlook, price_table(pack, terms.level, lanes))


def glance(case: Case, pack: Pack, known: Standing | None = None) -> tuple[Glance, Standing]:
    """The figures of a case, and its standing for the next answer; `known` is that of the answer before.

    Raises CaseError, FindingsClash, TooComplex.
    """
    readings = read_findings(case, pack)
    identity = with_open_traits(case, pack, identify(case, pack), readings.counted)
    standing = known if known is not None and known.identity == identity else standing_of(case, pack, identity)
    lanes = standing.lanes
    groups = group_roots(pack, lanes, readings.counted)
    posterior = infer(lanes, groups, readings.counted, standing.outlook.table.masses)
    standing = _with_usual(case, pack, standing, posterior)
    basis = Basis(standing.outlook, posterior, standing.prices)
    means = expected(basis)
    results = weak_point_results(basis, means, readings)
    coverage = coverage_of(pack, readings)
    return _figures(case, pack, standing, basis, means, results, coverage), standing


def _with_usual(case: Case, pack: Pack, standing: Standing, posterior: Posterior) -> Standing:
    """With the car as usually sold, where a sound value is stated; what was computed for the same chances stays."""
    if case.market.sound_value is None:
        return standing
    found = candidate_chances(posterior, standing.lanes)
    chances = (1.0,) if len(found) == 1 else tuple(found)
    if standing.usual is not None and standing.usual[0] == chances:
        return standing
    nodes = standing.outlook.doubt.size
    cost = reference_cost(case, pack, standing.identity, chances, standing.terms, nodes)
    return replace(standing, usual=(chances, cost))


def _figures(
    case: Case,
    pack: Pack,
    standing: Standing,
    basis: Basis,
    means: Means,
    results: Sequence[WeakPointResult],
    coverage: Coverage,
) -> Glance:
    terms, mean = standing.terms, float(means.unplanned.sum())
    whole, curve, _ = draw_term(basis, terms.budget, mean)
    score = 100.0 * curve.beyond(terms.budget)
    advice, _ = advise(results, _risk(score, terms, work_now(results)), coverage)
    price, cautious = _prices(case, pack, standing, basis, means, whole)
    asking = case.market.asking_price
    spoken = {item.check for item in coverage.checked} | {item.check for item in coverage.not_checked}
    return Glance(
        score=score,
        band=score_band(basis, curve.lattice.span, terms.budget),
        repair_budget=terms.budget,
        years=terms.years,
        currency=terms.level.currency,
        mean=mean,
        advice=advice,
        hazards=dangerous(results),
        heaviest=tuple(results[:3]),
        price_for_findings=price,
        cautious_price=cautious,
        net_benefit=None if price is None or asking is None else price - asking,
        coverage=coverage,
        core_open=tuple(check.id for check in pack.checks if check.core and check.id not in spoken),
    )


def _risk(score: float, terms: Terms, work: tuple[str, ...]) -> Risk:
    """As much of a risk record as the advice reads: score, budget and work."""
    return Risk(score, (score, score), 0.0, terms.budget, terms.budget_origin, score, work, ())


def _prices(
    case: Case, pack: Pack, standing: Standing, basis: Basis, means: Means, whole: Curve
) -> tuple[float | None, float | None]:
    """Price for the findings and cautious price [money]."""
    sound = case.market.sound_value
    if sound is None or standing.usual is None:
        return None, None
    _, usual = standing.usual
    spread = spread_of(whole, float(means.unplanned.sum()), float(means.discounted.sum()), chance_of_nothing(basis))
    saving = access_saving(basis, standing.terms.level)
    return prices_of(sound, pack.defaults.scrap_value, means, spread, usual, saving)
