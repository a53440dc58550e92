"""Lists in pages: a page ends with a cursor, the id of its last item, from which the next one goes on."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from marshmallow import Schema, fields
from marshmallow.validate import Length, Range

LIMIT, MOST = 50, 200

T = TypeVar("T")


def left_out() -> None:
    """The value of a query parameter that was left out. A function, so that the OpenAPI document does not offer null,
    which no query can say and which clients made from it would send as an empty text."""


class PageQuerySchema(Schema):
    """Which page of a list."""

    limit = fields.Integer(
        load_default=LIMIT, validate=Range(1, MOST), metadata={"description": "Items of a page.", "examples": [LIMIT]}
    )
    cursor = fields.String(
        load_default=left_out, validate=Length(max=200), metadata={"description": "`next` of the page before."}
    )


def page(items: Sequence[T], query: dict[str, Any], identifier: Callable[[T], str]) -> tuple[list[T], str | None]:
    """(items of the page, cursor of the next one or None). An unknown cursor gives an empty page."""
    names = [identifier(item) for item in items]
    cursor = query["cursor"]
    start = 0 if cursor is None else names.index(cursor) + 1 if cursor in names else len(names)
    end = start + query["limit"]
    return list(items[start:end]), names[end - 1] if end < len(names) else None
