"""Engine families and revisions of the knowledge pack as JSON: schemas and contents."""

from __future__ import annotations

from marshmallow import fields

from riskapi.domain.knowledge import Family, Generation, Pack, Revision
from riskapi.web.answer_fields import AnswerSchema, many, one, text, texts
from riskapi.web.knowledge_answers import Json, QuantitySchema, SourceSchema, next_cursor, quantity, source_answer


class GenerationSchema(AnswerSchema):
    id = text("Generation.")
    name = text("Its name.")
    note = text("What sets it apart.")


class SerialsSchema(AnswerSchema):
    first = text("First engine serial number.")
    last = text("Last engine serial number.")


class RevisionSummarySchema(AnswerSchema):
    id = text("Revision.")
    name = text("Its name.")
    generation = text("Its generation.")
    since = fields.Date(required=True, metadata={"description": "Built from."})
    until = fields.Date(required=True, allow_none=True, metadata={"description": "Built until; null: still built."})
    codes = texts("Engine codes.")
    serials = one(SerialsSchema, "Its engine serial numbers; null: not stated.", allow_none=True)


class EngineSummarySchema(AnswerSchema):
    id = text("Engine family.")
    name = text("Its name.")
    maker = text("Its maker.")
    note = text("What it is.")


class EngineListSchema(AnswerSchema):
    items = many(EngineSummarySchema, "Engine families.")
    next = next_cursor()


class PlannedServiceSchema(AnswerSchema):
    id = text("The service.")
    name = text("Its name.")
    distance = one(QuantitySchema, "Due each.", allow_none=True)
    age = one(QuantitySchema, "Due each.", allow_none=True)


class EngineFamilySchema(EngineSummarySchema):
    generations = many(GenerationSchema, "Generations.")
    revisions = many(RevisionSummarySchema, "Revisions, oldest first.")
    services = many(PlannedServiceSchema, "Planned services.")
    source = one(SourceSchema, "Where the figures come from.")


def engine_summary(family: Family) -> Json:
    return {"id": family.id, "name": family.name, "maker": family.maker, "note": family.note}


def engine_answer(family: Family, pack: Pack) -> Json:
    return {
        **engine_summary(family),
        "generations": [_generation(item) for item in family.generations],
        "revisions": [revision_summary(item) for item in family.revisions],
        "services": [
            {
                "id": item.id,
                "name": item.name,
                "distance": quantity(item.distance_km, "km"),
                "age": quantity(item.age_years, "years"),
            }
            for item in family.services
        ],
        "source": source_answer(family.source, pack),
    }


def _generation(item: Generation) -> Json:
    return {"id": item.id, "name": item.name, "note": item.note}


def revision_summary(item: Revision) -> Json:
    return {
        "id": item.id,
        "name": item.name,
        "generation": item.generation,
        "since": item.since,
        "until": item.until,
        "codes": list(item.codes),
        "serials": None if item.serials is None else {"first": item.serials.first, "last": item.serials.last},
    }
