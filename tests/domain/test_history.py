"""What a service history says about the odometer, the oil, and each weak point."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from riskapi.domain.case import HistoryEntry
from riskapi.domain.history import History
from riskapi.domain.knowledge import PartRevision
from riskapi.domain.lane import ToldRenewal
from riskapi.domain.recorded import Ending, Events, Record
from tests.simulator import tiny, tiny_cases

PACK, BUILT = tiny.pack(), date(2014, 6, 1)  # the case is of 2024-06-01
CHAIN = PACK.weak_point("chain")
PARTS = CHAIN.parts  # early, mended
SUPPLIES = ((-4.0, 0), (0.58, 1))


def history(*entries: HistoryEntry) -> History:
    return History(replace(tiny_cases.plain_case(), history=entries), PACK, BUILT)


def records(*entries: HistoryEntry, parts: tuple[PartRevision, ...] = PARTS, copies: int = 1) -> tuple[Record, ...]:
    return history(*entries).records(CHAIN, parts, 0, SUPPLIES, copies)


def life(*entries: HistoryEntry) -> Events:
    """The only life of the only part."""
    (record,) = records(*entries)
    (found,) = record.lives(1)
    return found


def events(*entries: HistoryEntry) -> Events:
    """The same without what was before it."""
    return replace(life(*entries), before=None)


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


# ---- failures ----------------------------------------------------------------------------------------------


def failed(on: date, evidence: str = "invoice", item: str = "chain") -> HistoryEntry:
    return tiny_cases.entry(on, "failed", item=item, evidence=evidence)


def renewed(on: date, evidence: str = "invoice") -> HistoryEntry:
    return tiny_cases.entry(on, "renewed", item="chain", evidence=evidence)


def test_a_failure_ends_a_life_and_starts_one() -> None:
    on = date(2019, 3, 1)
    assert life(failed(on)) == Events(
        years(on), 1, before=Ending(Events(0.0, 0), years(on), "failed", told=False, pointer="")
    )


def test_failures_one_after_the_other_are_a_chain() -> None:
    first, second = date(2017, 3, 1), date(2021, 3, 1)
    last = life(failed(second), failed(first))
    assert last.before is not None
    assert last.before.life == life(failed(first))


def test_a_failure_stays_on_record_when_part_or_engine_are_replaced() -> None:
    for later in (renewed(date(2021, 1, 1)), tiny_cases.entry(date(2021, 1, 1), "engine_replaced", item="new")):
        last = life(failed(date(2019, 3, 1)), later)
        assert last.before is not None
        assert not last.before.failed
        assert last.before.life == life(failed(date(2019, 3, 1)))


def test_the_invoice_of_the_repair_is_no_second_event() -> None:
    """On the same day, in whatever order, or a few days apart: the part failed and was renewed once."""
    on, bill = date(2019, 3, 1), date(2019, 3, 9)
    for both in ((failed(on), renewed(on)), (renewed(on), failed(on)), (renewed(on), failed(bill))):
        last = life(*both)
        assert last.start == pytest.approx(years(on), abs=0.05)
        while last.before is not None and not last.before.failed:
            last = last.before.life
        assert last.before is not None
        assert last.before.life == Events(0.0, 0)
    assert life(failed(on), failed(bill)) == life(failed(on))
    assert len(records(failed(on, "told"), renewed(bill, "told"))) == 2
    assert all(way.lives(1)[0].told is None for way in records(failed(on, "told"), renewed(bill, "told")))


def test_a_failure_that_is_only_told_may_be_made_up() -> None:
    on = date(2019, 3, 1)
    made_up, happened = records(failed(on, "told"))
    assert (made_up.weight, happened.weight) == pytest.approx((0.65, 0.35))
    assert made_up.lives(1) == (Events(0.0, 0),)
    (last,) = happened.lives(1)
    assert last.before is not None
    assert (last.start, last.before.failed, last.before.told) == (years(on), True, True)


def test_of_failures_only_told_the_last_counts_and_never_renewed_overrules_it() -> None:
    first, second = failed(date(2017, 3, 1), "told"), failed(date(2020, 3, 1), "none")
    assert records(first, second) == records(second)
    never = tiny_cases.entry(date(2024, 5, 1), "never_renewed", item="chain")
    assert records(second, never) == records(never)


def test_which_of_several_copies_failed_is_not_known() -> None:
    """The second failure was that of the same copy with 1/4; what failed is a life of its own."""
    (one,) = records(failed(date(2017, 3, 1)), copies=4)
    assert [found.start for found in one.lives(4)] == [years(date(2017, 3, 1)), 0.0]
    same, other = records(failed(date(2017, 3, 1)), failed(date(2020, 3, 1)), copies=4)
    assert (same.weight, other.weight) == (0.25, 0.75)
    assert [len(same.lives(4)), len(other.lives(4))] == [2, 3]
    every = [failed(date(year, 3, 1)) for year in (2015, 2017, 2019, 2021, 2023)]
    ways = records(*every, copies=2)
    assert sum(way.weight for way in ways) == pytest.approx(1.0)
    assert {len(way.lives(2)) for way in ways} == {2}  # all copies are spoken for, or one has the same life as before
    assert ways == records(*every[2:], copies=2)  # the last three are told apart


def test_a_failure_right_at_the_start_says_nothing() -> None:
    assert events(failed(date(2014, 6, 2))) == Events(years(date(2014, 6, 2)), 0)
    assert life(failed(date(2014, 6, 2))).before is None


def test_an_engine_without_such_a_part_cannot_have_had_it_fail() -> None:
    on = date(2019, 3, 1)
    assert history().missing(CHAIN) == 1.0
    assert history(failed(on, item="coil")).missing(CHAIN) == 1.0
    assert history(failed(on, "told")).missing(CHAIN) == 0.65
    assert history(failed(on, "told"), failed(on)).missing(CHAIN) == 0.0


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
