"""Reading what a what-if changes."""

from __future__ import annotations

import pytest

from riskapi.domain.what_if import Changes
from riskapi.errors import CaseError
from riskapi.intake.what_if import SETTABLE, changes_from_json, read_changes, written_changes
from tests.simulator import tiny, tiny_cases

PACK, CASE = tiny.pack(), tiny_cases.plain_case()


def test_units_are_converted() -> None:
    distance, tax = '{"annual_distance": {"value": 10000, "unit": "mi"}}', '{"tax": {"value": 7, "unit": "%"}}'
    found = read_changes(f'{{"ownership": {distance}, "market": {tax}}}', CASE, PACK)
    assert found == Changes(annual_distance_km=pytest.approx(16_093.44), tax=pytest.approx(0.07))


def test_nothing_changes_nothing() -> None:
    assert changes_from_json({}, CASE, PACK).applied(CASE) == CASE


def test_everything_that_can_be_set_is_read() -> None:
    units = {"years": "years", "annual_distance": "km", "labour_rate": "EUR/h", "parts_index": "x", "tax": "%"}
    settings = [f"{name}=1 {units.get(name.split('.')[1], 'EUR')}" for name in SETTABLE]
    found = changes_from_json(written_changes(settings), CASE, PACK)
    assert found == Changes(1.0, 1.0, 1.0, 1.0, 1.0, 0.01, 1.0, 1.0)


def test_every_fault_of_a_setting_is_named() -> None:
    with pytest.raises(CaseError) as caught:
        written_changes(["ownership.year=3 years", "market.tax", "market.labour_rate=120 EUR/h"])
    assert [fault.place for fault in caught.value.faults] == ["ownership.year=3 years", "market.tax"]
    assert "ownership.years" in caught.value.faults[0].mend


def test_money_in_another_currency() -> None:
    with pytest.raises(CaseError) as caught:
        changes_from_json({"market": {"sound_value": {"value": 9, "unit": "CHF"}}}, CASE, PACK)
    [fault] = caught.value.faults
    assert (fault.place, fault.mend) == ("/market/sound_value/unit", "Write it in EUR.")
