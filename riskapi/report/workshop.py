"""What to tell the workshop, and what to ask later, as plain sentences made from the plan's numbers and operations."""

from __future__ import annotations

from collections.abc import Iterator

from riskapi.domain.assessment import Assessment, WeakPointResult
from riskapi.domain.plan_records import AfterPurchase, PlanOperation, Work
from riskapi.report import format as fmt
from riskapi.report import words
from riskapi.report.texts import say

CONFIRMED = 0.95  # chance of not being sound from which nobody has to be asked to confirm it
SURE = 0.995  # chance of the engine needing an operation from which no "if" is said

QUESTIONS = ("repaired", "found", "cost", "noticed", "nothing")


def questions() -> tuple[str, ...]:
    """What to write down later."""
    return tuple(say(f"question_{key}") for key in QUESTIONS)


def workshop_lines(assessment: Assessment) -> tuple[str, ...]:
    """Sentences for the workshop, cautions included; empty where no plan was computed."""
    plan, after = assessment.decision.repair_plan, assessment.after_purchase
    if plan is None or after is None:
        return ()
    return tuple(_lines(assessment, plan.work, after))


def _lines(assessment: Assessment, work: Work, after: AfterPurchase) -> Iterator[str]:
    if work.operations:
        yield say("workshop_do", names="; ".join(_todo(row) for row in work.operations if row.hours > 0.0))
        yield from _confirm_first(assessment, work)
        yield say(
            "workshop_estimate",
            hours=fmt.number(work.hours, 1),
            cost=fmt.money_exact(work.cost, fmt.plain(assessment.cost.currency, 12)),
        )
    if after.special_tools:
        yield say("workshop_tools", names=fmt.listing(after.special_tools))
    if after.one_use:
        yield say("workshop_one_use", names=fmt.listing(after.one_use))
    yield say("workshop_old_parts" if work.operations else "workshop_old_parts_any")
    if after.workshop_cautions:
        yield say("workshop_cautions", cautions=" ".join(fmt.sentence(fmt.plain(c)) for c in after.workshop_cautions))
    yield say("workshop_first")


def _todo(row: PlanOperation) -> str:
    name = (
        fmt.within(row.name) if row.times == 1 else say("plan_times", name=fmt.within(row.name), times=str(row.times))
    )
    return name if row.chance >= SURE else say("workshop_if", name=name)


def _confirm_first(assessment: Assessment, work: Work) -> Iterator[str]:
    """What is likely but not certain is confirmed before it is opened; rivals for one danger together."""
    why = {job.id: job.why for job in work.jobs if job.why in ("danger", "faulty")}
    doubtful = [r for r in assessment.weak_points if r.id in why and words.not_sound(r.state) < CONFIRMED]
    rivals: dict[str, list[WeakPointResult]] = {}
    for item in doubtful:
        rivals.setdefault(item.hazard if why[item.id] == "danger" else item.id, []).append(item)
    for items in rivals.values():
        if len(items) > 1:
            yield say("workshop_which", names=fmt.listing(tuple(fmt.within(item.name) for item in items)))
        else:
            count = fmt.of_hundred(words.not_sound(items[0].state))
            yield say("workshop_confirm", name=items[0].name, count=count)
