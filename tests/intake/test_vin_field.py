"""VIN and serial number of a case: where they are read, and that no fault repeats a VIN."""

from __future__ import annotations

from typing import Any

import pytest

from riskapi.domain.vin import clues_of
from tests.intake.cases import PLAIN, changed, faults, only_fault, read

VIN = "ZZ9V19K28APUEUAF7"  # made up; check digit as 49 CFR 565 wants it
PLACES = ("vin", "vin_seen.body", "vin_seen.control_unit")


def test_the_numbers_arrive_where_they_were_read() -> None:
    case = changed("vehicle.vin_seen", {"control_unit": VIN})
    case["vehicle"] |= {"vin": VIN[:-1] + "8", "vin_market": "us", "serial_number": "004211"}
    vehicle = read(case).vehicle
    assert vehicle.vins == clues_of({"papers": VIN[:-1] + "8", "control_unit": VIN})
    assert (vehicle.vin_market, vehicle.serial_number) == ("us", "004211")


def test_a_case_without_them_says_nothing_about_a_market() -> None:
    vehicle = read(PLAIN).vehicle
    assert (vehicle.vins, vehicle.vin_market) == ((), "other")
    assert vehicle.serial_number is None


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize(
    ("written", "words"),
    [
        (VIN[:-1], "It has 16 characters, a VIN has 17."),
        (VIN.lower(), "No VIN has the character at position 1, 2, 4, 7, 10, 11, 12, 13, 14, 15, 16."),
        (VIN[:5] + "O" + VIN[6:], "No VIN has the character at position 6."),
        ("", "It has 0 characters"),
        (1234567, "It is no text."),
        ([VIN], "It is no text."),
    ],
)
def test_what_is_no_vin_is_a_fault_that_does_not_repeat_it(place: str, written: Any, words: str) -> None:
    fault = only_fault(changed(f"vehicle.{place}", written))
    assert fault.place == f"/vehicle/{place.replace('.', '/')}"
    assert words in fault.message
    assert "17 capital letters and digits without I, O and Q" in fault.mend
    assert not written or str(written)[5:12] not in str(fault)


def test_every_place_has_its_own_fault() -> None:
    case = changed("vehicle.vin_seen", {"body": "short", "control_unit": "shorter"})
    case["vehicle"]["vin"] = "shortest"
    assert [fault.place for fault in faults(case)] == [
        "/vehicle/vin",
        "/vehicle/vin_seen/body",
        "/vehicle/vin_seen/control_unit",
    ]


def test_a_check_digit_that_does_not_fit_is_no_fault() -> None:
    wrong = VIN[:8] + "3" + VIN[9:]
    case = changed("vehicle.vin", wrong)
    case["vehicle"]["vin_market"] = "us"
    assert [vin.check_digit_fits for vin in read(case).vehicle.vins] == [False]


@pytest.mark.parametrize(
    ("key", "written", "words"),
    [
        ("serial_number", "42 a", "is not 1 to 30 capital letters and digits"),
        ("serial_number", "", "is not 1 to 30 capital letters and digits"),
        ("vin_market", "eu", "is not one of the words allowed here"),
        ("vin_seen", VIN, "is not an object"),
        ("vin_seen", {"door": VIN}, "is not known here"),
    ],
)
def test_faults_of_the_other_numbers(key: str, written: Any, words: str) -> None:
    fault = only_fault(changed(f"vehicle.{key}", written))
    assert fault.place.startswith(f"/vehicle/{key}")
    assert words in fault.message
