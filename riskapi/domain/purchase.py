"""Buying or selling the car: the repair plan, what follows the purchase, and a dealer's work before the sale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from riskapi.domain.assessment import Risk, WeakPointResult
from riskapi.domain.before_sale import before_sale
from riskapi.domain.case import Case
from riskapi.domain.costing import Basis
from riskapi.domain.curves import Curves
from riskapi.domain.first_service import after_purchase
from riskapi.domain.identify import EngineIdentity
from riskapi.domain.knowledge import Pack
from riskapi.domain.plan_records import AfterPurchase, BeforeSale, RepairPlan
from riskapi.domain.price_lines import Prices
from riskapi.domain.readings import Readings
from riskapi.domain.renewing import Worth, worth_of
from riskapi.domain.repair_plan import repair_plan
from riskapi.domain.terms import Terms


@dataclass(frozen=True, slots=True)
class Purchase:
    """What to put right and watch, what to do after the purchase, and what a dealer would do before the sale."""

    plan: RepairPlan
    after: AfterPurchase
    before_sale: BeforeSale | None


def plan_purchase(
    case: Case,
    pack: Pack,
    identity: EngineIdentity,
    readings: Readings,
    terms: Terms,
    basis: Basis,
    curves: Curves,
    results: Sequence[WeakPointResult],
    risk: Risk,
    prices: Prices | None,
) -> Purchase:
    """All of it; `prices` only where the car's value is known."""
    worth, looked = worth_of(basis), [finding.check.id for finding in readings.counted]
    plan = repair_plan(pack, case, identity.family, worth, terms, curves, results, risk, looked)
    after = after_purchase(pack, case, identity.family, worth, plan.work, plan.watch)
    return Purchase(plan, after, _before_sale(case, pack, worth, terms, curves, prices, results))


def _before_sale(
    case: Case,
    pack: Pack,
    worth: Worth,
    terms: Terms,
    curves: Curves,
    prices: Prices | None,
    results: Sequence[WeakPointResult],
) -> BeforeSale | None:
    """None unless a dealer states his workshop rate and the value of the car as usually sold."""
    value, rate = case.market.sound_value, case.market.workshop_rate
    if prices is None or value is None or rate is None:
        return None
    return before_sale(pack, worth, terms, curves, prices, results, value, rate)
