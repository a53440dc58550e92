"""Lives that ended, and which copy each failure was."""

from __future__ import annotations

from dataclasses import replace

import pytest

from riskapi.domain.recorded import Ending, Events, Record, after_failure, copy_failed, endings

NEW = Events(0.0, 0)


def ending(life: Events, t: float, work: str = "failed", told: bool = False) -> Ending:
    return Ending(life, t, work, told, "/service_history/0")


def test_a_failure_starts_a_life_with_the_part_fitted_then() -> None:
    failed = after_failure(NEW, ending(NEW, 4.0), 1)
    assert failed == Events(4.0, 1, before=ending(NEW, 4.0))
    again = after_failure(failed, ending(failed, 6.0), 2)
    assert [e.t for e in endings(again)] == [6.0, 4.0]


def test_a_failure_right_after_a_renewal_is_the_reason_for_it() -> None:
    renewed = Events(4.0, 1, before=ending(NEW, 4.0, "renewed"))
    assert after_failure(renewed, ending(renewed, 4.02), 1) == replace(renewed, before=ending(NEW, 4.0))
    told = after_failure(renewed, ending(renewed, 4.02, told=True), 1)
    assert told.before == ending(NEW, 4.0, told=True)


def test_a_failure_right_after_another_engine_says_nothing() -> None:
    engine = Events(4.0, 1, before=ending(NEW, 4.0, "engine_replaced"))
    assert after_failure(engine, ending(engine, 4.02), 2) == replace(engine, start=4.02, part=2)
    assert after_failure(engine, ending(engine, 4.02, told=True), 2) == engine


@pytest.mark.parametrize("copies", [1, 2, 4])
def test_ways_sum_to_one_and_no_more_copies_fail_than_there_are(copies: int) -> None:
    ways = [Record(1.0, (), NEW)]
    for t in (3.0, 5.0, 7.0):
        ways = [
            after
            for way in ways
            for after in copy_failed(way, copies, lambda life, t=t: after_failure(life, ending(life, t), 0))  # type: ignore[misc]
        ]
    assert sum(way.weight for way in ways) == pytest.approx(1.0)
    assert all(1 <= len(way.apart) <= copies and way.tells_a_failure for way in ways)
    assert all(sum(len(list(endings(life))) for life in way.apart) == 3 for way in ways)
    one = [way for way in ways if len(way.apart) == 1]
    assert sum(way.weight for way in one) == pytest.approx(copies**-2)  # all three the same copy
