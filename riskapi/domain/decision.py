"""What to do: advice by stated rules, the price that matches the findings, and what to look at next."""

from __future__ import annotations

from collections.abc import Sequence

from riskapi.domain.advice import advise, dangerous
from riskapi.domain.assessment import Cost, Coverage, Decision, Identification, Risk, WeakPointResult
from riskapi.domain.case import Case
from riskapi.domain.costing import Basis
from riskapi.domain.given_total import means_given_total
from riskapi.domain.identify import EngineIdentity
from riskapi.domain.knowledge import FAULTY, Pack
from riskapi.domain.means import Means
from riskapi.domain.next_checks import open_checks
from riskapi.domain.price_lines import Points, Prices, itemised, prices_of
from riskapi.domain.readings import Readings
from riskapi.domain.reference_car import ReferenceCost, reference_cost
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
    identified: Identification,
    terms: Terms,
    basis: Basis,
    means: Means,
    cost: Cost,
) -> Prices | None:
    """The price for the findings against the car as usually sold; None when its value is not stated."""
    if case.market.sound_value is None:
        return None
    chances = {c.revision: c.probability for c in identified.candidates}
    weights = [chances[c.revision.id if c.revision else None] for c in identity.candidates]
    reference = reference_cost(case, pack, identity, weights, terms, basis.outlook.doubt.size)
    return priced(case.market.sound_value, pack.defaults.scrap_value, basis, means, cost, reference)


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
