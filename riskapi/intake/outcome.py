"""Reading what happened after an assessment: shape first, then sense against the knowledge pack and the case."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from riskapi.domain.case import EVIDENCE
from riskapi.domain.knowledge import Pack
from riskapi.domain.outcome import BOUGHT, FOUND_STATES, TELLERS, Found, Outcome
from riskapi.domain.sentence import Written, at_fault, told
from riskapi.errors import CaseError, Fault
from riskapi.intake import quantities as q
from riskapi.intake.base import RequestSchema, load
from riskapi.intake.fields import Choice, Day, Group, Many, Text
from riskapi.intake.pointers import in_order, pointer
from riskapi.intake.schemas import ODOMETER_LIMIT, docs, money_field
from riskapi.intake.strict_json import read_document
from riskapi.intake.words import choose, shown

FOUND_LIMIT = 200
OUTCOME_SAMPLE: dict[str, Any] = {
    "told_on": "2024-11-20",
    "told_by": "buyer",
    "bought": "yes",
    "bought_on": "2024-05-20",
    "price_paid": {"value": 5900, "unit": "EUR"},
    "odometer": {"value": 144500, "unit": "km"},
    "found": [
        {
            "weak_point": "coolant_pump",
            "state": "faulty",
            "on": "2024-09-03",
            "cost": {"value": 410, "unit": "EUR"},
            "evidence": "invoice",
        }
    ],
}


class FoundSchema(RequestSchema):
    """What a weak point turned out to be."""

    weak_point = Text(limit=100, required=True, metadata=docs("Weak point, an id of the assessment.", "coolant_pump"))
    state = Choice(choices=FOUND_STATES, required=True, metadata=docs("Its state.", "faulty"))
    on = Day(metadata=docs("When it was seen.", "2024-09-03"))
    odometer = q.Quantity(q.DistanceSchema, "km", high=ODOMETER_LIMIT, metadata=docs("Odometer then."))
    cost = money_field("What putting it right cost.")
    evidence = Choice(choices=EVIDENCE, load_default="none", metadata=docs("What shows it.", "invoice"))
    note = Text(least=0, load_default="", metadata=docs("Anything else."))


class OutcomeSchema(RequestSchema):
    """What happened after an assessment; tell it again when there is more."""

    told_on = Day(required=True, metadata=docs("Date of this telling.", "2024-11-20"))
    told_by = Choice(choices=TELLERS, required=True, metadata=docs("Who tells it.", "buyer"))
    bought = Choice(choices=BOUGHT, required=True, metadata=docs("Whether the car was bought.", "yes"))
    bought_on = Day(metadata=docs("When.", "2024-05-20"))
    price_paid = money_field("What was paid.")
    odometer = q.Quantity(q.DistanceSchema, "km", high=ODOMETER_LIMIT, metadata=docs("Odometer at this telling."))
    found = Many(
        Group(FoundSchema),
        limit=FOUND_LIMIT,
        load_default=list,
        metadata=docs("What was found since; an empty list says that nothing was, yet."),
    )
    note = Text(least=0, load_default="", metadata=docs("Anything else; no names."))


def read_outcome(data: bytes | str, assessed_on: date, currency: str, pack: Pack) -> Outcome:
    """The outcome in a JSON text, of an assessment of this day in this currency. Raises Unreadable when it is no JSON,
    CaseError with every fault."""
    document = read_document(data)
    loaded, malformed = load(OutcomeSchema(), document.value)
    found = in_order([*document.faults, *malformed, *_senseless(loaded, assessed_on, currency, pack)])
    if found:
        raise CaseError(found)
    return _outcome(loaded, currency)


def _senseless(loaded: dict[str, Any], assessed: date, currency: str, pack: Pack) -> Iterator[Fault]:
    known = {item.id for item in pack.weak_points}
    told_on = loaded.get("told_on")
    if told_on is not None and told_on < assessed:
        message = told("This lies before the assessment of {assessed}.", assessed=assessed)
        yield at_fault("/told_on", message, told("Check the date."))
    if loaded.get("bought") == "no":
        for key in ("bought_on", "price_paid"):
            if key in loaded:
                mend = told('Leave it out, or write "bought": "yes" with {key}.', key=Written(key))
                yield at_fault(f"/{key}", told("The car was not bought."), mend)
    yield from _dates("/bought_on", loaded.get("bought_on"), told_on)
    yield from _money(("price_paid",), loaded, currency)
    for index, item in enumerate(loaded.get("found", [])):
        if item is not None:
            yield from _found_faults(index, item, known, told_on)
            yield from _money(("found", index, "cost"), item, currency)


def _found_faults(index: int, item: dict[str, Any], known: set[str], told_on: date | None) -> Iterator[Fault]:
    name = item.get("weak_point")
    if name is not None and name not in known:
        place = pointer(("found", index, "weak_point"))
        message = told("The weak point {weak_point} is not known.", weak_point=shown(name))
        yield at_fault(place, message, choose(name, known))
    yield from _dates(pointer(("found", index, "on")), item.get("on"), told_on)


def _dates(place: str, on: date | None, told_on: date | None) -> Iterator[Fault]:
    if on is not None and told_on is not None and on > told_on:
        message = told("This lies after the telling of {told_on}.", told_on=told_on)
        yield at_fault(place, message, told("Check the dates."))


def _money(path: tuple[str | int, ...], holder: dict[str, Any], currency: str) -> Iterator[Fault]:
    amount = holder.get(str(path[-1]))
    if amount is not None and amount.currency != currency:
        place = pointer((*path, "unit"))
        own, other = Written(currency), Written(amount.currency)
        message = told("The case is in {own}, this is in {other}.", own=own, other=other)
        yield at_fault(place, message, told("Convert it to {own}.", own=own))


def _outcome(loaded: dict[str, Any], currency: str) -> Outcome:
    price = loaded.get("price_paid")
    return Outcome(
        told_on=loaded["told_on"],
        told_by=loaded["told_by"],
        bought=loaded["bought"],
        bought_on=loaded.get("bought_on"),
        price_paid=None if price is None else price.value,
        currency=currency,
        odometer_km=loaded.get("odometer"),
        found=tuple(_found(item) for item in loaded["found"]),
        note=loaded["note"],
    )


def _found(loaded: dict[str, Any]) -> Found:
    cost = loaded.get("cost")
    return Found(
        weak_point=loaded["weak_point"],
        state=loaded["state"],
        on=loaded.get("on"),
        odometer_km=loaded.get("odometer"),
        cost=None if cost is None else cost.value,
        evidence=loaded["evidence"],
        note=loaded["note"],
    )
