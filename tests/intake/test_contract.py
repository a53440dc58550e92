"""A repair contract in a case: read whole, or every fault named."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from riskapi.domain.case import Contract
from riskapi.domain.knowledge import Pack
from riskapi.errors import CaseError, Fault
from riskapi.intake import case_from_json

SAMPLE = Path(__file__).resolve().parents[2] / "sample_requests" / "plain_and_clean.json"
PRICE = {"value": 500, "unit": "EUR"}


def body(contract: dict[str, Any]) -> dict[str, Any]:
    case: dict[str, Any] = json.loads(SAMPLE.read_text(encoding="utf-8"))
    case["market"] = {**case.get("market", {}), "contract": contract}
    return case


def faults(contract: dict[str, Any], pack: Pack) -> list[Fault]:
    with pytest.raises(CaseError) as caught:
        case_from_json(body(contract), pack)
    return list(caught.value.faults)


def test_it_is_read(shipped: Pack) -> None:
    contract = {
        "price": PRICE,
        "weak_points": ["coolant_pump", "coolant_pump"],
        "systems": ["Cam drive"],
        "excess": {"value": 100, "unit": "EUR"},
        "limit_per_claim": {"value": 1500, "unit": "EUR"},
        "limit_total": {"value": 3000, "unit": "EUR"},
        "years": {"value": 24, "unit": "months"},
        "distance": {"value": 40000, "unit": "km"},
        "existing_faults": True,
    }
    found = case_from_json(body(contract), shipped).market.contract
    assert found == Contract(500.0, ("coolant_pump",), ("Cam drive",), 100.0, 1500.0, 3000.0, 2.0, 40_000.0, True)


def test_waiting_periods_are_read(shipped: Pack) -> None:
    waits = {"waiting_time": {"value": 3, "unit": "months"}, "waiting_distance": {"value": 1000, "unit": "km"}}
    found = case_from_json(body({"price": PRICE, "systems": ["Cooling"], **waits}), shipped).market.contract
    assert found == Contract(500.0, (), ("Cooling",), waiting_years=0.25, waiting_km=1_000.0)


def test_a_waiting_period_and_existing_faults_contradict_each_other(shipped: Pack) -> None:
    contract = {"price": PRICE, "systems": ["Cooling"], "existing_faults": True}
    [fault] = faults({**contract, "waiting_distance": {"value": 500, "unit": "km"}}, shipped)
    assert fault.place == "/market/contract/existing_faults"
    assert fault.mend == "Leave out one of existing_faults and waiting_distance."


def test_what_is_not_stated(shipped: Pack) -> None:
    found = case_from_json(body({"price": PRICE, "systems": ["Cooling"]}), shipped).market.contract
    assert found == Contract(500.0, (), ("Cooling",))


def test_every_fault_is_named(shipped: Pack) -> None:
    wrong = {"weak_points": ["coolant_pomp"], "systems": ["cooling"], "excess": {"value": 9, "unit": "CHF"}, "term": 2}
    found = faults(wrong, shipped)
    assert [fault.place.removeprefix("/market/contract") for fault in found] == [
        "/excess/unit", "/price", "/systems/0", "/term", "/weak_points/0",
    ]  # fmt: skip
    assert '"Cooling"' in found[2].mend
    assert '"coolant_pump"' in found[4].mend


def test_nothing_covered_is_a_fault(shipped: Pack) -> None:
    [fault] = faults({"price": PRICE}, shipped)
    assert (fault.place, fault.mend) == ("/market/contract", 'Add "weak_points" or "systems".')
