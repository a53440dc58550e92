"""A revision at an odometer and an age, and two of them side by side, as JSON: schemas and contents."""

from __future__ import annotations

from marshmallow import fields

from riskapi.domain.assessment import StateChances
from riskapi.domain.browse import Changes, Fitted, Row, SideBySide, View, WeakPointView
from riskapi.domain.knowledge import HAZARDS, WARNINGS, Family, Pack, Revision
from riskapi.domain.repairs import Repair
from riskapi.domain.showing import Look, Showing
from riskapi.web.answer_fields import AnswerSchema, chance, flag, many, number, one, text, texts, word
from riskapi.web.answers import StatesSchema
from riskapi.web.engine_answers import RevisionSummarySchema, revision_summary
from riskapi.web.knowledge_answers import Json, QuantitySchema, SourceSchema, quantity, source_answer

DIGITS = 6


def _date(description: str) -> fields.Date:
    return fields.Date(required=True, metadata={"description": description})


def _traits() -> fields.Raw:
    values = {"type": "object", "additionalProperties": {"type": ["string", "number"]}}
    return fields.Raw(required=True, metadata={"description": "Traits: name to word or number.", **values})


def _trait(description: str) -> fields.Raw:
    return fields.Raw(required=True, metadata={"description": description, "type": ["string", "number", "null"]})


class OnSaleSchema(AnswerSchema):
    part = text("Part revision.")
    name = text("Its name.")
    since = _date("Workshops buy it from this day on.")


class ShowingSchema(AnswerSchema):
    check = text("The check.")
    name = text("Its name.")
    if_not_sound = chance("Chance of an unusual result while the weak point is not sound.")
    if_sound = chance("The same while everything is sound.")


class SpecialToolSchema(AnswerSchema):
    id = text("The tool.")
    name = text("Its name.")
    purpose = text("What it is for.")


class RepairSchema(AnswerSchema):
    operation = text("The operation.")
    name = text("Its name.")
    special_tools = many(SpecialToolSchema, "Special tools that it needs, its access included.")
    cautions = texts("Cautions.")


class FittedSchema(AnswerSchema):
    id = text("Weak point.")
    name = text("Its name.")
    system = text("The system it belongs to.")
    mechanism = text("What happens.")
    warning = word("How much warning it gives.", WARNINGS)
    hazard = word("What a failure can do.", HAZARDS)
    present = chance("Chance that such an engine has it at all.")
    part = text("Part revision fitted at the works.", allow_none=True)
    part_name = text("Its name.", allow_none=True)
    part_by_family = flag("Whether the family says so; otherwise it is what engines with such traits have.")
    on_sale = many(OnSaleSchema, "What workshops buy, oldest first; empty when the family does not say.")
    note = text("What the family says about it.")
    state = one(StatesSchema, "Chances of its states with nothing looked at.")
    failure_probability = chance("Chance that it is faulty or fails within the term.")
    no_look_can_see = flag("Whether no check can see it coming.")
    shown_by = many(ShowingSchema, "Checks that show it strongly, best first.")
    repairs = many(RepairSchema, "Operations that it can lead to, those for a fault found early first.")


class PartChangeSchema(AnswerSchema):
    weak_point = text("Weak point.")
    name = text("Its name.")
    before = text("Part revision before.")
    after = text("Part revision after.")


class TraitChangeSchema(AnswerSchema):
    trait = text("The trait.")
    before = _trait("Its value before; null: not stated.")
    after = _trait("Its value after; null: not stated.")


class ChangesSchema(AnswerSchema):
    before = text("Revision before.")
    after = text("Revision after.")
    parts = many(PartChangeSchema, "Other part revisions from the works.")
    traits = many(TraitChangeSchema, "Other traits.")
    gained = texts("Weak points that only the revision after has.")
    lost = texts("Weak points that only the revision before has.")


class LookSchema(AnswerSchema):
    check = text("The check.")
    name = text("Its name.")
    minutes = one(QuantitySchema, "How long it takes.")
    worth = number("Chance of not being sound times what the check shows of it, summed over the weak points.")
    shows = texts("Weak points that it shows strongly, most to be found first.")


class RevisionSchema(RevisionSummarySchema):
    family = text("Engine family.")
    traits = _traits()
    note = text("What sets it apart.")
    as_of = _date("The day nearest to today on which an engine of this revision can be of this age.")
    built = _date("When it was built then.")
    odometer = one(QuantitySchema, "The odometer.")
    age = one(QuantitySchema, "The age.")
    term = one(QuantitySchema, "The term ahead.")
    distance = one(QuantitySchema, "The distance in that term.")
    weak_points = many(FittedSchema, "Weak points of such an engine, likeliest to fail first.")
    changes = one(ChangesSchema, "What changed from the revision before; null for the first.", allow_none=True)
    look_at = many(LookSchema, "What to look at, most to be found first.")
    source = one(SourceSchema, "Where the figures come from.")


class RowSchema(AnswerSchema):
    id = text("Weak point.")
    name = text("Its name.")
    first = chance("Chance that it is faulty or fails, first revision; null: it has none.", allow_none=True)
    second = chance("The same for the second.", allow_none=True)


class SideBySideSchema(AnswerSchema):
    first = one(RevisionSchema, "The revision asked for.")
    second = one(RevisionSchema, "The one beside it, at the same odometer and age.")
    changes = one(ChangesSchema, "What differs from the first to the second.")
    weak_points = many(RowSchema, "Weak points of either, largest difference first.")


def revision_answer(family: Family, revision: Revision, view: View, pack: Pack) -> Json:
    """A revision with what is known of it at the odometer and age of the view."""
    return {
        **revision_summary(revision),
        "family": family.id,
        "traits": dict(revision.traits.items),
        "note": revision.note,
        "as_of": view.as_of,
        "built": view.built,
        "odometer": quantity(round(view.odometer_km), "km"),
        "age": quantity(round(view.age_years, 2), "years"),
        "term": quantity(view.years, "years"),
        "distance": quantity(view.distance_km, "km"),
        "weak_points": [_weak_point(point) for point in view.weak_points],
        "changes": _changes(view.changes) if view.changes is not None else None,
        "look_at": [_look(look) for look in view.looks],
        "source": source_answer(revision.source, pack),
    }


def against_answer(family: Family, revisions: tuple[Revision, Revision], pair: SideBySide, pack: Pack) -> Json:
    """Two revisions side by side."""
    return {
        "first": revision_answer(family, revisions[0], pair.first, pack),
        "second": revision_answer(family, revisions[1], pair.second, pack),
        "changes": _changes(pair.changes),
        "weak_points": [_row(row) for row in pair.rows],
    }


def _weak_point(point: WeakPointView) -> Json:
    return {
        "id": point.id,
        "name": point.name,
        "system": point.system,
        "mechanism": point.mechanism,
        "warning": point.warning,
        "hazard": point.hazard,
        "present": round(point.present, DIGITS),
        **_fitted(point.fitted),
        "state": _state(point.state),
        "failure_probability": round(point.failure, DIGITS),
        "no_look_can_see": point.unseen,
        "shown_by": [_showing(showing) for showing in point.showings],
        "repairs": [_repair(repair) for repair in point.repairs],
    }


def _repair(repair: Repair) -> Json:
    tools = [{"id": tool.id, "name": tool.name, "purpose": tool.purpose} for tool in repair.special_tools]
    cautions = list(repair.cautions)
    return {"operation": repair.operation, "name": repair.name, "special_tools": tools, "cautions": cautions}


def _fitted(fitted: Fitted | None) -> Json:
    on_sale = fitted.on_sale if fitted is not None else ()
    return {
        "part": fitted.part if fitted is not None else None,
        "part_name": fitted.name if fitted is not None else None,
        "part_by_family": fitted is not None and fitted.by_family,
        "on_sale": [{"part": item.part, "name": item.name, "since": item.since} for item in on_sale],
        "note": fitted.note if fitted is not None else "",
    }


def _state(state: StateChances) -> Json:
    chances = {"sound": state.sound, "degraded": state.degraded, "faulty": state.faulty}
    return {name: round(value, DIGITS) for name, value in chances.items()}


def _showing(showing: Showing) -> Json:
    chances = {"if_not_sound": showing.if_not_sound, "if_sound": showing.if_sound}
    rounded = {name: round(value, DIGITS) for name, value in chances.items()}
    return {"check": showing.check, "name": showing.name, **rounded}


def _changes(changes: Changes) -> Json:
    return {
        "before": changes.before,
        "after": changes.after,
        "parts": [
            {"weak_point": part.weak_point, "name": part.name, "before": part.before, "after": part.after}
            for part in changes.parts
        ],
        "traits": [{"trait": item.trait, "before": item.before, "after": item.after} for item in changes.traits],
        "gained": list(changes.gained),
        "lost": list(changes.lost),
    }


def _look(look: Look) -> Json:
    return {
        "check": look.check,
        "name": look.name,
        "minutes": quantity(look.minutes, "min"),
        "worth": round(look.worth, DIGITS),
        "shows": list(look.shows),
    }


def _row(row: Row) -> Json:
    first, second = (None if point is None else round(point.failure, DIGITS) for point in (row.first, row.second))
    return {"id": row.id, "name": row.name, "first": first, "second": second}
