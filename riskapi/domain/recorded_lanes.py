"""From what is recorded of a part to the lane it has lived, with the lives before it and beside it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from riskapi.domain.lane import EarlierLife, Lane, PastLook
from riskapi.domain.recorded import CLOSE, Ending, Events, Record

LookAt = Callable[[Events, float], PastLook | None]  # the look that counts in a life that lasts until then [years]


def lane_of(plain: Lane, record: Record, copies: int, look: LookAt) -> Lane:
    """The lane `plain`, which has nothing recorded, with this record: that of the first copy that failed by itself,
    if any, the others beside it one after the other."""
    *first, last = record.lives(copies)
    lane = _life(plain, last, plain.timeline.now, look)
    for life in reversed(first):
        lane = _life(plain, life, plain.timeline.now, look, lane)
    return lane


def _life(plain: Lane, life: Events, until: float, look: LookAt, beside: Lane | None = None) -> Lane:
    timeline = plain.timeline
    return replace(
        plain,
        timeline=timeline if until == timeline.now else replace(timeline, now=until),
        start=life.start,
        start_part=life.part,
        run_y=life.run_km,
        run_z=life.run_years,
        told=life.told,
        look=look(life, until),
        never_renewed=life.never_renewed,
        kept=0.0 if life.never_renewed else plain.kept,
        kinks=tuple(t for t in plain.kinks if life.start < t < until),
        before=_earlier(plain, life.before, look),
        beside=beside,
    )


def _earlier(plain: Lane, ending: Ending | None, look: LookAt) -> EarlierLife | None:
    """The life before, or what tells something before that: one that ended without a failure may tell nothing."""
    if ending is None:
        return None
    if not ending.failed and ending.t - ending.life.start < CLOSE:
        return _earlier(plain, ending.life.before, look)
    lane = _life(plain, ending.life, ending.t, look)
    if not ending.failed and lane.look is None and not lane.never_renewed:
        return lane.before
    return EarlierLife(lane, ending.failed, ending.told, ending.pointer)
