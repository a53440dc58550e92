"""What the answers about engines and checks share."""

from __future__ import annotations

from typing import Any

from marshmallow import fields

from riskapi.domain.knowledge import Pack
from riskapi.web.answer_fields import AnswerSchema, number, text

Json = dict[str, Any]


class QuantitySchema(AnswerSchema):
    value = number("The number, in `unit`.")
    unit = text("Unit.")


class SourceSchema(AnswerSchema):
    id = text("Id of the source.")
    kind = text("published, standard, common_practice, judgement or memory.")
    citation = text("Where to find it.")


def next_cursor() -> fields.String:
    return text("Cursor of the next page; null on the last one.", allow_none=True)


def source_answer(identifier: str, pack: Pack) -> Json:
    source = pack.source(identifier)
    return {"id": source.id, "kind": source.kind, "citation": source.citation}


def quantity(value: float | None, unit: str) -> Json | None:
    return None if value is None else {"value": value, "unit": unit}
