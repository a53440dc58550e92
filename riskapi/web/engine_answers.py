"""Engine families and revisions of the knowledge pack as JSON: schemas and contents."""

from __future__ import annotations

from marshmallow import fields

from riskapi.domain.knowledge import Family, Generation, Pack, Revision, WeakPoint
from riskapi.web.answer_fields import AnswerSchema, many, one, text, texts
from riskapi.web.knowledge_answers import Json, QuantitySchema, SourceSchema, next_cursor, quantity, source_answer


def _traits() -> fields.Raw:
    values = {"type": "object", "additionalProperties": {"type": ["string", "number"]}}
    return fields.Raw(required=True, metadata={"description": "Traits: name to word or number.", **values})


class GenerationSchema(AnswerSchema):
    id = text("Generation.")
    name = text("Its name.")
    note = text("What sets it apart.")


class RevisionSummarySchema(AnswerSchema):
    id = text("Revision.")
    name = text("Its name.")
    generation = text("Its generation.")
    since = fields.Date(required=True, metadata={"description": "Built from."})
    until = fields.Date(required=True, allow_none=True, metadata={"description": "Built until; null: still built."})
    codes = texts("Engine codes.")


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


class FittedSchema(AnswerSchema):
    id = text("Weak point.")
    name = text("Its name.")
    system = text("The system it belongs to.")
    mechanism = text("What happens.")
    warning = text("How much warning it gives.")
    hazard = text("What a failure can do.")
    part = text("Part revision fitted at the works.", allow_none=True)
    part_name = text("Its name.", allow_none=True)


class RevisionSchema(RevisionSummarySchema):
    family = text("Engine family.")
    traits = _traits()
    note = text("What sets it apart.")
    weak_points = many(FittedSchema, "Weak points that such an engine has.")
    source = one(SourceSchema, "Where the figures come from.")


def engine_summary(family: Family) -> Json:
    return {"id": family.id, "name": family.name, "maker": family.maker, "note": family.note}


def engine_answer(family: Family, pack: Pack) -> Json:
    return {
        **engine_summary(family),
        "generations": [_generation(item) for item in family.generations],
        "revisions": [_revision(item) for item in family.revisions],
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


def revision_answer(family: Family, revision: Revision, pack: Pack) -> Json:
    """One revision with the weak points its traits allow and the part revision fitted at the works."""
    fitting = [item for item in pack.weak_points if item.applies.holds(revision.traits) is not False]
    return {
        **_revision(revision),
        "family": family.id,
        "traits": dict(revision.traits.items),
        "note": revision.note,
        "weak_points": [_fitted(item, family, revision) for item in fitting],
        "source": source_answer(revision.source, pack),
    }


def _generation(item: Generation) -> Json:
    return {"id": item.id, "name": item.name, "note": item.note}


def _revision(item: Revision) -> Json:
    return {
        "id": item.id,
        "name": item.name,
        "generation": item.generation,
        "since": item.since,
        "until": item.until,
        "codes": list(item.codes),
    }


def _fitted(item: WeakPoint, family: Family, revision: Revision) -> Json:
    fit = family.fit(item.id, revision.id)
    part = item.part(fit.works) if fit is not None else None
    return {
        "id": item.id,
        "name": item.name,
        "system": item.system,
        "mechanism": item.mechanism,
        "warning": item.warning,
        "hazard": item.hazard,
        "part": part.id if part else None,
        "part_name": part.name if part else None,
    }
