"""The way in: both stages at once, nothing but CaseError, and a Case that says what was stated."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from riskapi.domain.case import Case, Ownership, Usage, Visit
from riskapi.errors import CaseError, Unreadable
from riskapi.intake import FAULTS_LIMIT, case_from_json, read_case
from tests.intake.cases import PACK, PLAIN, changed, faults, read


def test_faults_of_form_and_of_meaning_come_in_one_answer() -> None:
    case = changed("vehicle.odometer", 138000)
    case["vehicle"]["engine"] = {"family": "lapwin"}
    case["vehicle"]["build_date"] = "2030-01-01"
    case["findings"] = [{"check": "cold_start_sound", "result": "quite"}, {"check": "nothing_known", "result": "x"}]
    case["market"] = {"asking_price": {"value": 1, "unit": "USD"}}
    case["sellr"] = "private"
    places = {fault.place for fault in faults(case)}
    assert places >= {
        "/vehicle/odometer",
        "/vehicle/engine/family",
        "/vehicle/build_date",
        "/findings/0/result",
        "/findings/1/check",
        "/market/asking_price/unit",
        "/sellr",
    }
    assert all(fault.message and fault.mend for fault in faults(case))


def test_a_repeated_key_is_told_beside_the_other_faults() -> None:
    text = json.dumps(changed("vehicle.odometer", 5))[:-1] + ', "as_of": "2024-05-02"}'
    with pytest.raises(CaseError) as caught:
        read_case(text, PACK)
    assert [fault.place for fault in caught.value.faults] == ["/as_of", "/vehicle/odometer"]


@pytest.mark.parametrize("word", ["NaN", "Infinity", "-Infinity", "1e999"])
def test_no_number_that_is_none(word: str) -> None:
    text = json.dumps(PLAIN).replace("138000", word)
    with pytest.raises(CaseError) as caught:
        read_case(text, PACK)
    assert [fault.place for fault in caught.value.faults] == ["/vehicle/odometer/value"]


def test_no_json_is_its_own_error() -> None:
    with pytest.raises(Unreadable):
        read_case(b"{", PACK)


def test_bytes_text_and_value_give_the_same_case() -> None:
    text = json.dumps(PLAIN)
    assert read_case(text, PACK) == read_case(text.encode(), PACK) == case_from_json(PLAIN, PACK)


def test_what_is_not_stated_stays_unknown() -> None:
    case = read(PLAIN)
    assert isinstance(case, Case)
    assert case.vehicle.software_tune == "unknown"
    assert (case.usage, case.visit) == (Usage((), ()), Visit(None, None, None, ()))
    assert (case.ownership, case.reference, case.seller) == (Ownership(None, None, None), None, None)
    assert case.findings[0].observed_by == "self"


def test_every_part_of_a_full_case_arrives() -> None:
    case = read(
        {
            "vehicle": {
                "engine": {"family": "lapwing", "revision": "lapwing_1b", "code": "LWB", "traits": {"cylinders": 4}},
                "build_date": "2011-01-15",
                "first_registered": "2011-03-01",
                "vin": "TRN00000000000042",
                "odometer": {"value": 50_000, "unit": "mi"},
                "installation": "longitudinal",
                "parts_class": "premium",
                "modifications": {"software_tune": "yes"},
            },
            "as_of": "2024-05-01",
            "seller": "trade",
            "usage": {"past": ["short_trips", "short_trips"], "planned": ["towing"]},
            "visit": {
                "place": "yard",
                "equipment": "generic_scan_tool",
                "minutes": {"value": 1, "unit": "h"},
                "consents": ["ask", "written"],
            },
            "service_history": [
                {
                    "date": "2015-02-03",
                    "odometer": {"value": 40_000, "unit": "km"},
                    "work": "renewed",
                    "item": "chain_tensioner",
                    "part_revision": "standard",
                    "evidence": "invoice",
                    "note": "with chain",
                }
            ],
            "findings": [{"check": "drives", "not_checked": "refused", "conditions": {"engine_cold": False}}],
            "ownership": {
                "years": {"value": 30, "unit": "months"},
                "annual_distance": {"value": 10_000, "unit": "km"},
                "repair_budget": {"value": 1200, "unit": "EUR"},
            },
            "market": {"sound_value": {"value": 7000, "unit": "EUR"}},
            "reference": "order-7",
        }
    )
    assert case.vehicle.odometer_km == 80_467.2
    assert (case.vehicle.parts_class, case.vehicle.software_tune) == ("premium", "yes")
    assert case.usage == Usage(("short_trips",), ("towing",))
    assert case.visit == Visit("yard", "generic_scan_tool", 60.0, ("ask", "written"))
    (entry,) = case.history
    assert (entry.pointer, entry.on, entry.part) == ("/service_history/0", date(2015, 2, 3), "standard")
    (finding,) = case.findings
    assert (finding.not_checked, finding.conditions) == ("refused", (("engine_cold", False),))
    assert case.ownership == Ownership(2.5, 10_000.0, 1200.0)
    assert (case.market.sound_value, case.reference) == (7000.0, "order-7")


def test_an_endless_list_of_faults_is_cut() -> None:
    codes = {"check": "read_codes", "measured": {"codes": ["x"] * 50}}
    found = faults(changed("findings", [{**codes, "check": f"none_{index}"} for index in range(40)]))
    assert len(found) == FAULTS_LIMIT + 1
    assert "more faults are not listed" in found[-1].message


ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5) | st.just("lapwing"),
    lambda below: (
        st.lists(below, max_size=3)
        | st.dictionaries(st.sampled_from(["value", "unit", "check", "result", "date", "family", "traits"]), below)
    ),
    max_leaves=6,
)
PATHS = st.sampled_from(
    [
        "vehicle",
        "vehicle.engine",
        "vehicle.engine.traits",
        "vehicle.odometer",
        "as_of",
        "usage",
        "service_history",
        "service_history.0",
        "service_history.1.odometer",
        "findings",
        "findings.0",
        "findings.0.measured",
        "findings.0.conditions",
        "market",
        "ownership",
        "visit",
    ]
)


@settings(max_examples=300, deadline=None)
@given(PATHS, ANYTHING)
def test_whatever_comes_is_a_case_or_a_case_error(path: str, value: Any) -> None:
    try:
        outcome: Case | CaseError = case_from_json(changed(path, value), PACK)
    except CaseError as error:
        outcome = error
    if isinstance(outcome, CaseError):
        assert outcome.faults
        assert all(fault.message and fault.mend for fault in outcome.faults)
