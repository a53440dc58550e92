from __future__ import annotations

from typing import Any

import pytest

from tests.intake.cases import changed, faults, only_fault, read

FOUR = [12.0, 12.1, 12.2, 12.3]


def measured(check: str, **what: Any) -> dict[str, Any]:
    return changed("findings.0", {"check": check, "measured": what})


@pytest.mark.parametrize(
    ("finding", "place", "message", "mend"),
    [
        ({"check": "cold_start_sond", "result": "quiet"}, "/check", "not known", 'mean "cold_start_sound"?'),
        ({"check": "cold_start_sound", "result": "quite"}, "/result", 'no result "quite"', 'mean "quiet"?'),
        ({"check": "drives", "measured": {"value": 1, "unit": "s"}}, "/measured", "not measured", '"yes" or "no"'),
        (
            {"check": "drives", "result": "yes", "conditions": {"engine_cool": True}},
            "/conditions/engine_cool",
            "condition",
            'mean "engine_cold"?',
        ),
        ({"check": "cold_start_sound", "measured": {"codes": []}}, "/measured/codes", "reads no trouble", "result"),
    ],
)
def test_findings_that_make_no_sense(finding: dict[str, Any], place: str, message: str, mend: str) -> None:
    fault = only_fault(changed("findings.0", finding))
    assert fault.place == "/findings/0" + place
    assert message in fault.message
    assert mend in fault.mend


@pytest.mark.parametrize(
    ("case", "place", "words"),
    [
        (measured("cold_start_sound", value=90, unit="s"), "value", "90 s is outside 0 to 60 s"),
        (measured("cold_start_sound", value=-1, unit="s"), "value", "outside"),
        (measured("cold_start_sound", value=2, unit="bar"), "unit", "measures pressure, not time"),
        (measured("cold_start_sound", value=2, unit="sec"), "unit", "no unit known"),
        (measured("cold_start_sound", values=FOUR, unit="s"), "values", "needs one value"),
        (measured("compression", value=12, unit="bar"), "value", "one value per cylinder"),
        (measured("compression", values=FOUR[:3], unit="bar"), "values", "3 values for an engine with 4 cylinders"),
        (measured("compression", values=[*FOUR[:3], 120], unit="bar"), "values/3", "120 bar is outside 0 to 40"),
    ],
)
def test_measurements_that_the_check_cannot_read(case: dict[str, Any], place: str, words: str) -> None:
    fault = only_fault(case)
    assert fault.place == f"/findings/0/measured/{place}"
    assert words in fault.message
    assert fault.mend


def test_measured_values_come_in_the_unit_of_the_check() -> None:
    (finding,) = read(measured("compression", values=[174.0, 172.5, 171.0, 175.5], unit="psi")).findings
    assert finding.values == pytest.approx((11.9969, 11.8934, 11.7900, 12.1003), abs=1e-4)  # 1 bar = 14.50377 psi


def test_minutes_become_seconds() -> None:
    (finding,) = read(measured("cold_start_sound", value=0.5, unit="min")).findings
    assert finding.values == (30.0,)


def test_codes_are_kept_once_and_an_empty_list_is_an_answer() -> None:
    assert read(measured("read_codes", codes=["P0301", "P0300", "P0301"])).findings[0].codes == ("P0301", "P0300")
    assert read(measured("read_codes", codes=[])).findings[0].codes == ()


def test_a_check_told_twice_by_the_same_observer() -> None:
    twice = [{"check": "cold_start_sound", "result": "quiet"}, {"check": "cold_start_sound", "not_checked": "no_time"}]
    fault = only_fault(changed("findings", twice))
    assert fault.place == "/findings/1/check"
    assert "/findings/0" in fault.message


def test_a_check_told_and_seen_is_two_findings() -> None:
    told = {"check": "cold_start_sound", "result": "short", "observed_by": "seller"}
    case = read(changed("findings", [{"check": "cold_start_sound", "result": "quiet"}, told]))
    assert [item.observed_by for item in case.findings] == ["self", "seller"]


def test_one_measurement_is_not_told_again_by_its_parts() -> None:
    act = {"check": "compression", "measured": {"values": FOUR, "unit": "bar"}}
    part = {"check": "compression_pair", "result": "no"}
    assert only_fault(changed("findings", [act, part])).place == "/findings/1/check"
    assert len(read(changed("findings", [{**act, "observed_by": "papers"}, part])).findings) == 2


def test_whether_it_drives_is_told_once() -> None:
    case = changed("vehicle.moves_under_own_power", True)
    case["findings"] = [{"check": "drives", "result": "no"}]
    assert "/vehicle/moves_under_own_power" in only_fault(case).message


def test_without_a_known_number_of_cylinders_two_values_are_the_least() -> None:
    case = measured("compression", values=[12.0], unit="bar")
    case["vehicle"]["engine"] = {"traits": {"fuel": "petrol"}}
    assert "/findings/0/measured/values" in [fault.place for fault in faults(case)]
