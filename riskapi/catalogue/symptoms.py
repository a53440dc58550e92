"""symptoms.yaml: what shows, its levels, and how wetness runs down from zone to zone."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from riskapi.catalogue.nodes import Entry, Item
from riskapi.domain.knowledge import PLACES, RunDown, Symptom

FLUIDS = ("oil", "coolant", "fuel", "soot")


def read_symptoms(root: Entry) -> tuple[Symptom, ...]:
    """The symptoms in the order of the file."""
    entries = dict(root.need("symptoms").entry().records("symptom"))
    words = {identifier: entry.need("levels").identifiers() for identifier, entry in entries.items()}
    levels = {identifier: len(names) - 1 for identifier, names in words.items()}
    return tuple(_symptom(identifier, entry, words[identifier], levels) for identifier, entry in entries.items())


def _symptom(identifier: str, entry: Entry, words: tuple[str, ...], levels: Mapping[str, int]) -> Symptom:
    named = entry.get("levels")
    if named.present and len(words) < 2:
        named.fault("a symptom needs at least two levels.", "The first level means that nothing shows.")
    if len(set(words)) < len(words):
        named.fault("a level is named twice.", "Give every level its own word.")
    zone, place = entry.get("zone"), entry.get("place")
    runs_down = entry.get("runs_down").items()
    if runs_down and not zone.present:
        entry.item.fault("only a zone can run down.", "Add 'zone: oil' (or coolant, fuel, soot).")
    if place.present and not zone.present:
        place.fault("only a zone has a place on the engine.", "Add 'zone: oil' (or coolant, fuel, soot).")
    return Symptom(
        id=identifier,
        name=entry.need("name").text(),
        levels=words,
        background=entry.need("background").exceedance(levels[identifier] if words else None),
        zone=zone.choice(FLUIDS) if zone.present else None,
        runs_down=tuple(_arcs(runs_down, levels[identifier], levels)),
        source=entry.source,
        place=place.choice(PLACES) if place.present else None,
    )


def _arcs(items: tuple[Item, ...], upper: int, levels: Mapping[str, int]) -> Iterator[RunDown]:
    for item in items:
        entry = item.entry()
        to = entry.need("to").reference("symptom")
        table = entry.need("table")
        rows = table.items()
        if rows and len(rows) != upper:
            table.fault(f"the table has {len(rows)} rows for {upper} wet levels.", "Give one row a level from 1 up.")
        yield RunDown(to, tuple(row.exceedance(levels.get(to)) for row in rows), entry.source)
