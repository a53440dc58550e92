"""Which texts of a pack or of an answer are shown to people, and the same records with these texts in other words.

Ids, units, codes and proper names (maker, family, revision) are no texts: they stay as they are in every language.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import fields, is_dataclass, replace
from functools import cache, lru_cache
from typing import Any, TypeVar

from riskapi.domain.knowledge import Pack

_T = TypeVar("_T")

PACK_TEXTS = frozenset({
    "Pack.note", "Source.citation", "ConditionWord.name", "ConditionWord.if_not",
    "WeakPoint.name", "WeakPoint.system", "WeakPoint.mechanism", "WeakPoint.degraded_means", "WeakPoint.failed_means",
    "WeakPoint.cautions", "PartRevision.name", "PartRevision.no_wear_because", "OutcomeRow.text", "Raise.why",
    "Symptom.name", "SetUp.name", "SetUp.cautions", "Check.name", "Check.how", "Check.cautions", "Check.ask",
    "CheckResult.name", "VisitWord.text", "VisitWord.why", "AccessStep.name", "PartPrice.name", "SpecialTool.name",
    "SpecialTool.purpose", "Operation.name", "Operation.cautions", "Family.note", "Generation.name", "Generation.note",
    "Revision.note", "Fit.note", "PlannedService.name",
})  # fmt: skip

ANSWER_TEXTS = frozenset({
    "Evidence.said", "WeakPointResult.name", "WeakPointResult.part", "WeakPointResult.cautions", "PlannedItem.name",
    "Risk.budget_origin", "Identification.how", "PriceLine.label", "Threshold.source", "Checked.reading",
    "Uncounted.reason", "Assumption.text", "Assumption.source", "Assessment.facts", "Assessment.cautions",
    "PlanJob.name", "PlanOperation.name", "PlanAccess.name", "WatchItem.name", "WatchItem.check_name",
    "ServiceItem.name", "AfterPurchase.workshop_cautions", "AfterPurchase.special_tools", "AfterPurchase.one_use",
    "SpeaksTo.name", "Question.text", "Question.why", "Paper.text", "Paper.why", "Invoice.name", "Invoice.fitted",
    "Invoice.supplies", "Thing.text", "Thing.why", "Unseen.name", "Unseen.failed_means", "Checklist.facts",
    "Checklist.cautions",
})  # fmt: skip

NOT_ENTERED = frozenset({"Pack.figures", "Assessment.network", "Assessment.inputs"})  # large, and without texts


def display_texts(pack: Pack) -> dict[str, tuple[str, ...]]:
    """Text -> the places it stands in, such as 'look_oil_level Check.how', in the order of the pack."""
    found: dict[str, dict[str, None]] = {}
    for text, place in _walk(pack, ""):
        found.setdefault(text, {})[place] = None
    return {text: tuple(places) for text, places in found.items()}


def missing_texts(pack: Pack, language: str) -> tuple[str, ...]:
    """The texts that a language of the pack does not say yet."""
    said = pack.languages.get(language, {})
    return tuple(text for text in display_texts(pack) if text not in said)


@lru_cache(maxsize=8)
def translated(pack: Pack, language: str) -> Pack:
    """The pack with its texts in this language; a text that the language does not have stays English."""
    words = pack.languages.get(language, {})
    return reworded(pack, PACK_TEXTS, lambda text: words.get(text, text)) if words else pack


def reworded(record: _T, shown: frozenset[str], say: Callable[[str], str]) -> _T:
    """A frozen record, and all records in it, with the texts of the fields in `shown` said anew."""
    texts, inner = _fields_of(type(record), shown)  # type: ignore[arg-type]  # a type is hashable
    changes: dict[str, Any] = {}
    for name in texts:
        changes[name] = _said(getattr(record, name), say)
    for name in inner:
        before = getattr(record, name)
        after = _inside(before, shown, say)
        if after is not before:
            changes[name] = after
    changed = any(changes[name] != getattr(record, name) for name in texts) or len(changes) > len(texts)
    return replace(record, **changes) if changed else record  # type: ignore[type-var]


@cache
def _fields_of(kind: type, shown: frozenset[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Names of the fields of a record that are texts, and of those that may hold records."""
    names = {field.name: f"{kind.__name__}.{field.name}" for field in fields(kind)}
    texts = tuple(name for name, full in names.items() if full in shown)
    return texts, tuple(name for name, full in names.items() if full not in shown and full not in NOT_ENTERED)


def _said(value: Any, say: Callable[[str], str]) -> Any:
    """A text, or the texts in a tuple; anything else as it is."""
    if isinstance(value, tuple):
        return tuple(_said(item, say) for item in value)
    return say(value) if isinstance(value, str) and value else value


def _inside(value: Any, shown: frozenset[str], say: Callable[[str], str]) -> Any:
    if isinstance(value, tuple):
        items = tuple(_inside(item, shown, say) for item in value)
        return items if any(after is not before for after, before in zip(items, value, strict=True)) else value
    return reworded(value, shown, say) if is_dataclass(value) and not isinstance(value, type) else value


def _walk(record: Any, owner: str) -> Iterator[tuple[str, str]]:
    """Every text of a record with its place."""
    kind = type(record)
    texts, inner = _fields_of(kind, PACK_TEXTS)  # type: ignore[arg-type]
    owner = f"{owner} {getattr(record, 'id', '')}".strip()
    for name in texts:
        value = getattr(record, name)
        yield from ((text, f"{owner} {kind.__name__}.{name}".strip()) for text in _each(value) if text)
    for name in inner:
        for child in _records(getattr(record, name)):
            yield from _walk(child, owner)


def _each(value: Any) -> tuple[str, ...]:
    return value if isinstance(value, tuple) else (value,)


def _records(value: Any) -> Iterator[Any]:
    for item in value if isinstance(value, tuple) else (value,):
        if is_dataclass(item) and not isinstance(item, type):
            yield item
