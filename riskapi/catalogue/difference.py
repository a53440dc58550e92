"""What changed from one knowledge pack to another: every figure, and every record that came, went or changed.

A figure is known by the dotted path that leads to it; figures of engines/<family>.yaml by the name of the file and the
path, since every family has the same paths. A figure that is only written otherwise (8 h, 480 min) has changed.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, replace
from datetime import date
from typing import Any

from riskapi.domain.knowledge import Family, Figure, Pack

FOLDER = "engines/"
SHORT = 60  # characters of a text that is told in full


@dataclass(frozen=True, slots=True)
class FigureChange:
    """A figure that both packs have, with another value, unit or source."""

    path: str
    before: Figure
    after: Figure


@dataclass(frozen=True, slots=True)
class RecordName:
    """A record of a pack, by kind and id."""

    kind: str
    id: str


@dataclass(frozen=True, slots=True)
class RecordChange:
    """A record that both packs have, and the fields in which it differs, figures included; `told`: in words."""

    name: RecordName
    fields: tuple[str, ...]
    told: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Difference:
    """Everything that differs, in the order of the pack it is read from."""

    figures: tuple[FigureChange, ...]
    figures_added: tuple[str, ...]
    figures_removed: tuple[str, ...]
    records_added: tuple[RecordName, ...]
    records_removed: tuple[RecordName, ...]
    records: tuple[RecordChange, ...]

    @property
    def empty(self) -> bool:
        return not any(getattr(self, field.name) for field in fields(self))


def compare(old: Pack, new: Pack) -> Difference:
    """The difference from `old` to `new`."""
    before, after = _figures(old), _figures(new)
    had, has = dict(_records(old)), dict(_records(new))
    return Difference(
        figures=tuple(
            FigureChange(path, before[path], after[path])
            for path in before
            if path in after and _written(before[path]) != _written(after[path])
        ),
        figures_added=tuple(path for path in after if path not in before),
        figures_removed=tuple(path for path in before if path not in after),
        records_added=tuple(name for name in has if name not in had),
        records_removed=tuple(name for name in had if name not in has),
        records=tuple(_changes(had, has)),
    )


def _figures(pack: Pack) -> dict[str, Figure]:
    return {_path(figure): figure for figure in pack.figures}


def _path(figure: Figure) -> str:
    file = figure.place.split(":")[0]
    return f"{file} {figure.path}" if file.startswith(FOLDER) else figure.path


def _written(figure: Figure) -> tuple[float, str, str]:
    return figure.value, figure.unit, figure.source


# ---- records ---------------------------------------------------------------------------------------------


def _records(pack: Pack) -> Iterator[tuple[RecordName, Any]]:
    """Every record that has an id, and the parts of pack.yaml that have none."""
    yield RecordName("pack", "defaults"), pack.defaults
    yield RecordName("pack", "fixed_amounts"), pack.fixed
    yield RecordName("pack", "note"), pack.note
    yield from ((RecordName("trait", word.name), word) for word in pack.traits)
    kinds: dict[str, tuple[Any, ...]] = {
        "source": pack.sources,
        "condition": pack.conditions,
        "stress condition": pack.stress_conditions,
        "weak point": pack.weak_points,
        "symptom": pack.symptoms,
        "set-up": pack.set_ups,
        "check": pack.checks,
        "access step": pack.access_steps,
        "operation": pack.operations,
        "special tool": pack.special_tools,
    }
    yield from ((RecordName(kind, item.id), item) for kind, items in kinds.items() for item in items)
    for family in pack.families:
        yield from _family(family)


def _family(family: Family) -> Iterator[tuple[RecordName, Any]]:
    yield RecordName("engine family", family.id), replace(family, revisions=(), fits=(), services=())
    yield from ((RecordName("revision", revision.id), revision) for revision in family.revisions)
    yield from ((RecordName(f"service of {family.id}", service.id), service) for service in family.services)
    for fit in family.fits:
        for revision in fit.revisions:
            yield RecordName(f"fit of {revision}", fit.weak_point), replace(fit, revisions=(revision,))


def _changes(had: Mapping[RecordName, Any], has: Mapping[RecordName, Any]) -> Iterator[RecordChange]:
    for name, before in had.items():
        after = has.get(name, before)
        if before != after:
            differing = _differing(before, after)
            yield RecordChange(name, differing, tuple(_told(field, before, after) for field in differing))


def _differing(before: Any, after: Any) -> tuple[str, ...]:
    if isinstance(before, str):
        return ("text",)
    return tuple(f.name for f in fields(before) if getattr(before, f.name) != getattr(after, f.name))


def _told(field: str, before: Any, after: Any) -> str:
    """The field, with what stood and stands there where that is a word, a date, an id or a list of such."""
    if isinstance(before, str):
        return field
    old, new = getattr(before, field), getattr(after, field)
    if _short(old) and _short(new):
        return f"{field} {_word(old)} -> {_word(new)}"
    if not (_list(old) and _list(new)):
        return field
    changes = [f"+ {item}" for item in new if item not in old] + [f"- {item}" for item in old if item not in new]
    return f"{field} {', '.join(changes)}" if changes else f"{field} in another order"


def _short(value: Any) -> bool:
    return value is None or isinstance(value, bool | date) or (isinstance(value, str) and len(value) <= SHORT)


def _word(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "nothing" if value is None or value == "" else str(value)


def _list(value: Any) -> bool:
    return isinstance(value, tuple) and all(isinstance(item, str) and len(item) <= SHORT for item in value)


# ---- in words --------------------------------------------------------------------------------------------


def in_words(difference: Difference) -> Iterator[str]:
    """One line per change; a line that begins with two blanks belongs to the heading above it."""
    if difference.empty:
        yield "The two packs say the same."
        return
    yield from _section("Records added", (_name(name) for name in difference.records_added))
    yield from _section("Records removed", (_name(name) for name in difference.records_removed))
    yield from _section("Records changed", (_record(change) for change in difference.records))
    yield from _section("Figures changed", (_figure(change) for change in difference.figures))
    yield from _section("Figures added", difference.figures_added)
    yield from _section("Figures removed", difference.figures_removed)


def _section(title: str, lines: Iterator[str] | tuple[str, ...]) -> Iterator[str]:
    told = tuple(lines)
    if told:
        yield f"{title}: {len(told)}"
        yield from (f"  {line}" for line in told)


def _name(name: RecordName) -> str:
    return f"{name.kind} {name.id}"


def _record(change: RecordChange) -> str:
    return f"{_name(change.name)}: {'; '.join(change.told)}"


def _figure(change: FigureChange) -> str:
    before, after = change.before, change.after
    if before.source == after.source:
        return f"{change.path}: {_amount(before)} -> {_amount(after)}{_ratio(before, after)} ({after.source})"
    return f"{change.path}: {_amount(before)} ({before.source}) -> {_amount(after)} ({after.source})"


def _amount(figure: Figure) -> str:
    return f"{figure.value:g} {figure.unit}"


def _ratio(before: Figure, after: Figure) -> str:
    if before.unit != after.unit or before.value <= 0.0:
        return ""
    change = 100.0 * (after.value / before.value - 1.0)
    return f", {change:+.0f} %" if abs(change) >= 0.5 else ""
