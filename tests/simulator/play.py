"""Plays one weak point from the works to the end of ownership, for many cars at once."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from riskapi.domain.knowledge import DEGRADED, FAULTY, SOUND
from tests.simulator.clocks import Floats
from tests.simulator.parts import Fitted, Life, fit, kinds, on_sale

FOUND, IN_SERVICE, PLANNED = 0, 1, 2
TOO_MANY = 10_000
TRIES = 15  # cars played for each that shall have failed when the papers say so
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]
Log = list[tuple[Ints, Floats, Ints, Ints]]


@dataclass
class Past:
    """Every car as it stands today; `weight` is the chance of the recorded history given what was played."""

    part: Fitted
    abandoned: Bools  # failed, and its owners never repair it
    told: Bools  # the renewal told of is true and still to come
    weight: Floats
    renewals: Ints  # parts fitted since the start

    def take(self, which: Ints) -> Past:
        """These cars, which may be named more than once."""
        arrays = (getattr(self, f.name)[which] for f in fields(self) if f.name != "part")
        return Past(self.part.take(which), *arrays)

    def put(self, which: Ints, other: Past) -> None:
        """Put other cars in the place of these."""
        self.part.put(which, other.part)
        for f in fields(self):
            if f.name != "part":
                getattr(self, f.name)[which] = getattr(other, f.name)


@dataclass(frozen=True)
class Events:
    """What happens from today on, one entry per event."""

    car: Ints
    time: Floats  # years from today
    kind: Ints  # FOUND | IN_SERVICE | PLANNED
    part: Ints  # which of `kinds` was taken out


def play_recorded(life: Life, doubt: Floats, rng: Generator) -> tuple[Life, Floats, float]:
    """Up to the last renewal with papers: the life since then, its doubts, and the chance of what the papers say.

    Cars that do not fit the papers are dropped; those that do are taken again, each as likely as it fits. A failure
    fits where the part had failed less than the repair delay before.
    """
    chance, count = 1.0, len(doubt)
    for end in life.ended:
        before = replace(
            life,
            today=end.when,
            never_renewed=end.never,
            told=end.told,
            looks=tuple(look for look in life.looks if life.started < look.when < end.when),
        )
        many = np.repeat(doubt, TRIES if end.failed else 1)
        past = play_past(before, many, rng)
        fits = past.weight
        if end.tale:
            chance /= end.usual
        if end.failed:
            delay = life.weak_point.repair_delay_years
            fits = fits * ((past.part.fails > end.when - delay) & (past.part.fails <= end.when) & ~past.abandoned)
        if not fits.any():
            return life, doubt, 0.0
        chance *= float(fits.mean())
        doubt = many[rng.choice(len(many), size=count, p=fits / fits.sum())]
        life = replace(life, started=end.when, first=end.part, run_km=end.run_km, run_age=end.run_age)
    return replace(life, ended=(), apart=()), doubt, chance


def play_past(life: Life, doubt: Floats, rng: Generator) -> Past:
    """Renew parts up to today: planned when due and the owner is willing, else after failure and delay."""
    past = started(life, doubt, rng)
    continued(life, past, doubt, rng)
    _weigh_looks(life, past, past.part, np.full(len(doubt), np.inf))
    return past


def continued(life: Life, past: Past, doubt: Floats, rng: Generator) -> None:
    """Go on with these cars up to `life.today`; may be called again with a later day."""
    index, busy = np.arange(len(doubt)), past
    for _ in range(TOO_MANY):
        changed = np.flatnonzero(_renew_once(life, busy, doubt[index], rng))
        if busy is not past:
            past.put(index, busy)
        if not len(changed):
            return
        index, busy = index[changed], busy.take(changed)
    raise RuntimeError(f"{life.weak_point.id}: more than {TOO_MANY} renewals")


def started(life: Life, doubt: Floats, rng: Generator) -> Past:
    """Cars with their first part."""
    count = len(doubt)
    part = fit(life, np.full(count, life.started), np.full(count, len(life.supplies)), doubt, rng)
    part.end_km -= life.run_km
    part.end_age -= life.run_age
    fresh = (part.end_km > life.distance(life.started)) & (part.end_age > life.age(life.started))
    part.fails = np.minimum(life.distance.when(part.end_km), life.age.when(part.end_age))
    told = np.zeros(count, dtype=bool) if life.told is None else rng.random(count) < life.told.chance
    return Past(part, np.zeros(count, dtype=bool), told, fresh.astype(float), np.zeros(count, dtype=np.int64))


def _renew_once(life: Life, past: Past, doubt: Floats, rng: Generator) -> Bools:
    """Give every car whose part ended before today its next part, or leave it be; which cars these were."""
    part, delay = past.part, life.weak_point.repair_delay_years
    planned = part.willing & (part.due < part.fails) & (part.due <= life.today)
    repaired = ~planned & (part.fails + delay <= life.today) & ~past.abandoned
    when = np.where(planned, part.due, np.where(repaired, part.fails + delay, np.inf))
    told = past.told & (life.told.when < when) & (life.told.when <= life.today) if life.told else past.told
    left = repaired & ~told & (rng.random(len(doubt)) < life.weak_point.left_unrepaired)
    past.abandoned = (past.abandoned | left) & ~told
    again = told | ((planned | repaired) & ~left)
    _exchange(life, past, again, np.where(told, life.told.when if life.told else 0.0, when), told, doubt, rng)
    return again | left


def _exchange(life: Life, past: Past, again: Bools, when: Floats, told: Bools, doubt: Floats, rng: Generator) -> None:
    """Fit the next part to the cars `again`: the one told of, or the one on sale."""
    if not again.any():
        return
    old, at = past.part.take(again), when[again]
    weight = Past(old, past.abandoned[again], told[again], past.weight[again], past.renewals[again])
    _weigh_looks(life, weight, old, at)
    past.weight[again] = 0.0 if life.never_renewed else weight.weight
    kind = np.where(told[again], len(kinds(life)) - 1, on_sale(life, at))
    past.part.put(again, fit(life, at, kind, doubt[again], rng))
    past.told &= ~told
    past.renewals += again


def _weigh_looks(life: Life, past: Past, part: Fitted, gone: Floats) -> None:
    """Weigh by what was read while this part was in the car (until `gone`)."""
    for look in life.looks:
        then = (part.since <= look.when) & (look.when < gone)
        chance = np.asarray(look.chance)[states_at(life, part, look.when)]
        past.weight = np.where(then, past.weight * chance, past.weight)


def states_today(life: Life, past: Past) -> Ints:
    """Sound where the part outlasts the P-F interval on both clocks, faulty where it has failed."""
    return states_at(life, past.part, life.today)


def states_at(life: Life, part: Fitted, when: float) -> Ints:
    """State of the part in the car at one age of the car."""
    point = life.weak_point
    km, age = life.distance(when) + point.pf_km, life.age(when) + point.pf_years
    sound = (part.end_km > km) & (part.end_age > age)
    return np.where(part.fails <= when, FAULTY, np.where(sound, SOUND, DEGRADED))


def play_future(life: Life, past: Past, years: float, doubt: Floats, rng: Generator) -> Events:
    """Repair what is faulty today, do overdue planned work, then run to failure or to the planned date."""
    part, today, end = past.part, life.today, life.today + years
    log: Log = []
    faulty = part.fails <= today
    overdue = ~faulty & (part.due <= today)
    _replace(life, part, faulty, np.full(len(doubt), today), FOUND, doubt, log, rng)
    _replace(life, part, overdue, np.full(len(doubt), today), PLANNED, doubt, log, rng)
    for _ in range(TOO_MANY):
        breaks = (part.fails <= part.due) & (part.fails <= end)
        planned = (part.due < part.fails) & (part.due <= end)
        if not (breaks | planned).any():
            return _events(log, today)
        when = np.minimum(part.fails, part.due)
        _replace(life, part, breaks, when, IN_SERVICE, doubt, log, rng)
        _replace(life, part, planned, when, PLANNED, doubt, log, rng)
    raise RuntimeError(f"{life.weak_point.id}: more than {TOO_MANY} renewals")


def _replace(
    life: Life, part: Fitted, which: Bools, when: Floats, kind: int, doubt: Floats, log: Log, rng: Generator
) -> None:
    """Fit the part on sale at `when` to the cars `which`, and write the event down."""
    if not which.any():
        return
    car, at = np.flatnonzero(which), when[which]
    log.append((car, at, np.full(len(car), kind), part.kind[which]))
    part.put(which, fit(life, at, on_sale(life, at), doubt[which], rng))


def _events(log: Log, today: float) -> Events:
    if not log:
        nothing = np.zeros(0, dtype=np.int64)
        return Events(nothing, np.zeros(0), nothing, nothing)
    car, time, kind, part = (np.concatenate(column) for column in zip(*log, strict=True))
    return Events(car, time - today, kind, part)
