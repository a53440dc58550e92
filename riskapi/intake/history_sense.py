"""Does the service history of a case make sense: known words, dates within the car's life, readings that rise?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from itertools import pairwise
from typing import Any, NamedTuple

from riskapi.domain.knowledge import Check, Pack, PartRevision, Traits, WeakPoint
from riskapi.domain.sentence import Listed, Sentence, Written, at_fault, told
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
            message = told("{day} is after the assessment date {as_of}.", day=on, as_of=as_of)
            yield at_fault(_place(index, "date"), message, told('Mend the date or "as_of".'))
        if built is not None and on < built:
            message = told("{day} is before the car was built ({built}).", day=on, built=built)
            yield at_fault(_place(index, "date"), message, told('Mend the date or "build_date".'))


def reading_faults(history: Sequence[Entry | None], now: Reading | None) -> Iterator[Fault]:
    """Readings that run backwards: one fault for each fall, naming both readings."""
    readings = sorted(_readings(history))
    if now is not None:
        readings = [*(reading for reading in readings if reading.on <= now.on), now]
    for earlier, later in pairwise(readings):
        if later.km < earlier.km:
            message = told(
                "The odometer runs backwards: {first}, then {then}.", first=_in_words(earlier), then=_in_words(later)
            )
            yield at_fault(later.place, message, _how_to_mend(earlier, later))


def _in_words(reading: Reading) -> Sentence:
    place = Written(reading.place)
    return told("{far:,.0f} km on {day} ({place})", far=reading.km, day=reading.on, place=place)


def _readings(history: Sequence[Entry | None]) -> Iterator[Reading]:
    for index, entry in enumerate(history):
        if entry is not None and not entry.get("doubtful") and "date" in entry and "odometer" in entry:
            yield Reading(entry["date"], entry["odometer"], _place(index, "odometer"))


def _how_to_mend(earlier: Reading, later: Reading) -> Sentence:
    entries = [item.place.removesuffix("/odometer") for item in (earlier, later) if "history" in item.place]
    return told(
        "Correct the wrong one, or, if it was really read so, mark the doubtful entry ({entries}) "
        'with "doubtful": true: the longer distance is then scored and the report states the disagreement.',
        entries=Listed(tuple(map(Written, entries))),
    )


def _place(index: int, *keys: str) -> str:
    return pointer(("service_history", index, *keys))


def _item_faults(index: int, entry: Entry, engines: Sequence[Traits], pack: Pack) -> Iterator[Fault]:
    work = entry.get("work")
    if work in ("renewed", "never_renewed", "failed"):
        yield from _weak_point_faults(index, entry, engines, pack)
    elif work == "engine_replaced" and entry["item"] not in ENGINES:
        message = told("{item} is no kind of engine to fit.", item=shown(entry["item"]))
        yield at_fault(_place(index, "item"), message, choose(entry["item"], ENGINES))
    elif work == "checked":
        yield from _check_faults(index, entry, pack)


def _check_faults(index: int, entry: Entry, pack: Pack) -> Iterator[Fault]:
    checks = {item.id: item for item in pack.checks}
    check = checks.get(entry["item"])
    if check is None:
        message = told("The check {check} is not known.", check=shown(entry["item"]))
        yield at_fault(_place(index, "item"), message, choose(entry["item"], checks))
    elif "result" in entry:
        yield from result_faults(_place(index, "result"), entry["result"], check)


def result_faults(place: str, result: str, check: Check) -> Iterator[Fault]:
    """A result that the check does not have."""
    known = [item.id for item in check.results]
    if result not in known:
        message = told("The check {check} has no result {result}.", check=Written(check.id), result=shown(result))
        yield at_fault(place, message, choose(result, known))


def _weak_point_faults(index: int, entry: Entry, engines: Sequence[Traits], pack: Pack) -> Iterator[Fault]:
    known = {item.id: item for item in pack.weak_points}
    weak_point = known.get(entry["item"])
    if weak_point is None:
        message = told("The weak point {weak_point} is not known.", weak_point=shown(entry["item"]))
        yield at_fault(_place(index, "item"), message, choose(entry["item"], known))
        return
    if all(weak_point.applies.holds(traits) is False for traits in engines):
        message = told(
            "This engine has no weak point {weak_point} ({name}).",
            weak_point=Written(weak_point.id), name=weak_point.name,
        )  # fmt: skip
        yield at_fault(_place(index, "item"), message, told("Remove the entry, or mend the engine's traits."))
    if "part_revision" in entry:
        yield from _part_faults(index, entry["part_revision"], weak_point)


def _part_faults(index: int, identifier: str, weak_point: WeakPoint) -> Iterator[Fault]:
    parts: dict[str, PartRevision] = {item.id: item for item in weak_point.parts}
    if identifier not in parts:
        message = told(
            "The weak point {weak_point} has no part revision {part}.",
            weak_point=Written(weak_point.id), part=shown(identifier),
        )  # fmt: skip
        mend = told("It has {parts}; leave it out when unknown.", parts=listed(parts))
        yield at_fault(_place(index, "part_revision"), message, mend)
