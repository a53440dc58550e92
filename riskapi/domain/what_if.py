"""What if: other plans, prices or budget for a car that was assessed, without a new inspection.

States of today do not depend on the future, so the posterior is kept and so is all that is known of the past. New
prices mean new costs of single repairs; another distance or term a new outlook (riskapi.domain.renewal_ahead); another
budget only another lattice. Every figure is the one that an assessment of the changed case gives.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

from riskapi.domain.account import by_cost, coverage_of, weak_point_results
from riskapi.domain.advice import advise, work_now
from riskapi.domain.assessment import Coverage, Risk, Spread, WeakPointResult, YearCost
from riskapi.domain.case import Case
from riskapi.domain.cost_figures import likeliest_candidate, spread_of, year_costs
from riskapi.domain.costing import Basis, PriceTable
from riskapi.domain.curves import draw_term, draw_years
from riskapi.domain.identify import EngineIdentity, identify
from riskapi.domain.knowledge import Pack
from riskapi.domain.lanes import lane_set
from riskapi.domain.lifetime import NODES
from riskapi.domain.means import Means, chance_of_nothing, expected, horizon_means
from riskapi.domain.open_traits import with_open_traits
from riskapi.domain.outlook import Outlook, look_ahead, under_plans
from riskapi.domain.posterior import Posterior, group_roots, infer, unseen_roots
from riskapi.domain.price_lines import prices_of
from riskapi.domain.pricing import price_table, service_items, shared_access_saving
from riskapi.domain.readings import Readings, read_findings
from riskapi.domain.reference_car import ReferenceCost, cost_of, reference_lanes
from riskapi.domain.terms import Terms, terms_of


@dataclass(frozen=True, slots=True)
class Changes:
    """What is changed; None leaves the case as it is. years [years], annual_distance_km [km/year], labour_rate
    [money/h without tax], parts_index [1], tax [share], the others [money]."""

    years: float | None = None
    annual_distance_km: float | None = None
    repair_budget: float | None = None
    labour_rate: float | None = None
    parts_index: float | None = None
    tax: float | None = None
    asking_price: float | None = None
    sound_value: float | None = None

    def applied(self, case: Case) -> Case:
        """The case with the changes in it."""
        own, market = case.ownership, case.market
        return replace(
            case,
            ownership=replace(
                own,
                years=_new(self.years, own.years),
                annual_distance_km=_new(self.annual_distance_km, own.annual_distance_km),
                repair_budget=_new(self.repair_budget, own.repair_budget),
            ),
            market=replace(
                market,
                labour_rate=_new(self.labour_rate, market.labour_rate),
                parts_index=_new(self.parts_index, market.parts_index),
                tax=_new(self.tax, market.tax),
                asking_price=_new(self.asking_price, market.asking_price),
                sound_value=_new(self.sound_value, market.sound_value),
            ),
        )


def _new(changed: float | None, stated: float | None) -> float | None:
    return stated if changed is None else changed


@dataclass(frozen=True, slots=True)
class Figures:
    """What is shown: years [years], annual [km/year], score [0..100], the others [money]; prices are None without a
    sound value, net_benefit (price for the findings less the asking price) also without an asking price."""

    years: float
    annual: float
    repair_budget: float
    budget_origin: str
    score: float
    unplanned: Spread
    planned_mean: float
    by_year: tuple[YearCost, ...]
    price_for_findings: float | None
    cautious_price: float | None
    net_benefit: float | None
    advice: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Car:
    """A car as far as its posterior, with its outlook under the plans of its case."""

    outlook: Outlook
    posterior: Posterior


@dataclass(frozen=True)
class Base:
    """What is computed once per case. Under the plans of the case itself it gives the figures of its assessment."""

    case: Case
    pack: Pack
    identity: EngineIdentity
    readings: Readings
    coverage: Coverage
    terms: Terms
    car: Car

    @cached_property
    def reference(self) -> Car:
        """The car as usually sold, under the same plans; needed once a sound value is stated."""
        posterior = self.car.posterior
        weights = [float(posterior.root_chance[list(group.roots)].sum()) for group in posterior.groups]
        lanes = reference_lanes(self.case, self.pack, self.identity, weights, self.terms)
        rate, nodes = self.car.outlook.discount_rate, self.car.outlook.doubt.size
        outlook = look_ahead(lanes, (self.terms.years,), rate, nodes, self.car.outlook)
        return Car(outlook, infer(lanes, unseen_roots(lanes), (), outlook.table.masses))

    @cached_property
    def reference_cost(self) -> ReferenceCost:
        """Its expected cost."""
        return _reference(self, self.terms, self.own)

    @cached_property
    def results(self) -> tuple[WeakPointResult, ...]:
        """The weak points as they stand."""
        return weak_point_results(self.own, expected(self.own), self.readings)

    @cached_property
    def own(self) -> Basis:
        """The basis of the case as it is."""
        return Basis(self.car.outlook, self.car.posterior, self.prices)

    @cached_property
    def prices(self) -> PriceTable:
        """Costs of single repairs at the prices of the case."""
        return price_table(self.pack, self.terms.level, self.car.outlook.lanes)


def base_of(case: Case, pack: Pack, nodes: int = NODES) -> Base:
    """Everything that changes of plans, prices and budget leave alone. Raises what an assessment raises."""
    readings, terms = read_findings(case, pack), terms_of(case, pack)
    identity = with_open_traits(case, pack, identify(case, pack), readings.counted)
    lanes = lane_set(case, pack, identity, terms.annual, terms.years)
    outlook = look_ahead(lanes, terms.horizons, pack.defaults.discount_rate, nodes)
    posterior = infer(lanes, group_roots(pack, lanes, readings.counted), readings.counted, outlook.table.masses)
    car = Car(outlook, posterior)
    return Base(case, pack, identity, readings, coverage_of(pack, readings), terms, car)


def what_if(base: Base, changes: Changes) -> Figures:
    """The figures of the changed case. Raises CaseError where the change cannot be true together with the case."""
    case = changes.applied(base.case)
    terms = terms_of(case, base.pack)
    outlook = under_plans(base.car.outlook, terms.annual, terms.horizons)
    if outlook is None:
        return what_if(base_of(case, base.pack, base.car.outlook.doubt.size), Changes())
    prices = base.prices if terms.level == base.terms.level else price_table(base.pack, terms.level, outlook.lanes)
    basis = Basis(outlook, base.car.posterior, prices, base.own)
    means = expected(basis)
    whole, at_budget, _ = draw_term(basis, terms.budget, float(means.unplanned.sum()))
    spread = spread_of(whole, float(means.unplanned.sum()), float(means.discounted.sum()), chance_of_nothing(basis))
    score = 100.0 * at_budget.beyond(terms.budget)
    advice, reasons = _advice(base, basis, means, terms, score)
    price, cautious = _prices(base, case, terms, basis, means, spread)
    asking = case.market.asking_price
    return Figures(
        years=terms.years,
        annual=terms.annual,
        repair_budget=terms.budget,
        budget_origin=terms.budget_origin,
        score=score,
        unplanned=spread,
        planned_mean=_planned(base, basis, means, terms),
        by_year=year_costs(outlook, (*draw_years(basis, whole), whole), horizon_means(basis)),
        price_for_findings=price,
        cautious_price=cautious,
        net_benefit=None if price is None or asking is None else price - asking,
        advice=advice,
        reasons=reasons,
    )


def _advice(base: Base, basis: Basis, means: Means, terms: Terms, score: float) -> tuple[str, tuple[str, ...]]:
    """By the rules of riskapi.domain.advice, which read nothing of the risk but score, budget and work."""
    results = _results(base, basis, means)
    work = work_now(results)
    risk = Risk(score, (score, score), 0.0, terms.budget, terms.budget_origin, score, work, ())
    return advise(results, risk, base.coverage)


def _results(base: Base, basis: Basis, means: Means) -> tuple[WeakPointResult, ...]:
    """The weak points with their new costs, in their new order; what the findings say of them stays."""
    place = {wp.id: w for w, wp in enumerate(basis.outlook.lanes.weak_points)}
    fresh = (
        replace(
            result,
            expected_cost=float(means.unplanned[place[result.id]]),
            expected_immediate_cost=float(means.immediate[place[result.id]]),
        )
        for result in base.results
    )
    return tuple(sorted(fresh, key=by_cost))


def _planned(base: Base, basis: Basis, means: Means, terms: Terms) -> float:
    services = service_items(base.identity.family, base.pack, terms.level, basis.outlook.lanes.timeline)
    return float(means.planned.sum()) + sum(item.cost for item in services)


def _prices(
    base: Base, case: Case, terms: Terms, basis: Basis, means: Means, spread: Spread
) -> tuple[float | None, float | None]:
    """Price for the findings and cautious price; None without a sound value."""
    if case.market.sound_value is None:
        return None, None
    posterior = basis.posterior
    saving = shared_access_saving(
        basis.prices,
        len(basis.outlook.lanes.weak_points),
        likeliest_candidate(posterior),
        posterior.state.sum(axis=2),
        terms.level,
    )
    scrap = base.pack.defaults.scrap_value
    return prices_of(case.market.sound_value, scrap, means, spread, _reference(base, terms, basis), saving)


def _reference(base: Base, terms: Terms, own: Basis) -> ReferenceCost:
    """Expected cost of the car as usually sold under these plans; it has the same weak points and candidate engines."""
    car = base.reference
    outlook = under_plans(car.outlook, terms.annual, (terms.years,), own.outlook)
    if outlook is None:  # not reached: what makes it None has sent `what_if` to another base before
        outlook = car.outlook
    return cost_of(Basis(outlook, car.posterior, own.prices))
