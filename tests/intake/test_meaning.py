from __future__ import annotations

import pytest

from tests.intake.cases import changed, faults, only_fault


def test_a_car_built_after_the_assessment() -> None:
    case = changed("vehicle.build_date", "2024-06-01")
    case["service_history"] = []
    places = [fault.place for fault in faults(case)]
    assert places == ["/vehicle/build_date", "/vehicle/first_registered"]


def test_a_registration_before_the_car_was_built() -> None:
    fault = only_fault(changed("vehicle.first_registered", "2010-08-13"))
    assert fault.place == "/vehicle/first_registered"
    assert "2010-08-14" in fault.message


@pytest.mark.parametrize("key", ["past", "planned"])
def test_an_unknown_stress_condition(key: str) -> None:
    fault = only_fault(changed(f"usage.{key}", ["towing", "short_trip"]))
    assert (fault.place, fault.mend) == (f"/usage/{key}/1", 'Did you mean "short_trips"?')


def test_two_installations() -> None:
    case = changed("vehicle.installation", "longitudinal")
    case["vehicle"]["engine"]["traits"] = {"installation": "transverse"}
    assert only_fault(case).place == "/vehicle/installation"
