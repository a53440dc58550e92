"""First stage: what is not well formed, with its place and its mend."""

from __future__ import annotations

from typing import Any

import pytest

from tests.intake.cases import changed, faults, only_fault, read


def test_a_bare_number_is_refused_and_the_mend_keeps_it() -> None:
    fault = only_fault(changed("vehicle.odometer", 138000))
    assert fault.place == "/vehicle/odometer"
    assert "no unit" in fault.message
    assert fault.mend == 'Write {"value": 138000, "unit": "km"}.'


@pytest.mark.parametrize(
    ("path", "value", "place", "words"),
    [
        ("vehicle.odometer", {"value": -1, "unit": "km"}, "/vehicle/odometer/value", "outside 0 to 2,000,000 km"),
        ("vehicle.odometer", {"value": 2_000_001, "unit": "km"}, "/vehicle/odometer/value", "outside 0 to 2,000,000"),
        ("vehicle.odometer", {"value": 1_300_000, "unit": "mi"}, "/vehicle/odometer/value", "1300000 mi is outside"),
        ("vehicle.odometer", {"value": float("nan"), "unit": "km"}, "/vehicle/odometer/value", "NaN is not a finite"),
        ("vehicle.odometer", {"value": float("inf"), "unit": "km"}, "/vehicle/odometer/value", "Infinity is not a fin"),
        ("vehicle.odometer", {"value": 10**400, "unit": "km"}, "/vehicle/odometer/value", "is not a finite number"),
        ("vehicle.odometer", {"value": 1.7e308, "unit": "mi"}, "/vehicle/odometer", "is not a finite number"),
        ("vehicle.odometer", {"value": True, "unit": "km"}, "/vehicle/odometer/value", "true is not a finite number"),
        ("vehicle.odometer", {"value": "138000", "unit": "km"}, "/vehicle/odometer/value", "is not a finite number"),
        ("vehicle.odometer", {"value": 138000}, "/vehicle/odometer/unit", "required and missing"),
        ("vehicle.odometer", {"value": 138000, "unit": "years"}, "/vehicle/odometer/unit", "not one of the words"),
        ("vehicle.odometer", "138000 km", "/vehicle/odometer", "is not a number with a unit"),
        ("ownership.years", {"value": 0, "unit": "years"}, "/ownership/years/value", "outside 0.25 to 15 years"),
        ("market.tax", {"value": 120, "unit": "%"}, "/market/tax/value", "outside 0 to 100 %"),
        ("market.currency", "euro", "/market/currency", "is not a currency code of three capital letters"),
        ("market.labour_rate", {"value": 95, "unit": "EUR"}, "/market/labour_rate/unit", '"EUR" is not a currency'),
        ("market.labour_rate", {"value": 0, "unit": "EUR/h"}, "/market/labour_rate/value", "outside 1 to 10,000,000"),
        ("ownership.repair_budget", {"value": 0, "unit": "EUR"}, "/ownership/repair_budget/value", "outside 1 to"),
        ("as_of", "2024-13-01", "/as_of", "not in the calendar"),
        ("as_of", "01.05.2024", "/as_of", "is not a date written YYYY-MM-DD"),
        ("as_of", "20240501", "/as_of", "is not a date written YYYY-MM-DD"),
        ("as_of", "9999-01-01", "/as_of", "outside 1950-01-01 to 2100-12-31"),
        ("as_of", None, "/as_of", "This is null"),
        ("seller", "privat", "/seller", "not one of the words allowed"),
        ("vehicle.vin", "TRNBCK", "/vehicle/vin", "It has 6 characters, a VIN has 17"),
        ("vehicle.moves_under_own_power", "yes", "/vehicle/moves_under_own_power", "is not true or false"),
        ("vehicle.modifications", {"software_tune": True}, "/vehicle/modifications/software_tune", "not one of"),
        ("vehicle.engine.traits", ["petrol"], "/vehicle/engine/traits", "is not a trait's word or number"),
        ("vehicle.engine.traits", {"fuel": True}, "/vehicle/engine/traits/fuel", "is not a trait's word or number"),
        ("vehicle.engine.traits", {"cylinders": float("nan")}, "/vehicle/engine/traits/cylinders", "NaN is not"),
        ("findings", {}, "/findings", "is not a list of at most 500 items"),
        ("findings", [{"check": "drives", "result": "yes"}] * 501, "/findings", "501 items; at most 500"),
        ("findings.0", "quiet", "/findings/0", "is not an object"),
        ("findings.0", {"check": "read_codes"}, "/findings/0", "says nothing"),
        ("findings.0.not_checked", "refused", "/findings/0", "more than one thing: result, not_checked"),
        ("findings.0.note", "x" * 2001, "/findings/0/note", "is not a text of 0 to 2,000 characters"),
        ("findings.0.conditions", {"engine_cold": "yes"}, "/findings/0/conditions/engine_cold", "is not true or false"),
        ("reference", "", "/reference", "is not a text of 1 to 200 characters"),
        ("usage.past", ["x" * 101], "/usage/past/0", "is not a text of 1 to 100 characters"),
    ],
)
def test_one_fault_of_form(path: str, value: Any, place: str, words: str) -> None:
    fault = only_fault(changed(path, value))
    assert fault.place == place
    assert words in fault.message
    assert fault.mend


@pytest.mark.parametrize("value", [None, [], 3, "x", True])
def test_a_case_is_an_object(value: Any) -> None:
    assert faults(value)[0].place == ""


def test_an_empty_case_names_what_it_needs() -> None:
    assert [fault.place for fault in faults({})] == ["/as_of", "/vehicle"]


def test_unknown_keys_are_faults_with_a_near_word() -> None:
    fault = only_fault(changed("vehicle.odometre", 3))
    assert (fault.place, fault.mend) == ("/vehicle/odometre", 'Did you mean "odometer"?')


def test_a_flood_of_unknown_keys_is_told_in_few_words() -> None:
    found = faults(changed("visit", {f"key_{index}": 0 for index in range(5_000)}))
    assert len(found) == 21
    assert "4980 more keys" in found[0].message


@pytest.mark.parametrize(
    ("entry", "key", "words"),
    [
        ({"work": "renewed"}, "item", "needs"),
        ({"work": "never_renewed"}, "item", "needs"),
        ({"work": "failed"}, "item", "needs"),
        ({"work": "engine_replaced"}, "item", "needs"),
        ({"work": "checked", "item": "drives"}, "result", "needs"),
        ({"work": "reading"}, "odometer", "needs"),
        ({"work": "oil_service", "item": "chain_tensioner"}, "item", "means nothing"),
        ({"work": "other", "result": "quiet"}, "result", "means nothing"),
        ({"work": "other", "part_revision": "standard"}, "part_revision", "means nothing"),
        ({"work": "other", "engine_distance": {"value": 1, "unit": "km"}}, "engine_distance", "means nothing"),
        ({"work": "mended"}, "work", "not one of the words"),
    ],
)
def test_each_work_has_its_own_keys(entry: dict[str, Any], key: str, words: str) -> None:
    fault = only_fault(changed("service_history.0", {"date": "2014-06-01", **entry}))
    assert fault.place == f"/service_history/0/{key}"
    assert words in fault.message


@pytest.mark.parametrize(
    ("measured", "place", "words"),
    [
        ({"value": 2.0}, "/findings/0/measured/unit", "without its unit"),
        ({"value": 2.0, "codes": [], "unit": "s"}, "/findings/0/measured", "more than one thing: value, codes"),
        ({"unit": "s"}, "/findings/0/measured", "says nothing"),
        ({"value": float("nan"), "unit": "s"}, "/findings/0/measured/value", "NaN is not a finite number"),
        (2.0, "/findings/0/measured", "2 is not an object"),
    ],
)
def test_measured_says_one_thing_with_its_unit(measured: Any, place: str, words: str) -> None:
    fault = only_fault(changed("findings.0", {"check": "cold_start_sound", "measured": measured}))
    assert fault.place == place
    assert words in fault.message


def test_trouble_codes_have_a_shape_and_no_unit() -> None:
    finding = {"check": "read_codes", "measured": {"codes": ["P0300", "p301"], "unit": "count"}}
    places = [fault.place for fault in faults(changed("findings.0", finding))]
    assert places == ["/findings/0/measured/codes/1", "/findings/0/measured/unit"]


def test_miles_are_converted() -> None:
    assert read(changed("vehicle.odometer", {"value": 100_000, "unit": "mi"})).vehicle.odometer_km == 160_934.4
