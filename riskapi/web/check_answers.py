"""Checks of the knowledge pack as JSON: schemas and contents."""

from __future__ import annotations

from riskapi.domain.knowledge import Check, Measure, Pack, SetUp
from riskapi.web.answer_fields import AnswerSchema, flag, many, number, one, text, texts
from riskapi.web.knowledge_answers import Json, QuantitySchema, SourceSchema, next_cursor, quantity, source_answer


class ResultWordSchema(AnswerSchema):
    id = text("What to write as `result`.")
    name = text("The same in words.")
    codes = texts("Trouble codes that give this result.")


class MeasureSchema(AnswerSchema):
    gives = text("`value`: one number; `values`: one per cylinder.")
    unit = text("Unit; others of the same dimension are converted.")
    low = number("Lowest possible value, in `unit`.")
    high = number("Highest possible value, in `unit`.")


class SetUpSchema(AnswerSchema):
    id = text("Set-up, shared by checks.")
    name = text("Its name.")
    minutes = one(QuantitySchema, "How long it takes.")
    consent = text("Consent it needs: none, ask or written.")
    equipment = text("Equipment it needs.")
    cautions = texts("Cautions.")


class ConditionSchema(AnswerSchema):
    id = text("Condition.")
    name = text("The same in words.")
    if_not = text("Why the finding does not count otherwise.")


class CheckSummarySchema(AnswerSchema):
    id = text("Check.")
    name = text("Its name.")
    tier = text("ten_minutes, forty_five_minutes or workshop.")
    minutes = one(QuantitySchema, "How long it takes.")
    equipment = text("Equipment it needs.")
    consent = text("Consent it needs: none, ask or written.")
    core = flag("Whether a verdict needs it.")
    results = many(ResultWordSchema, "Its results, best first.")


class CheckListSchema(AnswerSchema):
    items = many(CheckSummarySchema, "Checks, in the order of a visit.")
    next = next_cursor()


class CheckSchema(CheckSummarySchema):
    how = text("How to do it.")
    set_up = one(SetUpSchema, "What comes first.", allow_none=True)
    conditions = many(ConditionSchema, "Conditions that must hold for the finding to count.")
    measure = one(MeasureSchema, "How a measurement is stated.", allow_none=True)
    part_of = text("The check whose measurement gives this result too.", allow_none=True)
    price = one(QuantitySchema, "What a workshop takes for it.")
    cautions = texts("Cautions.")
    source = one(SourceSchema, "Where the figures come from.")


def check_summary(check: Check) -> Json:
    return {
        "id": check.id,
        "name": check.name,
        "tier": check.tier,
        "minutes": quantity(check.minutes, "min"),
        "equipment": check.equipment,
        "consent": check.consent,
        "core": check.core,
        "results": [{"id": item.id, "name": item.name, "codes": list(item.codes)} for item in check.results],
    }


def check_answer(check: Check, pack: Pack) -> Json:
    set_ups = {item.id: item for item in pack.set_ups}
    conditions = {item.id: item for item in pack.conditions}
    return {
        **check_summary(check),
        "how": check.how,
        "set_up": _set_up(set_ups[check.set_up]) if check.set_up else None,
        "conditions": [
            {"id": name, "name": conditions[name].name, "if_not": conditions[name].if_not} for name in check.needs
        ],
        "measure": _measure(check.measure) if check.measure else None,
        "part_of": check.part_of,
        "price": quantity(check.price, pack.defaults.currency),
        "cautions": list(check.cautions),
        "source": source_answer(check.source, pack),
    }


def _set_up(item: SetUp) -> Json:
    return {
        "id": item.id,
        "name": item.name,
        "minutes": quantity(item.minutes, "min"),
        "consent": item.consent,
        "equipment": item.equipment,
        "cautions": list(item.cautions),
    }


def _measure(item: Measure) -> Json:
    gives = "value" if item.reduce == "value" else "values"
    return {"gives": gives, "unit": item.unit, "low": item.low, "high": item.high}
