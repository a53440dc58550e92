"""Schemas of the repair plan, of a dealer's work before a sale, and of what follows the purchase."""

from __future__ import annotations

from typing import Any

from marshmallow.validate import Range

from riskapi.web.answer_fields import (
    AnswerSchema,
    chance,
    count,
    day,
    many,
    money,
    number,
    text,
    texts,
    word,
)

MAYBE: dict[str, Any] = {"allow_none": True}


class PlanJobSchema(AnswerSchema):
    id = text("The weak point or service.")
    name = text("Its name.")
    kind = word("What it is.", ("weak_point", "service"))
    why = word(
        "Why it is put right: it endangers people, has likely failed, or saves more than it costs.",
        ("danger", "faulty", "saves"),
    )


class PlanOperationSchema(AnswerSchema):
    id = text("The operation.")
    name = text("Its name.")
    times = count("How many times (one per copy).")
    chance = chance("Chance that this engine needs it; below 1 where its revision is not settled.")
    hours = number("Labour without access [h].")
    cost = money("Cost without access.")
    jobs = texts("Weak points and services that need it.")


class PlanAccessSchema(AnswerSchema):
    id = text("The access step.")
    name = text("Its name.")
    chance = chance("Chance that this engine needs it; below 1 where its revision is not settled.")
    hours = number("Labour [h], paid once.")
    cost = money("Cost with the parts it destroys, paid once.")
    operations = texts("Operations that need it.")


class WatchItemSchema(AnswerSchema):
    weak_point = text("The weak point left.")
    name = text("Its name.")
    check = text("The check that shows it in time.")
    check_name = text("Its name.")
    odometer_km = number("Look again at this odometer [km], or on `date`, whichever comes first.")
    date = day("Look again on this day.")
    every_km = number("And again every so far [km].")
    every_months = count("And again every so many months.")
    failure_probability = chance("Chance of failing in service within the term.")


class RepairPlanSchema(AnswerSchema):
    """What minimises the expected discounted cost of the term; null where it was not computed."""

    weak_points = texts("Weak points put right.")
    jobs = many(PlanJobSchema, "What is put right, and why.", **MAYBE)
    operations = many(PlanOperationSchema, "Operations, each without its access.", **MAYBE)
    access = many(PlanAccessSchema, "Access steps, each paid once.", **MAYBE)
    as_found = money("Expected difference where a part turns out to have failed already.", **MAYBE)
    cost = money("Cost: chance times cost of operations and access, and `as_found`.", **MAYBE)
    apart = money("The same if each job paid its own access.", **MAYBE)
    saving = money("What it saves against the scored policy; below zero only for work that is never left.", **MAYBE)
    score_after = number("The score after it [0..100].", validate=Range(0, 100), **MAYBE)
    dearer_than = word("A way out that costs less than this work, or null.", ("another_engine", "write_off"), **MAYBE)
    watch = many(WatchItemSchema, "What to leave and watch, the earliest look first.", **MAYBE)
    unseen = texts("Weak points left that no look shows in time.", **MAYBE)


class BeforeSaleSchema(AnswerSchema):
    """Work at the dealer's own rate, without tax, that raises the price by more than it costs."""

    jobs = many(PlanJobSchema, "What is put right, and why.")
    operations = many(PlanOperationSchema, "Operations, each without its access.")
    access = many(PlanAccessSchema, "Access steps, each paid once.")
    as_found = money("Expected difference where a part turns out to have failed already.")
    cost = money("What the work costs him.")
    apart = money("The same if each job paid its own access.")
    price_rise = money("By how much price_for_findings rises.")
    pays_back = money("price_rise less cost.")
    price_after = money("price_for_findings after the work.")
    cautious_price_after = money("cautious_price after the work.")
    score_after = number("The score after the work [0..100].", validate=Range(0, 100))


class ServiceItemSchema(AnswerSchema):
    id = text("The service, weak point or check.")
    name = text("Its name.")
    when = word("At once, or at a date or odometer.", ("now", "due"))
    why = word("Why then.", ("plan", "overdue", "no_paper", "ask", "interval", "usual", "watch"))
    odometer_km = number("Due at this odometer [km]; null: at once, or beyond the term.", **MAYBE)
    date = day("Due on this day; null: at once, or beyond the term.", **MAYBE)
    last = day("When it was last done, by the papers.", **MAYBE)


class FollowUpSchema(AnswerSchema):
    months = count("Months after the assessment.")
    date = day("The day.")
    questions = texts("What to write down.")


class AfterPurchaseSchema(AnswerSchema):
    first_service = many(ServiceItemSchema, "First service list: at once first, then by date.")
    workshop = texts("What to tell the workshop, cautions included.")
    follow_ups = many(FollowUpSchema, "When to ask how it went.")
