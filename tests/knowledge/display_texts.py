"""Which fields of the pack's records hold texts that no language of the pack has to cover."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass

from riskapi.domain.display import PACK_TEXTS, display_texts
from riskapi.domain.knowledge import Pack

__all__ = ["display_texts", "texts_not_listed"]


def texts_not_listed(pack: Pack) -> dict[str, str]:
    """Texts with a space in them, so no ids, in fields that `PACK_TEXTS` does not name: text -> field."""
    return {text: field for text, field in _all_texts(pack) if " " in text and field not in PACK_TEXTS}


def _all_texts(record: object) -> Iterator[tuple[str, str]]:
    yield from ((value, field) for field, value in _texts_of(record))
    for child in _records_of(record):
        yield from _all_texts(child)


def _texts_of(record: object) -> Iterator[tuple[str, str]]:
    """(field, text) of a record's own texts, single ones and those in tuples."""
    for field, value in _values(record):
        for item in value if isinstance(value, tuple) else (value,):
            if isinstance(item, str):
                yield field, item


def _records_of(record: object) -> Iterator[object]:
    for _, value in _values(record):
        for item in value if isinstance(value, tuple) else (value,):
            if is_dataclass(item):
                yield item


def _values(record: object) -> Iterator[tuple[str, object]]:
    if is_dataclass(record):
        kind = type(record).__name__
        yield from ((f"{kind}.{field.name}", getattr(record, field.name)) for field in fields(record))
