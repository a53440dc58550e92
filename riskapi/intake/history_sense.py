"""Does the service history of a case make sense: known words, dates within the car's life, readings that rise?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from itertools import pairwise
from typing import Any, NamedTuple

from riskapi.domain.knowledge import Check, Pack, PartRevision, Traits, WeakPoint
from riskapi.errors import Fault
from riskapi.intake.pointers import pointer
from riskapi.intake.schemas import ENGINES
from riskapi.intake.words import choose, listed, shown

Entry = dict[str, Any]


class Reading(NamedTuple):
    """A dated odometer reading [km] and the pointer of the entry it stands in."""

    on: date
    km: float
    place: str


def history_faults(history: Sequence[Entry | None], engines: Sequence[Traits], pack: Pack) -> Iterator[Fault]:
    """Faults of the words used in each entry. `engines` are the traits the engine can have."""
    for index, entry in enumerate(history):
        if entry is not None and "item" in entry:
            yield from _item_faults(index, entry, engines, pack)


def date_faults(history: Sequence[Entry | None], built: date | None, as_of: date | None) -> Iterator[Fault]:
    """Entries before the car was built or after the assessment date."""
    for index, entry in enumerate(history):
        on = entry.get("date") if entry is not None else None
        if on is None:
            continue
        if as_of is not None and on > as_of:
            message = f"{on} is after the assessment date {as_of}."
            yield Fault(_place(index, "date"), message, 'Mend the date or "as_of".')
        if built is not None and on < built:
            message = f"{on} is before the car was built ({built})."
            yield Fault(_place(index, "date"), message, 'Mend the date or "build_date".')


def reading_faults(history: Sequence[Entry | None], now: Reading | None) -> Iterator[Fault]:
    """Readings that run backwards: one fault for each fall, naming both readings."""
    readings = sorted(_readings(history))
    if now is not None:
        readings = [*(reading for reading in readings if reading.on <= now.on), now]
    for earlier, later in pairwise(readings):
        if later.km < earlier.km:
            message = (
                f"The odometer runs backwards: {earlier.km:,.0f} km on {earlier.on} ({earlier.place}), "
                f"then {later.km:,.0f} km on {later.on} ({later.place})."
            )
            yield Fault(later.place, message, _how_to_mend(earlier, later))


def _readings(history: Sequence[Entry | None]) -> Iterator[Reading]:
    for index, entry in enumerate(history):
        if entry is not None and not entry.get("doubtful") and "date" in entry and "odometer" in entry:
            yield Reading(entry["date"], entry["odometer"], _place(index, "odometer"))


def _how_to_mend(earlier: Reading, later: Reading) -> str:
    entries = [item.place.removesuffix("/odometer") for item in (earlier, later) if "history" in item.place]
    return (
        f"Correct the wrong one, or, if it was really read so, mark the doubtful entry ({' or '.join(entries)}) "
        'with "doubtful": true: the longer distance is then scored and the report states the disagreement.'
    )


def _place(index: int, *keys: str) -> str:
    return pointer(("service_history", index, *keys))


def _item_faults(index: int, entry: Entry, engines: Sequence[Traits], pack: Pack) -> Iterator[Fault]:
    work = entry.get("work")
    if work in ("renewed", "never_renewed", "failed"):
        yield from _weak_point_faults(index, entry, engines, pack)
    elif work == "engine_replaced" and entry["item"] not in ENGINES:
        message = f"{shown(entry['item'])} is no kind of engine to fit."
        yield Fault(_place(index, "item"), message, choose(entry["item"], ENGINES))
    elif work == "checked":
        yield from _check_faults(index, entry, pack)


def _check_faults(index: int, entry: Entry, pack: Pack) -> Iterator[Fault]:
    checks = {item.id: item for item in pack.checks}
    check = checks.get(entry["item"])
    if check is None:
        yield Fault(
            _place(index, "item"), f"The check {shown(entry['item'])} is not known.", choose(entry["item"], checks)
        )
    elif "result" in entry:
        yield from result_faults(_place(index, "result"), entry["result"], check)


def result_faults(place: str, result: str, check: Check) -> Iterator[Fault]:
    """A result that the check does not have."""
    known = [item.id for item in check.results]
    if result not in known:
        yield Fault(place, f"The check {check.id} has no result {shown(result)}.", choose(result, known))


def _weak_point_faults(index: int, entry: Entry, engines: Sequence[Traits], pack: Pack) -> Iterator[Fault]:
    known = {item.id: item for item in pack.weak_points}
    weak_point = known.get(entry["item"])
    if weak_point is None:
        message = f"The weak point {shown(entry['item'])} is not known."
        yield Fault(_place(index, "item"), message, choose(entry["item"], known))
        return
    if all(weak_point.applies.holds(traits) is False for traits in engines):
        message = f"This engine has no weak point {weak_point.id} ({weak_point.name})."
        yield Fault(_place(index, "item"), message, "Remove the entry, or mend the engine's traits.")
    if "part_revision" in entry:
        yield from _part_faults(index, entry["part_revision"], weak_point)


def _part_faults(index: int, identifier: str, weak_point: WeakPoint) -> Iterator[Fault]:
    parts: dict[str, PartRevision] = {item.id: item for item in weak_point.parts}
    if identifier not in parts:
        message = f"The weak point {weak_point.id} has no part revision {shown(identifier)}."
        yield Fault(_place(index, "part_revision"), message, f"It has {listed(parts)}; leave it out when unknown.")
