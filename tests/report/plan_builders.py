"""A made-up repair plan, work before a sale and first service, by hand: nothing here was computed."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from riskapi.domain.assessment import Assessment
from riskapi.domain.plan_records import (
    AfterPurchase,
    BeforeSale,
    FollowUp,
    PlanAccess,
    PlanJob,
    PlanOperation,
    RepairPlan,
    ServiceItem,
    WatchItem,
    Work,
)
from tests.report import builders

WORK = Work(
    jobs=(
        PlanJob("turbo_oil_feed", "Oil feed of the turbocharger", "weak_point", "danger"),
        PlanJob("chain_tensioner", "Chain tensioner", "weak_point", "faulty"),
        PlanJob("oil_change", "Oil service", "service", "saves"),
    ),
    operations=(
        PlanOperation("renew_feed", "Renew the oil feed", 1, 1.0, 0.8, 200.0, ("turbo_oil_feed",)),
        PlanOperation("renew_chain", "Renew chain, guides and tensioner", 1, 0.8, 3.0, 700.0, ("chain_tensioner",)),
        PlanOperation("renew_long_chain", "Renew the long chain", 1, 0.2, 4.0, 900.0, ("chain_tensioner",)),
        PlanOperation("oil", "Oil and filter service", 1, 1.0, 0.5, 150.0, ("chain_tensioner", "oil_change")),
    ),
    access=(
        PlanAccess("cover", "Timing cover off", 1.0, 3.0, 400.0, ("renew_chain", "renew_long_chain")),
        PlanAccess("undertray", "Undertray off", 1.0, 0.4, 50.0, ("oil", "renew_feed")),
    ),
    as_found=60.0,
    cost=1600.0,
    apart=1650.0,
)
WATCH = (
    WatchItem("coolant_pump", "Coolant pump housing", "coolant_level", "Look at the coolant level", 138000.0,
              date(2026, 11, 3), 4000.0, 3, 0.3),
    WatchItem("piston_rings", "Oil control rings", "oil_use_told", "Ask for the oil use; watch it, too", 150321.0,
              date(2027, 8, 31), 20000.0, 12, 0.12),
)  # fmt: skip
PLAN = RepairPlan(WORK, 240.0, 14.3, None, WATCH, ("ignition_coil",), date(2029, 11, 3))
SALE = BeforeSale(WORK, 2000.0, 400.0, 8570.0, 7900.0, 12.0)
AFTER = AfterPurchase(
    first_service=(
        ServiceItem("oil_change", "Oil service", "now", "plan", None, None),
        ServiceItem("coolant_level", "Look at the coolant level", "now", "watch", None, None),
        ServiceItem("belt", "Renew the belt", "now", "overdue", None, None, date(2015, 2, 1)),
        ServiceItem("plugs", "Renew the spark plugs", "now", "ask", None, None),
        ServiceItem("air", "Air filter", "due", "usual", 150000.0, date(2027, 8, 21)),
        ServiceItem("fluid", "Coolant", "due", "interval", 160000.0, date(2028, 4, 20), date(2024, 4, 20)),
        ServiceItem("lash", "Valve lash", "due", "usual", None, None),
    ),
    workshop_cautions=("Never turn the engine backwards.",),
    special_tools=("locking set for cams and crankshaft",),
    one_use=("cover sealant", "undertray clips"),
    follow_ups=(FollowUp(6, date(2027, 5, 3)), FollowUp(12, date(2027, 11, 3))),
)
NOTHING = Work((), (), (), 0.0, 0.0, 0.0)


def bought(plan: RepairPlan = PLAN, sale: BeforeSale | None = None) -> Assessment:
    """The noisy car with a plan and what follows the purchase."""
    given = builders.assessment()
    decision = replace(given.decision, repair_plan=plan, before_sale=sale)
    return replace(given, decision=decision, after_purchase=AFTER)


def nothing_to_do() -> Assessment:
    """The same where nothing has to be done and nothing is watched."""
    plan = replace(PLAN, work=NOTHING, saving=0.0, watch=(), unseen=())
    after = AfterPurchase((), (), (), (), AFTER.follow_ups)
    return replace(bought(plan), after_purchase=after)
