"""Every text of a pack that a person may be shown, with where it stands: what a language of the pack has to cover.

Ids, codes and proper names (maker, family, revision) are no texts: they stay as they are in every language.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass

from riskapi.domain.knowledge import Pack

SHOWN = frozenset(
    {
        "Pack.note",
        "Source.citation",
        "ConditionWord.name",
        "ConditionWord.if_not",
        "WeakPoint.name",
        "WeakPoint.system",
        "WeakPoint.mechanism",
        "WeakPoint.degraded_means",
        "WeakPoint.failed_means",
        "WeakPoint.cautions",
        "PartRevision.name",
        "PartRevision.no_wear_because",
        "OutcomeRow.text",
        "Raise.why",
        "Symptom.name",
        "SetUp.name",
        "SetUp.cautions",
        "Check.name",
        "Check.how",
        "Check.cautions",
        "Check.ask",
        "CheckResult.name",
        "VisitWord.text",
        "VisitWord.why",
        "AccessStep.name",
        "PartPrice.name",
        "SpecialTool.name",
        "SpecialTool.purpose",
        "Operation.name",
        "Operation.cautions",
        "Family.note",
        "Generation.name",
        "Generation.note",
        "Revision.note",
        "Fit.note",
        "PlannedService.name",
    }
)


def display_texts(pack: Pack) -> dict[str, tuple[str, ...]]:
    """Text -> the places it stands in, such as 'Check look_oil_level how', in the order of the pack."""
    found: dict[str, dict[str, None]] = {}
    for text, place in _walk(pack, ""):
        found.setdefault(text, {})[place] = None
    return {text: tuple(places) for text, places in found.items()}


def texts_not_listed(pack: Pack) -> dict[str, str]:
    """Texts with a space in them, so no ids, in fields that `SHOWN` does not name: text -> field."""
    return {text: field for text, field in _all_texts(pack) if " " in text and field not in SHOWN}


def _walk(record: object, owner: str) -> Iterator[tuple[str, str]]:
    identifier = getattr(record, "id", "")
    owner = f"{owner} {identifier}".strip() if identifier else owner
    for field, value in _texts_of(record):
        if field in SHOWN and value:
            yield value, f"{owner} {field}".strip()
    for child in _records_of(record):
        yield from _walk(child, owner)


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
