"""The repair plan, the work before a sale and what follows the purchase, as JSON data."""

from __future__ import annotations

from collections.abc import Sequence

from riskapi.domain.assessment import Assessment
from riskapi.domain.plan_records import (
    BeforeSale,
    PlanAccess,
    PlanOperation,
    RepairPlan,
    ServiceItem,
    WatchItem,
    Work,
)
from riskapi.report.figures import Json, chance, money, rounded
from riskapi.report.workshop import questions, workshop_lines

PLAN = "decision.repair_plan"
SALE = "decision.before_sale"
EMPTY_PLAN = (
    "jobs", "operations", "access", "as_found", "cost", "apart", "saving", "score_after", "dearer_than", "watch",
    "unseen",
)  # fmt: skip


def repair_plan(plan: RepairPlan | None, work: Sequence[str]) -> Json:
    """The plan; without one the weak points of the 'after work' figure, and null, which is not the same as none."""
    if plan is None:
        return {"weak_points": list(work), **dict.fromkeys(EMPTY_PLAN)}
    return {
        "weak_points": list(plan.work.weak_points),
        **_work(PLAN, plan.work),
        "saving": money(f"{PLAN}.saving", plan.saving),
        "score_after": rounded(f"{PLAN}.score_after", plan.score_after, 2),
        "dearer_than": plan.dearer_than,
        "watch": [_watch(item) for item in plan.watch],
        "unseen": list(plan.unseen),
    }


def before_sale(sale: BeforeSale | None) -> Json | None:
    """A dealer's work before the sale; None unless asked for."""
    if sale is None:
        return None
    return {
        **_work(SALE, sale.work),
        "price_rise": money(f"{SALE}.price_rise", sale.price_rise),
        "pays_back": money(f"{SALE}.pays_back", sale.pays_back),
        "price_after": money(f"{SALE}.price_after", sale.price_after),
        "cautious_price_after": money(f"{SALE}.cautious_price_after", sale.cautious_price_after),
        "score_after": rounded(f"{SALE}.score_after", sale.score_after, 2),
    }


def _work(place: str, work: Work) -> Json:
    return {
        "jobs": [{"id": job.id, "name": job.name, "kind": job.kind, "why": job.why} for job in work.jobs],
        "operations": [_operation(place, row) for row in work.operations],
        "access": [_access(place, row) for row in work.access],
        "as_found": money(f"{place}.as_found", work.as_found),
        "cost": money(f"{place}.cost", work.cost),
        "apart": money(f"{place}.apart", work.apart),
    }


def _operation(place: str, row: PlanOperation) -> Json:
    return {
        "id": row.id,
        "name": row.name,
        "times": row.times,
        "chance": chance(f"{place}.operations.chance", row.chance),
        "hours": rounded(f"{place}.operations.hours", row.hours, 2),
        "cost": money(f"{place}.operations.cost", row.cost),
        "jobs": list(row.jobs),
    }


def _access(place: str, row: PlanAccess) -> Json:
    return {
        "id": row.id,
        "name": row.name,
        "chance": chance(f"{place}.access.chance", row.chance),
        "hours": rounded(f"{place}.access.hours", row.hours, 2),
        "cost": money(f"{place}.access.cost", row.cost),
        "operations": list(row.operations),
    }


def _watch(item: WatchItem) -> Json:
    place = f"{PLAN}.watch.{item.weak_point}"
    return {
        "weak_point": item.weak_point,
        "name": item.name,
        "check": item.check,
        "check_name": item.check_name,
        "odometer_km": rounded(f"{place}.odometer_km", item.odometer_km, 0),
        "date": item.on.isoformat(),
        "every_km": rounded(f"{place}.every_km", item.every_km, 0),
        "every_months": item.every_months,
        "failure_probability": chance(f"{place}.failure_probability", item.chance),
    }


def after_purchase(assessment: Assessment) -> Json | None:
    """First service list, what to tell the workshop, and what to ask later; None where it was not computed."""
    after = assessment.after_purchase
    if after is None:
        return None
    return {
        "first_service": [_service(item) for item in after.first_service],
        "workshop": list(workshop_lines(assessment)),
        "follow_ups": [
            {"months": item.months, "date": item.on.isoformat(), "questions": list(questions())}
            for item in after.follow_ups
        ],
    }


def _service(item: ServiceItem) -> Json:
    odometer = item.odometer_km
    return {
        "id": item.id,
        "name": item.name,
        "when": item.when,
        "why": item.why,
        "odometer_km": None if odometer is None else rounded("after_purchase.first_service.odometer_km", odometer, 0),
        "date": None if item.on is None else item.on.isoformat(),
        "last": None if item.last is None else item.last.isoformat(),
    }
