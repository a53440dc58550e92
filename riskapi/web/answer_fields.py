"""Fields that the answer schemas are made of; each has a description, and a unit in [brackets] where it has one."""

from __future__ import annotations

from typing import Any

from marshmallow import EXCLUDE, Schema, fields
from marshmallow.validate import OneOf, Range


class AnswerSchema(Schema):
    """Base of the answers: a later version may add keys, so clients must not refuse unknown ones."""

    class Meta:
        unknown = EXCLUDE


def day(description: str, **kwargs: Any) -> fields.String:
    return fields.String(required=True, metadata={"description": description, "format": "date"}, **kwargs)


def text(description: str, **kwargs: Any) -> fields.String:
    return fields.String(required=True, metadata={"description": description}, **kwargs)


def word(description: str, words: tuple[str, ...], **kwargs: Any) -> fields.String:
    return text(description, validate=OneOf(words), **kwargs)


def texts(description: str, **kwargs: Any) -> fields.List[Any]:
    return fields.List(fields.String(), required=True, metadata={"description": description}, **kwargs)


def numbers(description: str) -> fields.List[Any]:
    return fields.List(fields.Integer(), required=True, metadata={"description": description})


def number(description: str, **kwargs: Any) -> fields.Float:
    return fields.Float(required=True, metadata={"description": description}, **kwargs)


def count(description: str) -> fields.Integer:
    return fields.Integer(required=True, metadata={"description": description})


def chance(description: str, **kwargs: Any) -> fields.Float:
    return number(f"{description} [0..1]", validate=Range(0, 1), **kwargs)


def money(description: str, **kwargs: Any) -> fields.Float:
    return number(f"{description} [cost.currency]", **kwargs)


def flag(description: str) -> fields.Boolean:
    return fields.Boolean(required=True, metadata={"description": description})


def one(schema: type[Schema], description: str, **kwargs: Any) -> fields.Nested:
    return fields.Nested(schema, required=True, metadata={"description": description}, **kwargs)


def many(schema: type[Schema], description: str, **kwargs: Any) -> fields.List[Any]:
    return fields.List(fields.Nested(schema), required=True, metadata={"description": description}, **kwargs)
