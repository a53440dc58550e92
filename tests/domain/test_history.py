"""What a service history says about the odometer, the oil, and each weak point."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from riskapi.domain.case import HistoryEntry
from riskapi.domain.history import Events, History
from riskapi.domain.knowledge import PartRevision
from riskapi.domain.lane import ToldRenewal
from tests.simulator import tiny, tiny_cases

PACK, BUILT = tiny.pack(), date(2014, 6, 1)  # the case is of 2024-06-01
CHAIN = PACK.weak_point("chain")
PARTS = CHAIN.parts  # early, mended
SUPPLIES = ((-4.0, 0), (0.58, 1))


def history(*entries: HistoryEntry) -> History:
    return History(replace(tiny_cases.plain_case(), history=entries), PACK, BUILT)


def events(*entries: HistoryEntry, parts: tuple[PartRevision, ...] = PARTS) -> Events:
    return history(*entries).events(CHAIN, parts, 0, SUPPLIES)


def years(on: date) -> float:
    return (on - BUILT).days / 365.25


def test_nothing_recorded_leaves_the_part_from_the_works() -> None:
    assert events() == Events(0.0, 0)


def test_a_documented_renewal_starts_the_life_anew_with_the_part_then_on_sale() -> None:
    on = date(2019, 3, 1)
    assert events(tiny_cases.entry(on, "renewed", item="chain")) == Events(years(on), 1)


def test_a_named_part_is_taken_at_its_word() -> None:
    on = date(2019, 3, 1)
    assert events(tiny_cases.entry(on, "renewed", item="chain", part="early")) == Events(years(on), 0)


def test_a_renewal_without_papers_is_only_told() -> None:
    """Common practice, no source: a renewal without an invoice counts little."""
    on = date(2019, 3, 1)
    found = events(tiny_cases.entry(on, "renewed", item="chain", evidence="told"))
    assert found == Events(0.0, 0, told=ToldRenewal(years(on), 0.35, 1))


def test_papers_of_a_later_day_overrule_what_was_told_before() -> None:
    later = date(2021, 3, 1)
    told = tiny_cases.entry(date(2019, 3, 1), "renewed", item="chain", evidence="told")
    assert events(tiny_cases.entry(later, "failed", item="chain"), told) == Events(years(later), 1)


def test_never_renewed_excludes_a_told_renewal() -> None:
    told = tiny_cases.entry(date(2019, 3, 1), "renewed", item="chain", evidence="told")
    never = tiny_cases.entry(date(2024, 5, 1), "never_renewed", item="chain")
    assert events(told, never) == Events(0.0, 0, never_renewed=True)


def test_what_happened_to_another_weak_point_says_nothing() -> None:
    assert events(tiny_cases.entry(date(2019, 3, 1), "renewed", item="coil")) == Events(0.0, 0)


@pytest.mark.parametrize(("kind", "part"), [("new", 1), ("overhauled", 1), ("used", 0)])
def test_another_engine_resets_every_clock(kind: str, part: int) -> None:
    """Common practice, no source: an event that resets every clock; a used one has what left the works."""
    on = date(2020, 1, 1)
    assert events(tiny_cases.entry(on, "engine_replaced", item=kind)) == Events(years(on), part)


def test_a_used_engine_brings_along_what_it_has_run() -> None:
    on = date(2020, 1, 1)
    found = events(tiny_cases.entry(on, "engine_replaced", item="used", engine_distance_km=45_000.0))
    assert found == Events(years(on), 0, 45_000.0, 3.0)  # at the pack's 15,000 km a year


def test_readings_lie_between_build_date_and_today() -> None:
    inside = tiny_cases.entry(date(2020, 6, 1), "reading", odometer_km=80_000.0)
    today = tiny_cases.entry(date(2024, 6, 1), "reading", odometer_km=148_000.0)
    before = tiny_cases.entry(date(2013, 1, 1), "reading", odometer_km=5.0)
    (reading,) = history(inside, today, before).readings()
    assert (reading.t, reading.x, reading.label) == (years(date(2020, 6, 1)), 80_000.0, "2020-06-01")


def test_only_documented_oil_services_count_and_another_engine_comes_with_fresh_oil() -> None:
    on = [date(2016, 1, 1), date(2017, 1, 1), date(2018, 1, 1), date(2019, 1, 1)]
    found = history(
        tiny_cases.entry(on[0], "oil_service", odometer_km=20_000.0),
        tiny_cases.entry(on[1], "oil_service", odometer_km=30_000.0, evidence="told"),
        tiny_cases.entry(on[2], "engine_replaced", item="used"),
        tiny_cases.entry(on[3], "oil_service", odometer_km=10_000.0, doubtful=True),
    ).oil_services()
    assert found == [years(on[0]), years(on[2]), years(on[3])]
