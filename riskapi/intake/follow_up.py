"""What was found since: new findings, history entries, date and odometer, laid over a case that is kept.

The case that comes out is checked whole, like any other. Faults are placed in what was sent; those that only show in
the case so far say where in it they lie.
"""

from __future__ import annotations

import copy
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Any

from riskapi.domain.case import Case
from riskapi.domain.knowledge import Pack
from riskapi.domain.sentence import Written, at_fault, told
from riskapi.errors import CaseError, Fault
from riskapi.intake.base import RequestSchema, load
from riskapi.intake.fields import Day, Group, Many
from riskapi.intake.kept import read_kept
from riskapi.intake.pointers import in_order, pointer
from riskapi.intake.schemas import (
    FINDINGS_LIMIT,
    HISTORY_LIMIT,
    FindingSchema,
    HistoryEntrySchema,
    VisitSchema,
    docs,
    odometer_field,
)
from riskapi.intake.strict_json import read_document

Json = dict[str, Any]
_LISTS = {"findings": ("check", "observed_by"), "service_history": ("date", "work", "item")}
_USUAL = {"observed_by": "self"}


class FurtherSchema(RequestSchema):
    """What was found since, or better known. What is left out stays as it was."""

    as_of = Day(metadata=docs("The new assessment date.", "2024-05-08"))
    odometer = odometer_field("Reading of the odometer at that date.")
    visit = Group(VisitSchema, metadata=docs("The visit; takes the place of the earlier one."))
    service_history = Many(
        Group(HistoryEntrySchema),
        limit=HISTORY_LIMIT,
        metadata=docs("More of the past. An entry of the same date, work and item is replaced."),
    )
    findings = Many(
        Group(FindingSchema),
        limit=FINDINGS_LIMIT,
        metadata=docs("More findings. One of the same check, observed by the same, is replaced."),
    )


@dataclass(slots=True)
class Merged:
    """A case with more laid over it; `places` says where in what was sent a list item of the case came from."""

    case: Json
    places: dict[tuple[str, int], int] = field(default_factory=dict)


def read_follow_up(kept: bytes, data: bytes | str, pack: Pack) -> tuple[Case, Json]:
    """The case that is kept with more laid over it, and the same as JSON.

    Raises Unreadable when `data` is no JSON, CaseError with every fault otherwise.
    """
    document = read_document(data)
    _, malformed = load(FurtherSchema(), document.value)
    sent = document.value if isinstance(document.value, dict) else {}
    faults = [*document.faults, *malformed, *_nothing(sent, malformed)]
    merged = merge(read_document(kept).value, sent)
    try:
        case = read_kept(merged.case, pack)
    except CaseError as error:
        faults += placed(error.faults, merged, sent)
    if faults:
        raise CaseError(in_order(faults))
    return case, merged.case


def _nothing(sent: Json, malformed: list[Fault]) -> list[Fault]:
    if sent or malformed:
        return []
    mend = told('Send for example {{"findings": [...]}} with what was found.')
    return [at_fault("", told("Nothing was sent."), mend)]


def merge(kept: Json, sent: Json) -> Merged:
    """`sent` laid over `kept`, neither of which is changed. What of it is not well formed is left as it is."""
    merged = Merged(copy.deepcopy(kept))
    for key in ("as_of", "visit"):
        if key in sent:
            merged.case[key] = sent[key]
    if "odometer" in sent:
        merged.case["vehicle"]["odometer"] = sent["odometer"]
    for name, keys in _LISTS.items():
        if isinstance(sent.get(name), list):
            _lay_over(merged, name, keys, sent[name])
    return merged


def _lay_over(merged: Merged, name: str, keys: tuple[str, ...], sent: list[Any]) -> None:
    items: list[Any] = merged.case.setdefault(name, [])
    known = {_key(item, keys): index for index, item in enumerate(items)}
    for index, item in enumerate(sent):
        at = known.pop(_key(item, keys), len(items))  # one sent twice stands there twice, which is then a fault
        items[at : at + 1] = [item]
        merged.places[name, at] = index


def _key(item: Any, keys: tuple[str, ...]) -> str:
    """What an item is about; one that is not well formed is about nothing else."""
    stated = [item.get(key, _USUAL.get(key)) for key in keys] if isinstance(item, dict) else [item]
    return repr(stated)


def placed(faults: Iterable[Fault], merged: Merged, sent: Json) -> list[Fault]:
    """Faults of the whole case, placed in what was sent where they come from there."""
    return [_placed(fault, merged, sent) for fault in faults]


def _placed(fault: Fault, merged: Merged, sent: Json) -> Fault:
    steps = fault.place.split("/")[1:]
    if len(steps) > 1 and steps[1].isdecimal():
        index = merged.places.get((steps[0], int(steps[1])))
        if index is not None:
            return replace(fault, place=pointer((steps[0], index)) + _rest(steps[2:]))
    if steps[:2] == ["vehicle", "odometer"] and "odometer" in sent:
        return replace(fault, place="/odometer" + _rest(steps[2:]))
    if steps[:1] in (["as_of"], ["visit"]) and steps[0] in sent:
        return fault
    return so_far(fault)


def _rest(steps: list[str]) -> str:
    return "".join(f"/{step}" for step in steps)


def so_far(fault: Fault) -> Fault:
    """A fault that lies in the case as it was kept, not in what was sent."""
    message = told("In the case so far: {message}", message=fault.message)
    if fault.place:
        place = Written(fault.place)
        message = told("In the case so far, at {place}: {message}", place=place, message=fault.message)
    return replace(fault, place="", message=message)
