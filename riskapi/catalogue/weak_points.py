"""weak_points/<system>.yaml: what fails, how long it lasts, what it shows and what it leads to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from riskapi.catalogue.expected import CHANCE, COUNT, FACTOR, KM, YEARS, Expected
from riskapi.catalogue.lifetimes import read_parts
from riskapi.catalogue.nodes import Entry, Item
from riskapi.domain.knowledge import (
    HAZARDS,
    WARNINGS,
    Effect,
    OutcomeRow,
    OutcomeTable,
    Raise,
    Stress,
    WeakPoint,
    When,
)

REPAIR_DELAY = Expected("years", 0.02)  # a stopped car stands that long before it is mended


def read_weak_points(root: Entry, levels: Mapping[str, int]) -> Iterator[WeakPoint]:
    """The weak points of a file. `levels` counts the levels above the lowest of each symptom."""
    system = root.need("system").text()
    for identifier, entry in root.need("weak_points").entry().records("weak point"):
        yield _weak_point(identifier, entry, system, levels)


def _weak_point(identifier: str, entry: Entry, system: str, levels: Mapping[str, int]) -> WeakPoint:
    pf = entry.need("pf").entry()
    parts = entry.need("parts").entry()
    if not parts.keys:
        parts.item.fault("a weak point needs a part.", "Describe at least one part revision.")
    return WeakPoint(
        id=identifier,
        name=entry.need("name").text(),
        system=system,
        applies=entry.get("applies").when(),
        mechanism=entry.need("mechanism").text(),
        degraded_means=entry.need("degraded").text(),
        failed_means=entry.need("failed").text(),
        warning=entry.need("warning").choice(WARNINGS),
        hazard=entry.need("hazard").choice(HAZARDS),
        copies=_copies(entry.need("copies")),
        repair_delay_years=entry.need("repair_delay").figure(REPAIR_DELAY),
        left_unrepaired=entry.need("left_unrepaired").figure(CHANCE),
        pf_km=pf.need("distance").figure(KM),
        pf_years=pf.need("age").figure(YEARS),
        parts=read_parts(parts, identifier),
        in_service=_outcomes(entry.need("in_service").entry()),
        found_faulty=_outcomes(entry.need("found_faulty").entry()),
        effects=tuple(_effects(entry.get("shows").entry(), levels)),
        stresses=tuple(_stresses(entry.get("stress").entry())),
        raises=tuple(_raise(item.entry()) for item in entry.get("raises").items()),
        cautions=entry.get("cautions").texts(),
        source=entry.source,
    )


def _copies(item: Item) -> int | str:
    if item.is_word("cylinders"):
        return "cylinders"
    return item.whole(Expected(COUNT.unit, 1.0))


def _effects(shows: Entry, levels: Mapping[str, int]) -> Iterator[Effect]:
    for symptom, entry in shows.keyed("symptom"):
        yield Effect(
            symptom=symptom,
            when=entry.get("when").when(),
            degraded=entry.need("degraded").exceedance(levels.get(symptom)),
            faulty=entry.need("faulty").exceedance(levels.get(symptom)),
            source=entry.source,
        )


def _stresses(stress: Entry) -> Iterator[Stress]:
    for condition, entry in stress.keyed("stress condition"):
        clock = entry.need("clock").choice(("distance", "age"))
        yield Stress(condition, clock, entry.need("factor").figure(FACTOR))


def _raise(entry: Entry) -> Raise:
    return Raise(entry.need("weak_point").reference("weak point"), entry.need("why").text())


# ---- outcome tables ------------------------------------------------------------------------------


def _outcomes(entry: Entry) -> OutcomeTable:
    items = entry.get("rows").items()
    rows = tuple(_row(item.entry()) for item in items)
    worst, index = _most_together(rows)
    if worst > 1.0 + 1e-9:
        what = f"rows that can hold together have chances of {worst * 100:g} % in sum, more than 100 %."
        items[index].fault(what, "Lower the chances, or make the conditions exclude each other.")
    otherwise = entry.need("otherwise").entry()
    return OutcomeTable(rows, OutcomeRow(0.0, When(), *_operations(otherwise)))


def _row(entry: Entry) -> OutcomeRow:
    return OutcomeRow(entry.need("chance").figure(CHANCE), entry.get("when").when(), *_operations(entry))


def _operations(entry: Entry) -> tuple[tuple[str, ...], str]:
    return entry.need("operations").references("operation"), entry.get("text").text(empty=True)


def _most_together(rows: tuple[OutcomeRow, ...]) -> tuple[float, int]:
    """The largest sum of chances over rows that one engine can meet, and the last of those rows."""
    sets: list[tuple[float, int, dict[str, frozenset[object]]]] = [(0.0, -1, {})]
    best = (0.0, -1)
    for index, row in enumerate(rows):
        for total, _, allowed in list(sets):
            joined = _joined(allowed, row.when)
            if joined is not None:
                sets.append((total + row.chance, index, joined))
                best = max(best, sets[-1][:2], key=lambda pair: pair[0])
    return best


def _joined(allowed: dict[str, frozenset[object]], when: When) -> dict[str, frozenset[object]] | None:
    """The trait values left when `when` holds too; None when nothing is left."""
    joined = dict(allowed)
    for name, values in when.terms:
        joined[name] = joined.get(name, frozenset(values)) & frozenset(values)
        if not joined[name]:
            return None
    return joined
