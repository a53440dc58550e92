"""Engine families and revisions of the knowledge pack as JSON: schemas and contents."""

from __future__ import annotations

from marshmallow import fields

from riskapi.domain.knowledge import Family, Generation, Pack, PlannedService, Revision, ServiceInterval
from riskapi.web.answer_fields import AnswerSchema, flag, many, one, text, texts
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


class CarefulSchema(AnswerSchema):
    distance = one(QuantitySchema, "Due each.")
    age = one(QuantitySchema, "Due each, whichever comes first.")
    source = one(SourceSchema, "Where the figures come from.")


class PlannedServiceSchema(AnswerSchema):
    id = text("The service.")
    name = text("Its name.")
    distance = one(QuantitySchema, "Due each by the maker; null: whatever the distance.", allow_none=True)
    age = one(QuantitySchema, "Due each by the maker; null: whatever the age.", allow_none=True)
    careful = one(CarefulSchema, "Due each in careful practice; null: as the maker says.", allow_none=True)
    oil = flag("Whether it is the oil service, whose careful interval the service history is held against.")
    special_tools = texts("Special tools that it needs.")


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
        "services": [_service(item, pack) for item in family.services],
        "source": source_answer(family.source, pack),
    }


def _generation(item: Generation) -> Json:
    return {"id": item.id, "name": item.name, "note": item.note}


def _service(item: PlannedService, pack: Pack) -> Json:
    careful = item.careful
    return {
        "id": item.id,
        "name": item.name,
        "distance": quantity(item.distance_km, "km"),
        "age": quantity(item.age_years, "years"),
        "careful": None if careful is None else _careful(careful, pack),
        "oil": item.oil,
        "special_tools": [pack.special_tool(name).name for name in pack.operation(item.operation).special_tools],
    }


def _careful(interval: ServiceInterval, pack: Pack) -> Json:
    return {
        "distance": quantity(interval.distance_km, "km"),
        "age": quantity(interval.age_years, "years"),
        "source": source_answer(interval.source, pack),
    }


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
