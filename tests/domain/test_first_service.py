"""The first service list, what the workshop has to mind, and the days to ask how it went."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from riskapi.domain.case import Case, HistoryEntry
from riskapi.domain.first_service import Renewed, after_purchase, due_after, months_later
from riskapi.domain.knowledge import ServiceInterval
from riskapi.domain.plan_records import ServiceItem
from riskapi.domain.repair_plan import plan_work
from riskapi.domain.stress import oil_interval
from riskapi.domain.timeline import build_timeline
from riskapi.domain.watch import what_is_left
from tests.domain.test_repair_plan import NAMES, bought, pack
from tests.simulator import tiny_cases

CASE = tiny_cases.plain_case()  # 148,000 km on 1 June 2024, 14,000 km a year ahead
TIMELINE = build_timeline([], 10.1, 148_000.0, 14_000.0, 3.0)
OIL = ServiceInterval(15_000.0, 1.0, "test")


@pytest.mark.parametrize(
    ("day", "months", "later"),
    [
        (date(2026, 3, 14), 6, date(2026, 9, 14)),
        (date(2026, 8, 31), 6, date(2027, 2, 28)),
        (date(2027, 8, 31), 6, date(2028, 2, 29)),
        (date(2026, 12, 31), 12, date(2027, 12, 31)),
    ],
)
def test_months_later_is_the_same_day_or_the_last_of_the_month(day: date, months: int, later: date) -> None:
    assert months_later(day, months) == later


def test_due_by_time_or_distance_whichever_comes_first() -> None:
    """By hand: a year after 1 March 2024 is 1 March 2025; 15,000 km after 140,000 km are 7,000 km, half a year."""
    on, odometer = due_after(Renewed(date(2024, 3, 1), 147_500.0), OIL, CASE, TIMELINE)
    assert on == date(2025, 3, 1)
    assert odometer == pytest.approx(148_000.0 + (365.25 - 92) / 365.25 * 14_000.0)
    on, odometer = due_after(Renewed(date(2024, 3, 1), 140_000.0), OIL, CASE, TIMELINE)
    assert odometer == pytest.approx(155_000.0)
    assert on == date(2024, 12, 1)


def test_what_is_past_is_due_today() -> None:
    for last in (Renewed(date(2020, 1, 1), 147_000.0), Renewed(date(2024, 5, 1), 120_000.0)):
        assert due_after(last, OIL, CASE, TIMELINE) == (CASE.as_of, 148_000.0)


def test_a_car_that_stands_still_is_due_by_time_alone() -> None:
    still = build_timeline([], 10.1, 148_000.0, 0.0, 3.0)
    assert due_after(Renewed(date(2024, 3, 1), 147_000.0), OIL, CASE, still) == (date(2025, 3, 1), 148_000.0)


def items(name: str, history: tuple[HistoryEntry, ...] | None = None) -> dict[str, ServiceItem]:
    car = bought(name)
    case: Case = car.found.case if history is None else replace(car.found.case, history=history)
    family = car.found.identity.family
    work, _ = plan_work(pack(), family, car.worth, car.terms.level, car.results)
    watch = what_is_left(pack(), case, car.worth, work.weak_points, ()).watch
    return {item.id: item for item in after_purchase(pack(), case, family, car.worth, work, watch).first_service}


def test_what_no_paper_shows_is_done_at_the_first_service() -> None:
    """Common practice, no source: oil at once; a belt or plugs past their first interval are asked for."""
    listed = items("clean_late", ())
    assert (listed["oil_change"].when, listed["oil_change"].why) == ("now", "no_paper")
    assert (listed["spark_plugs"].when, listed["spark_plugs"].why) == ("now", "ask")
    assert listed["air_filter"].why == "usual"


def test_papers_move_it() -> None:
    case = bought("clean_late").found.case
    fresh = tiny_cases.entry(case.as_of, "oil_service", odometer_km=case.vehicle.odometer_km, evidence="stamp")
    told = replace(fresh, evidence="told")
    plugs = tiny_cases.entry(case.as_of, "renewed", item="spark_plugs", odometer_km=case.vehicle.odometer_km)
    assert items("clean_late", (told,))["oil_change"].why == "no_paper"
    listed = items("clean_late", (fresh, plugs))
    assert listed["oil_change"].why == "interval"
    assert listed["oil_change"].last == case.as_of
    assert listed["oil_change"].on is not None
    careful = oil_interval(pack(), bought("clean_late").found.identity.family)
    assert (listed["oil_change"].on - case.as_of).days <= careful.age_years * 366
    assert listed["spark_plugs"].when == "due"


def test_another_engine_counts_as_everything_new_unless_it_was_used() -> None:
    case = bought("clean_late").found.case
    for item, why in (("new", "interval"), ("used", "no_paper")):
        engine = tiny_cases.entry(case.as_of, "engine_replaced", item=item, odometer_km=case.vehicle.odometer_km)
        assert items("clean_late", (engine,))["oil_change"].why == why


@pytest.mark.parametrize("name", NAMES)
def test_the_lists_of_the_samples(name: str) -> None:
    car = bought(name)
    case = car.found.case
    work, _ = plan_work(pack(), car.found.identity.family, car.worth, car.terms.level, car.results)
    listed = items(name)
    assert listed
    order = [item.when for item in listed.values()]
    assert order == sorted(order, key=lambda when: when != "now")
    for item in listed.values():
        assert (item.on is None) == (item.odometer_km is None)
        if item.on is not None and item.odometer_km is not None:
            assert item.when == "due"
            assert item.on >= case.as_of
            assert item.odometer_km >= case.vehicle.odometer_km
    planned = {item.id for item in listed.values() if item.why == "plan"}
    assert planned >= {job.id for job in work.jobs if job.kind == "service"}


def test_cautions_and_used_once_parts_are_those_of_the_work() -> None:
    car = bought("swollen_belt")
    work, _ = plan_work(pack(), car.found.identity.family, car.worth, car.terms.level, car.results)
    after = after_purchase(pack(), car.found.case, car.found.identity.family, car.worth, work, ())
    assert "locking set for cams and crankshaft" in " ".join(after.special_tools).lower()
    assert "Never turn the engine backwards." in after.workshop_cautions
    assert "sump sealant" in after.one_use
    assert [item.months for item in after.follow_ups] == [6, 12]
