"""From records to lanes: earlier lives, and copies beside."""

from __future__ import annotations

from riskapi.domain.lane import PastLook
from riskapi.domain.recorded import Ending, Events, Record
from riskapi.domain.recorded_lanes import lane_of
from tests.domain.builders import lane

PLAIN = lane(kinks=(2.0, 6.0), kept=0.5)  # ten years old
FIRST = Events(0.0, 0)
FINE = PastLook(3.0, (1.0, 0.5, 0.1))


def ended(life: Events, t: float, work: str) -> Events:
    return Events(t, 0, before=Ending(life, t, work, False, "/service_history/1"))


def test_nothing_recorded_is_the_plain_lane() -> None:
    assert lane_of(PLAIN, Record(1.0, (), FIRST), 4, ()) == PLAIN


def test_a_life_that_ended_by_failing_is_a_lane_as_old_as_that() -> None:
    found = lane_of(PLAIN, Record(1.0, (ended(FIRST, 5.0, "failed"),), FIRST), 1, ())
    assert (found.start, found.kinks, found.beside) == (5.0, (6.0,), None)
    before = found.before
    assert before is not None
    assert (before.failed, before.told, before.pointer) == (True, False, "/service_history/1")
    assert (before.lane.timeline.now, before.lane.kinks, before.lane.before) == (5.0, (2.0,), None)


def test_a_life_that_ended_otherwise_is_kept_where_something_is_known_of_it() -> None:
    renewed = Record(1.0, (), ended(FIRST, 5.0, "renewed"))
    assert lane_of(PLAIN, renewed, 1, ()).before is None
    before = lane_of(PLAIN, renewed, 1, (FINE,)).before
    assert before is not None
    assert (before.failed, before.lane.looks) == (False, (FINE,))
    never = ended(Events(0.0, 0, never_renewed=True), 5.0, "engine_replaced")
    first = lane_of(PLAIN, Record(1.0, (), never), 1, ()).before
    assert first is not None
    assert (first.lane.never_renewed, first.lane.kept) == (True, 0.5)  # what it says of the owners is in the masses
    twice = ended(ended(FIRST, 4.0, "failed"), 8.0, "renewed")
    last = lane_of(PLAIN, Record(1.0, (twice,), FIRST), 1, ()).before
    assert last is not None
    assert last.lane.timeline.now == 4.0  # the failure, though a renewal came after it


def test_other_copies_run_on_beside() -> None:
    record = Record(1.0, (ended(FIRST, 5.0, "failed"), ended(FIRST, 7.0, "failed")), FIRST)
    found = lane_of(PLAIN, record, 4, ())
    assert (found.start, found.beside and found.beside.start) == (5.0, 7.0)
    assert found.beside is not None
    assert found.beside.beside == PLAIN
    two = lane_of(PLAIN, record, 2, ())
    assert two.beside is not None
    assert two.beside.beside is None
