"""From what is recorded of a part to the lane it has lived, with the lives before it and beside it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import islice

from riskapi.domain.lane import EarlierLife, Lane, PastLook
from riskapi.domain.recorded import CLOSE, Events, Record, endings

Looks = tuple[PastLook, ...]
MOST_ENDINGS = 12  # lives before the last that are looked at: no honest history has more of one part


def lane_of(plain: Lane, record: Record, copies: int, looks: Iterable[PastLook]) -> Lane:
    """The lane `plain`, which has nothing recorded, with this record: that of the first copy that failed by itself,
    if any, the others beside it one after the other. Each life is weighed by those `looks` that saw it."""
    *first, last = record.lives(copies)
    seen = tuple(looks)
    lane = _life(plain, last, plain.timeline.now, seen)
    for life in reversed(first):
        lane = _life(plain, life, plain.timeline.now, seen, lane)
    return lane


def covered(record: Record, copies: int, t: float, now: float) -> bool:
    """Whether a look at t [years] saw a life of every copy, and tells which."""
    return all(any(_tells(t, *one) for one in _lives(life, now)) for life in record.lives(copies))


def _lives(life: Events, now: float) -> Iterator[tuple[Events, float]]:
    """The life of today and those before it, each with its end [years]."""
    yield life, now
    for ending in islice(endings(life), MOST_ENDINGS):
        yield ending.life, ending.t


def _tells(t: float, life: Events, until: float) -> bool:
    apart = life.told is None or abs(t - life.told.t) >= CLOSE
    return life.start < t < until - CLOSE and apart


def _life(plain: Lane, life: Events, until: float, looks: Looks, beside: Lane | None = None) -> Lane:
    """The lane of a life that lasted `until` then [years], after those of the lives before it that tell something."""
    before: EarlierLife | None = None
    for ending in reversed(list(islice(endings(life), MOST_ENDINGS))):
        lane = _alone(plain, ending.life, ending.t, looks, before)
        if ending.failed or (ending.t - ending.life.start >= CLOSE and (lane.looks or lane.never_renewed)):
            before = EarlierLife(lane, ending.failed, ending.told, ending.pointer)
    return _alone(plain, life, until, looks, before, beside)


def _alone(
    plain: Lane,
    life: Events,
    until: float,
    looks: Looks,
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
        looks=tuple(look for look in looks if _tells(look.t, life, until)),
        never_renewed=life.never_renewed,
        kinks=tuple(t for t in plain.kinks if life.start < t < until),
        before=before,
        beside=beside,
    )
