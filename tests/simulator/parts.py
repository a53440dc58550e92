"""What lasts how long: draws, for cars at once, one part each and the two meter readings at which it fails."""

from __future__ import annotations

from dataclasses import dataclass, fields

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from riskapi.domain.knowledge import LifeMode, PartRevision, PlannedInterval, WeakPoint, Weibull
from tests.simulator.clocks import Floats, Line

EIGHTY_PERCENT = 1.2816  # a normal value lies within this many deviations with chance 80 %


@dataclass(frozen=True)
class Told:
    """At age `when` of the car [years] this part was fitted, with this chance that it is true."""

    when: float
    chance: float
    part: PartRevision


@dataclass(frozen=True)
class Look:
    """At age `when` [years] something was read that has these chances given the state then."""

    when: float
    chance: tuple[float, float, float]


@dataclass(frozen=True)
class Ended:
    """At age `when` [years] the papers say that this part was fitted, perhaps because the one before it had failed.

    `run_km`, `run_age` are what it had run before; `never` and `told` are about the life that ended.
    """

    when: float
    part: PartRevision
    failed: bool
    run_km: float = 0.0
    run_age: float = 0.0
    never: bool = False
    told: Told | None = None
    tale: bool = False
    usual: float = 1.0  # chance of what a tale says, for an engine of which nothing else is known


@dataclass(frozen=True)
class Life:
    """One weak point of one car in one combination of roots, ready to be played.

    `supplies`: (age of the car [years] from which on this part is fitted, part), ascending. The first part is
    `first`, fitted at `started` with `run_km` and `run_age` behind it (a used engine). `never_renewed`: nothing
    was fitted since. `ended`: what the papers say of the lives before the last, ascending; with any, `first`,
    `started` and the runs are those of the first of them. `apart`: copies that have another history.
    """

    weak_point: WeakPoint
    supplies: tuple[tuple[float, PartRevision], ...]
    odometer: Line
    distance: Line
    age: Line
    today: float
    care: int
    first: PartRevision
    copies: int = 1
    started: float = 0.0
    run_km: float = 0.0
    run_age: float = 0.0
    told: Told | None = None
    looks: tuple[Look, ...] = ()
    never_renewed: bool = False
    ended: tuple[Ended, ...] = ()
    apart: tuple[Life, ...] = ()


@dataclass
class Fitted:
    """One part per car: fitted when, fails at which effective kilometre and effective age, hence when."""

    since: Floats
    kind: NDArray[np.int64]  # index into `kinds(life)`
    end_km: Floats
    end_age: Floats
    fails: Floats
    due: Floats  # planned renewal falls due
    willing: NDArray[np.bool_]  # a past owner would do the planned renewal

    def take(self, which: NDArray[np.bool_] | NDArray[np.int64]) -> Fitted:
        return Fitted(*(getattr(self, f.name)[which] for f in fields(self)))

    def put(self, which: NDArray[np.bool_] | NDArray[np.int64], other: Fitted) -> None:
        for f in fields(self):
            getattr(self, f.name)[which] = getattr(other, f.name)


def kinds(life: Life) -> tuple[PartRevision, ...]:
    """Every part revision that can be in the car: those on sale, the first, the one told of."""
    return (*(part for _, part in life.supplies), life.first, *((life.told.part,) if life.told else ()))


def on_sale(life: Life, when: Floats) -> NDArray[np.int64]:
    """Which of `kinds` is fitted at each time."""
    since = np.array([start for start, _ in life.supplies[1:]])
    return np.searchsorted(since, when, side="right").astype(np.int64)


def fit(life: Life, since: Floats, kind: NDArray[np.int64], doubt: Floats, rng: Generator) -> Fitted:
    """Draw a part for every car. `doubt` is the standard normal of ln eta, one per car."""
    km, age = np.full(len(since), np.inf), np.full(len(since), np.inf)
    due, willing = np.full(len(since), np.inf), np.zeros(len(since), dtype=bool)
    for index, part in enumerate(kinds(life)):
        here = np.flatnonzero(kind == index)
        km[here], age[here] = _lives(part, doubt[here], rng)
        if part.planned is not None:
            due[here] = _due(part.planned, life, since[here])
            willing[here] = rng.random(len(here)) < part.planned.kept[life.care]
    end_km, end_age = life.distance(since) + km, life.age(since) + age
    fails = np.minimum(life.distance.when(end_km), life.age.when(end_age))
    return Fitted(since.copy(), kind.copy(), end_km, end_age, fails, due, willing)


def _lives(part: PartRevision, doubt: Floats, rng: Generator) -> tuple[Floats, Floats]:
    """Effective kilometres and effective years each part lasts: the shortest over its ways to fail."""
    km, age = np.full(len(doubt), np.inf), np.full(len(doubt), np.inf)
    flawed = rng.random(len(doubt)) < part.flaw_share
    for mode, has in ((part.flaw, flawed), (part.wear, np.ones(len(doubt), dtype=bool))):
        if mode is None:
            continue
        stretch = np.exp(doubt * np.log(mode.spread) / EIGHTY_PERCENT)
        km = np.where(has, np.minimum(km, _draw(mode.distance, stretch, rng)), km)
        age = np.where(has, np.minimum(age, _draw(mode.age, stretch, rng)), age)
    return km, age


def _draw(law: Weibull | None, stretch: Floats, rng: Generator) -> Floats:
    if law is None:
        return np.full(len(stretch), np.inf)
    return law.scale * stretch * rng.standard_exponential(len(stretch)) ** (1 / law.shape)


def _due(planned: PlannedInterval, life: Life, since: Floats) -> Floats:
    """When planned renewal falls due: by driven distance or by age, whichever comes first."""
    km = np.inf if planned.distance_km is None else planned.distance_km
    years = np.inf if planned.age_years is None else planned.age_years
    by_distance = life.odometer.when(life.odometer(since) + km) if np.isfinite(km) else np.full(len(since), np.inf)
    return np.minimum(by_distance, since + years)


def modes(part: PartRevision) -> tuple[LifeMode, ...]:
    """The ways in which this part can fail."""
    return tuple(mode for mode in (part.flaw, part.wear) if mode is not None)
