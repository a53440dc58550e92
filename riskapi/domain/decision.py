"""What to do: advice by stated rules, the price that matches the findings, and what to look at next."""

from __future__ import annotations

from collections.abc import Sequence

from riskapi.domain.acts import limits_of
from riskapi.domain.advice import advise, dangerous
from riskapi.domain.assessment import BestSet, Cost, Coverage, Decision, NextCheck, Risk, WeakPointResult
from riskapi.domain.case import Case
from riskapi.domain.cost_figures import access_saving
from riskapi.domain.costing import Basis
from riskapi.domain.given_total import means_given_total
from riskapi.domain.identify import EngineIdentity
from riskapi.domain.knowledge import FAULTY, Pack
from riskapi.domain.look_order import Valued, in_order
from riskapi.domain.means import Means
from riskapi.domain.next_checks import OpenChecks, open_checks
from riskapi.domain.posterior import candidate_chances
from riskapi.domain.price_lines import Points, Prices, itemised, prices_of, supported_price
from riskapi.domain.readings import Readings
from riskapi.domain.reference_car import ReferenceCost, reference_cost
from riskapi.domain.terms import Terms
from riskapi.domain.visit_set import left_of_visit, next_set

SET_CANDIDATES = 20  # checks that the best set of an assessment is chosen from


def decide(
    pack: Pack,
    case: Case,
    basis: Basis,
    readings: Readings,
    prices: Prices | None,
    results: Sequence[WeakPointResult],
    risk: Risk,
    coverage: Coverage,
    hourly: float,
) -> Decision:
    """Advice by the rules of riskapi.domain.advice; `prices` only where the car's value is known; `hourly` is the
    labour rate, at which minutes count.

    While there are minutes left at the car, second looks and places that something runs down to are valued too.
    """
    advice, reasons = advise(results, risk, coverage)
    asking = case.market.asking_price
    gain = None if prices is None or asking is None else prices.for_findings - asking
    at_the_car = case.visit.minutes is not None
    left = open_checks(pack, basis, readings.counted, dealt_with(readings), tied_too=at_the_car)
    return Decision(
        advice=advice,
        hazards=dangerous(results),
        reasons=reasons,
        price_for_findings=None if prices is None else prices.for_findings,
        cautious_price=None if prices is None else prices.cautious,
        items=() if prices is None else prices.items,
        next_checks=ranked(pack, basis, left, gain, hourly),
        best_set=_best_set(pack, case, basis, readings, left, gain),
    )


def dealt_with(readings: Readings) -> frozenset[str]:
    """Ids of checks that were done, refused or void."""
    done = [f.check.id for f in readings.counted]
    return frozenset([*done, *(check for check, _ in (*readings.not_checked, *readings.void))])


def ranked(pack: Pack, basis: Basis, left: OpenChecks, gain: float | None, hourly: float) -> tuple[NextCheck, ...]:
    """Open checks, best first; where no single check can turn the decision, by what they tell of the cost."""
    found = in_order(Valued(pack, basis, left, gain, hourly)) if gain is not None else ()
    return found or in_order(Valued(pack, basis, left, None, hourly))


def _best_set(
    pack: Pack, case: Case, basis: Basis, readings: Readings, left: OpenChecks, gain: float | None
) -> BestSet | None:
    """What the minutes that the visit has left are best spent on; None where it states none."""
    if case.visit.minutes is None:
        return None
    limits = left_of_visit(pack, limits_of(case.visit), [f.check for f in readings.counted])
    return next_set(pack, basis, left, limits, gain, SET_CANDIDATES)


def priced(
    sound_value: float, scrap: float, basis: Basis, means: Means, cost: Cost, reference: ReferenceCost
) -> Prices:
    """Both prices line by line; the room for a bad run is told per weak point where there is any."""
    saving, spread = cost.shared_access_saving, cost.unplanned
    for_findings, cautious = prices_of(sound_value, scrap, means, spread, reference, saving)
    weak_points = basis.outlook.lanes.weak_points
    points = Points(
        ids=tuple(wp.id for wp in weak_points),
        names=tuple(wp.name for wp in weak_points),
        faulty=basis.posterior.state[:, FAULTY].sum(axis=1),
        at_p80=means_given_total(basis, spread.p80, spread.p90) if cautious < for_findings else None,
    )
    return itemised(sound_value, (for_findings, cautious), means, reference, saving, points)


def _reference(case: Case, pack: Pack, identity: EngineIdentity, terms: Terms, basis: Basis) -> ReferenceCost:
    """The car as usually sold, with the chances that the candidate engines have now."""
    chances = candidate_chances(basis.posterior, basis.outlook.lanes)
    return reference_cost(case, pack, identity, chances, terms, basis.outlook.doubt.size, basis.outlook)


def gain_of_buying(
    case: Case, pack: Pack, identity: EngineIdentity, terms: Terms, basis: Basis, means: Means
) -> float | None:
    """Price for the findings less the asking price [money], from means alone; None where either price is missing."""
    market = case.market
    if market.sound_value is None or market.asking_price is None:
        return None
    reference = _reference(case, pack, identity, terms, basis)
    saving = access_saving(basis, terms.level)
    return (
        supported_price(market.sound_value, pack.defaults.scrap_value, means, reference, saving) - market.asking_price
    )
