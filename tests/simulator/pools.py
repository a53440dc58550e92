"""Lives of single weak points, played once and ready to be put into many cars.

The past is played for many parts, which gives the chances of the states today. From every state that occurs futures are
played, so that what a rare state costs is known about as well as what a common one does.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from functools import cached_property

import numpy as np
from numpy.random import Generator

from riskapi.domain.knowledge import OutcomeTable, Pack, PartRevision, Traits
from tests.simulator.clocks import Floats
from tests.simulator.findings import odds
from tests.simulator.money import Prices, job, outcome, pay
from tests.simulator.parts import Life, kinds
from tests.simulator.play import (
    FOUND,
    IN_SERVICE,
    PLANNED,
    Events,
    Ints,
    Past,
    play_future,
    play_past,
    play_recorded,
    states_today,
)
from tests.simulator.scenery import Slot

RARER = (1, 4, 4)  # by how much fewer futures are played from each state


@dataclass(frozen=True)
class Terms:
    """What lives are paid with, and for how long. `ends`: years from today up to which spending is added up."""

    prices: Prices
    ends: tuple[float, ...]
    doubt: tuple[float, ...] | None = None  # nodes of the standard normal of ln eta; None: all of it
    pack: Pack | None = None  # for base rates of traits that are not stated


@dataclass(frozen=True)
class Means:
    """Per state: surprise repairs up to each end (3, ends), planned work, found on day 0, chance of failing (3,)."""

    spent: Floats
    planned: Floats
    found: Floats
    fails: Floats


@dataclass(frozen=True)
class Pool:
    """chances (3,): of the states today jointly with the history. Per state M lives: what surprise repairs cost up to
    each end (3, M, ends), planned work and what is found on day 0 (3, M), and how often something fails (3, M)."""

    chances: Floats
    spent: Floats
    planned: Floats
    found: Floats
    fails: Floats

    @property
    def size(self) -> int:
        """M."""
        return int(self.spent.shape[1])

    @cached_property
    def means(self) -> Means:
        """Over all lives of each state."""
        columns = (self.spent, self.planned, self.found, self.fails > 0)
        return Means(*(column.mean(axis=1) for column in columns))


class Pools:
    """Plays every distinct life once: `pasts` up to today, and `futures` from each state."""

    def __init__(self, terms: Terms, pasts: int, futures: int, rng: Generator) -> None:
        self.terms, self.pasts, self.futures, self.rng = terms, pasts, futures, rng
        self._played: dict[object, Pool] = {}
        self._mixed: dict[object, Pool] = {}

    @cached_property
    def _nothing(self) -> Pool:
        """Of a weak point that is not there."""
        nothing = np.zeros((3, self.futures))
        spent = np.zeros((3, self.futures, len(self.terms.ends)))
        return Pool(np.array([1.0, 0.0, 0.0]), spent, nothing, nothing, nothing)

    def of(self, slot: Slot, traits: Traits) -> Pool:
        """All variants of a weak point, mixed by their shares."""
        pools = [self._life(life, traits) for _, life in slot.variants]
        key = tuple((share, id(pool)) for (share, _), pool in zip(slot.variants, pools, strict=True))
        if key not in self._mixed:
            self._mixed[key] = self._mix(slot, pools)
        return self._mixed[key]

    def _mix(self, slot: Slot, pools: list[Pool]) -> Pool:
        joint = np.array([share * pool.chances for (share, _), pool in zip(slot.variants, pools, strict=True)])
        if len(pools) == 1:
            return replace(pools[0], chances=joint[0])
        total = joint.sum(axis=0)
        which = np.zeros((3, self.futures), dtype=np.int64)
        for state in np.flatnonzero(total):
            which[state] = self.rng.choice(len(pools), self.futures, p=joint[:, state] / total[state])
        place = which, np.arange(3)[:, None], np.arange(self.futures)
        names = [f.name for f in fields(Pool)][1:]
        return Pool(total, *(np.stack([getattr(pool, name) for pool in pools])[place] for name in names))

    def _life(self, life: Life | None, traits: Traits) -> Pool:
        if life is None:
            return self._nothing
        planned = any(part.planned for part in _every_part(life))
        tables = tuple(
            tuple(chances_of(table, traits, self.terms.pack))
            for table in (life.weak_point.in_service, life.weak_point.found_faulty)
        )
        key = (life if planned else _of_any_care(life), tables)
        if key not in self._played:
            self._played[key] = self._play(life, traits)
        return self._played[key]

    def _play(self, life: Life, traits: Traits) -> Pool:
        """One weak point with all its copies, which share the doubt about their lifetime; what the papers say of
        earlier lives is met by every past, and its chance is a factor of the chances."""
        rng, chance, lives = self.rng, 1.0, []
        doubt = doubts(self.terms, self.pasts, rng)
        for one in [kind for kind in (life, *life.apart) for _ in range(kind.copies)]:
            since, doubt, likely = play_recorded(one, doubt, rng)
            chance *= likely
            lives.append(since)
        copies = [(one, play_past(one, doubt, rng)) for one in lives]
        state = np.max([states_today(one, past) for one, past in copies], axis=0)
        weight = chance * np.prod([past.weight for _, past in copies], axis=0)
        chances = np.bincount(state, weight, 3) / self.pasts
        picked = self._picked(state, weight, np.min([past.part.fails for _, past in copies], axis=0))
        ledger = [spend(one, self.terms, traits, past.take(picked), doubt[picked], rng) for one, past in copies]
        spent, _, found, fails = (np.sum(column, axis=0) for column in zip(*ledger, strict=True))
        planned = ledger[0][1]  # copies are renewed together when it is planned: one job
        return Pool(chances, *(self._by_state(column) for column in (spent, planned, found, fails)))

    def _by_state(self, column: Floats) -> Floats:
        """(3, futures, ..) from the rows of one state after the other; the few of a rare state come again and again."""
        ends = np.cumsum([self.futures // RARER[state] for state in range(3)])
        rows = np.split(column, ends[:-1])
        return np.stack([np.resize(row, (self.futures, *row.shape[1:])) for row in rows])

    def _picked(self, state: Ints, weight: Floats, fails: Floats) -> Ints:
        """Which pasts go on, for one state after the other; any where a state does not occur. In the order of their
        failures, so that the few that go on fail as the many do."""
        rows, order = [], np.argsort(fails)
        for wanted in range(3):
            inside = order[((state == wanted) & (weight > 0))[order]]
            if len(inside):
                rows.append(inside[evenly(weight[inside], self.futures // RARER[wanted], self.rng)])
            else:
                rows.append(self.rng.integers(len(state), size=self.futures // RARER[wanted]))
        return np.concatenate(rows)


def doubts(terms: Terms, count: int, rng: Generator) -> Floats:
    """The standard normal of ln eta of so many cars; of nodes each as often, which leaves less to chance."""
    if terms.doubt is None:
        return rng.standard_normal(count)
    return rng.permutation(np.resize(rng.permutation(terms.doubt), count))


def evenly(weight: Floats, count: int, rng: Generator) -> Ints:
    """Positions in a list, each taken as often as its weight says to within one, in no order."""
    steps = (rng.random() + np.arange(count)) / count
    taken = np.searchsorted(np.cumsum(weight / weight.sum()), steps)
    return np.asarray(rng.permutation(np.minimum(taken, len(weight) - 1)), dtype=np.int64)


def _every_part(life: Life) -> Iterator[PartRevision]:
    """Every part revision that can ever have been in the car."""
    for one in (life, *life.apart):
        yield from kinds(one)
        for end in one.ended:
            yield from (end.part, *((end.told.part,) if end.told else ()))


def _of_any_care(life: Life) -> Life:
    """Where no part has a planned date, care matters by the clocks only."""
    return replace(life, care=0, apart=tuple(replace(one, care=0) for one in life.apart))


def spend(
    life: Life, terms: Terms, traits: Traits, past: Past, doubt: Floats, rng: Generator
) -> tuple[Floats, Floats, Floats, Floats]:
    """Per car: surprise repairs up to each end, planned work, what is found on day 0, number of failures."""
    events = play_future(life, past, terms.ends[-1], doubt, rng)
    cost = price(life, terms, traits, events, rng)
    surprise = events.kind != PLANNED
    late = [surprise & (events.time <= end) for end in terms.ends]
    add = [np.bincount(events.car[w], cost[w], len(doubt)) for w in (*late, ~surprise, events.kind == FOUND)]
    times = np.bincount(events.car[surprise], minlength=len(doubt)).astype(float)
    return np.stack(add[:-2], axis=1), add[-2], add[-1], times


def price(life: Life, terms: Terms, traits: Traits, events: Events, rng: Generator) -> Floats:
    """What each event costs: by the outcome table of its kind, or the planned operation."""
    cost = np.zeros(len(events.car))
    point = life.weak_point
    for kind, table in ((FOUND, point.found_faulty), (IN_SERVICE, point.in_service)):
        here = np.flatnonzero(events.kind == kind)
        cost[here] = outcome(terms.prices, chances_of(table, traits, terms.pack), table, len(here), rng)
    for index, part in enumerate(kinds(life)):
        here = np.flatnonzero((events.kind == PLANNED) & (events.part == index))
        if len(here) and part.planned is not None:
            cost[here] = pay(terms.prices, job(terms.prices, [part.planned.operation]), len(here), rng)
    return cost


def chances_of(table: OutcomeTable, traits: Traits, pack: Pack | None) -> list[float]:
    """Chances of all rows but the last."""
    return [
        row.chance * (odds(row.when, traits, pack) if pack else float(bool(row.when.holds(traits))))
        for row in table.rows
    ]
