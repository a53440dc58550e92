"""From what is recorded of a part to the lane it has lived, with the lives before it and beside it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import islice

from riskapi.domain.lane import EarlierLife, Lane, PastLook
from riskapi.domain.recorded import CLOSE, Events, Record, endings

MOST_ENDINGS = 12  # lives before the last that are looked at: no honest history has more of one part
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
    """The lane of a life that lasted `until` then [years], after those of the lives before it that tell something."""
    before: EarlierLife | None = None
    for ending in reversed(list(islice(endings(life), MOST_ENDINGS))):
        lane = _alone(plain, ending.life, ending.t, look(ending.life, ending.t), before)
        if ending.failed or (ending.t - ending.life.start >= CLOSE and (lane.look or lane.never_renewed)):
            before = EarlierLife(lane, ending.failed, ending.told, ending.pointer)
    return _alone(plain, life, until, look(life, until), before, beside)


def _alone(
    plain: Lane,
    life: Events,
    until: float,
    look: PastLook | None,
    before: EarlierLife | None,
    beside: Lane | None = None,
) -> Lane:
    timeline = plain.timeline
    return replace(
        plain,
        timeline=timeline if until == timeline.now else replace(timeline, now=until),
        start=life.start,
        start_part=life.part,
        run_y=life.run_km,
        run_z=life.run_years,
        told=life.told,
        look=look,
        never_renewed=life.never_renewed,
        kept=0.0 if life.never_renewed else plain.kept,
        kinks=tuple(t for t in plain.kinks if life.start < t < until),
        before=before,
        beside=beside,
    )
