from __future__ import annotations

import json
from datetime import date
from typing import Any

import pytest

from riskapi.domain.knowledge import Pack
from riskapi.domain.outcome import Found, Outcome
from riskapi.errors import CaseError, Unreadable
from riskapi.intake.outcome import OUTCOME_SAMPLE, read_outcome

ASSESSED = date(2024, 5, 1)
LEAST = {"told_on": "2024-11-20", "told_by": "buyer", "bought": "undecided"}


def read(value: Any, pack: Pack) -> Outcome:
    return read_outcome(json.dumps(value), ASSESSED, "EUR", pack)


def test_what_was_told(shipped: Pack) -> None:
    outcome = read(OUTCOME_SAMPLE, shipped)
    assert (outcome.bought, outcome.bought_on, outcome.price_paid) == ("yes", date(2024, 5, 20), 5900)
    assert outcome.found == (Found("coolant_pump", "faulty", date(2024, 9, 3), None, 410, "invoice", ""),)


def test_nothing_yet(shipped: Pack) -> None:
    outcome = read(LEAST, shipped)
    assert outcome.found == ()
    assert outcome.price_paid is None


def test_an_odometer_in_miles(shipped: Pack) -> None:
    """1 mile is 1.609344 km exactly (international yard and pound agreement, 1959)."""
    assert read({**LEAST, "odometer": {"value": 1000, "unit": "mi"}}, shipped).odometer_km == pytest.approx(1609.344)


def test_every_fault_is_named_with_its_place(shipped: Pack) -> None:
    wrong = {
        "told_on": "2024-04-01",
        "told_by": "neighbour",
        "bought": "no",
        "price_paid": {"value": 5900, "unit": "USD"},
        "found": [
            {"weak_point": "coolant_pumpe", "state": "faulty", "on": "2024-06-01", "cost": {"value": 1, "unit": "USD"}},
            {"weak_point": "coolant_pump", "state": "bad"},
        ],
        "colour": "blue",
    }
    with pytest.raises(CaseError) as refused:
        read(wrong, shipped)
    assert {fault.place for fault in refused.value.faults} == {
        "/told_on",
        "/told_by",
        "/price_paid",
        "/price_paid/unit",
        "/found/0/weak_point",
        "/found/0/on",
        "/found/0/cost/unit",
        "/found/1/state",
        "/colour",
    }
    assert all(fault.mend for fault in refused.value.faults)


@pytest.mark.parametrize("text", ["", "{", "[]", "null", '"yes"', "5"])
def test_what_is_no_object(shipped: Pack, text: str) -> None:
    with pytest.raises(CaseError) as refused:
        read_outcome(text, ASSESSED, "EUR", shipped)
    assert isinstance(refused.value, Unreadable) == (text in ("", "{"))
