"""What to do: advice by stated rules, the price that matches the findings, and what to look at next."""

from __future__ import annotations

from collections.abc import Sequence

from riskapi.domain.advice import advise, dangerous
from riskapi.domain.assessment import Cost, Coverage, Decision, Risk, WeakPointResult
from riskapi.domain.case import Case
from riskapi.domain.costing import Basis
from riskapi.domain.identify import EngineIdentity
from riskapi.domain.knowledge import Pack
from riskapi.domain.means import Means
from riskapi.domain.next_checks import open_checks
from riskapi.domain.posterior import candidate_chances
from riskapi.domain.readings import Readings
from riskapi.domain.reference_car import Prices, price_for_findings, reference_cost
from riskapi.domain.terms import Terms


def decide(
    pack: Pack,
    case: Case,
    basis: Basis,
    readings: Readings,
    prices: Prices | None,
    results: Sequence[WeakPointResult],
    risk: Risk,
    coverage: Coverage,
) -> Decision:
    """Advice by the rules of riskapi.domain.advice; `prices` only where the car's value is known."""
    advice, reasons = advise(results, risk, coverage)
    asking = case.market.asking_price
    gain = None if prices is None or asking is None else prices.for_findings - asking
    dealt_with = {f.check.id for f in readings.counted} | {
        check for check, _ in (*readings.not_checked, *readings.void)
    }
    left = open_checks(pack, basis, readings.counted, frozenset(dealt_with))
    # where no single check can turn the decision they are ranked by what they tell of the cost
    ranked = left.ranked(gain) or left.ranked(None)
    return Decision(
        advice=advice,
        hazards=dangerous(results),
        reasons=reasons,
        price_for_findings=None if prices is None else prices.for_findings,
        cautious_price=None if prices is None else prices.cautious,
        items=() if prices is None else prices.items,
        next_checks=ranked,
    )


def price(
    case: Case,
    pack: Pack,
    identity: EngineIdentity,
    terms: Terms,
    basis: Basis,
    means: Means,
    cost: Cost,
) -> Prices | None:
    """The price for the findings against the car as usually sold; None when its value is not stated."""
    sound_value = case.market.sound_value
    if sound_value is None:
        return None
    chances = candidate_chances(basis.posterior, basis.outlook.lanes)
    reference = reference_cost(case, pack, identity, chances, terms, basis.outlook.doubt.size)
    scrap = pack.defaults.scrap_value
    return price_for_findings(sound_value, scrap, means, cost.unplanned, reference, cost.shared_access_saving)
