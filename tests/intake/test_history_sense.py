from __future__ import annotations

from typing import Any

import pytest

from tests.intake.cases import changed, faults, only_fault, read


def entry(on: str, km: float | None = None, work: str = "oil_service", **more: Any) -> dict[str, Any]:
    odometer = {} if km is None else {"odometer": {"value": km, "unit": "km"}}
    return {"date": on, "work": work, **odometer, **more}


def test_readings_that_run_backwards_name_both_entries_and_the_mend() -> None:
    history = [entry("2019-06-01", 60_000), entry("2014-06-01", 61_000)]
    fault = only_fault(changed("service_history", history))
    assert fault.place == "/service_history/0/odometer"
    for words in ("61,000 km on 2014-06-01", "60,000 km on 2019-06-01", "/service_history/1/odometer"):
        assert words in fault.message
    assert '(/service_history/1 or /service_history/0) with "doubtful": true' in fault.mend


def test_an_odometer_below_the_last_reading_is_a_fall_too() -> None:
    fault = only_fault(changed("vehicle.odometer", {"value": 90_000, "unit": "km"}))
    assert fault.place == "/vehicle/odometer"
    assert "(/service_history/1)" in fault.mend


def test_each_fall_is_one_fault() -> None:
    history = [entry("2012-01-01", 50_000), entry("2013-01-01", 150_000), entry("2014-01-01", 70_000)]
    assert [fault.place for fault in faults(changed("service_history", history))] == ["/service_history/2/odometer"]


def test_a_doubtful_reading_is_kept_and_not_refused() -> None:
    history = [entry("2014-06-01", 190_000, doubtful=True), entry("2019-06-01", 60_000)]
    case = read(changed("service_history", history))
    assert [(item.odometer_km, item.doubtful) for item in case.history] == [(190_000.0, True), (60_000.0, False)]


def test_two_readings_of_one_day_may_stand_in_any_order() -> None:
    history = [entry("2014-06-01", 61_010), entry("2014-06-01", 61_000)]
    assert len(read(changed("service_history", history)).history) == 2


@pytest.mark.parametrize(
    ("on", "words"), [("2024-05-02", "after the assessment date"), ("2010-08-13", "before the car")]
)
def test_entries_outside_the_cars_life(on: str, words: str) -> None:
    fault = only_fault(changed("service_history", [entry(on)]))
    assert fault.place == "/service_history/0/date"
    assert words in fault.message


@pytest.mark.parametrize(
    ("item", "place", "words"),
    [
        ({"work": "renewed", "item": "chain_tensionner"}, "item", "weak point"),
        ({"work": "renewed", "item": "timing_belt"}, "item", "This engine has no weak point timing_belt"),
        (
            {"work": "renewed", "item": "chain_tensioner", "part_revision": "mended"},
            "part_revision",
            "no part revision",
        ),
        ({"work": "checked", "item": "cold_start", "result": "quiet"}, "item", "The check"),
        ({"work": "checked", "item": "cold_start_sound", "result": "loud"}, "result", 'has no result "loud"'),
        ({"work": "engine_replaced", "item": "rebuilt"}, "item", "no kind of engine"),
    ],
)
def test_words_the_pack_does_not_know(item: dict[str, Any], place: str, words: str) -> None:
    fault = only_fault(changed("service_history", [{"date": "2019-06-01", **item}]))
    assert fault.place == f"/service_history/0/{place}"
    assert words in fault.message
    assert fault.mend


def test_a_replaced_engine_keeps_its_own_distance() -> None:
    replaced = entry("2019-06-01", 90_000, "engine_replaced", item="used", engine_distance={"value": 30, "unit": "km"})
    (read_back,) = read(changed("service_history", [replaced])).history
    assert (read_back.item, read_back.engine_distance_km) == ("used", 30.0)
