"""Plays whole cars: roots, weak points part by part, what shows, what was read, and what ownership costs.

Weak points are independent once the roots are known, so each is played by itself into a pool of lives. Cars are
put together from the pools; states that the findings speak for are picked more often than they occur, and the
weight of the car mends that. Every figure comes with the standard error seen between independent repetitions.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, fields, replace

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from riskapi.domain.knowledge import FAULTY, SOUND, OutcomeTable, Pack, Traits, WeakPoint
from tests.simulator.clocks import Floats
from tests.simulator.findings import odds
from tests.simulator.look import Sign, steered
from tests.simulator.money import Prices, job, outcome, pay
from tests.simulator.parts import Life, kinds
from tests.simulator.play import (
    FOUND,
    IN_SERVICE,
    PLANNED,
    Events,
    Past,
    play_future,
    play_past,
    play_recorded,
    states_today,
)

Ints = NDArray[np.int64]
ROUNDS = 8  # of trial cars


@dataclass(frozen=True)
class Slot:
    """A weak point in the variants that unstated traits leave open, with their shares; None: it is not there."""

    weak_point: WeakPoint
    variants: tuple[tuple[float, Life | None], ...]


@dataclass(frozen=True)
class Roots:
    """One combination of everything unknown above the network. `read`: P(findings about the roots | it)."""

    name: tuple[str, ...]
    prior: float
    traits: Traits
    slots: tuple[Slot, ...]
    signs: tuple[Sign, ...]
    read: float = 1.0


@dataclass(frozen=True)
class Car:
    """A case ready to be played. `ends`: years from today up to which spending is added up, ascending from 0."""

    roots: tuple[Roots, ...]
    prices: Prices
    ends: tuple[float, ...]
    doubt: tuple[float, ...] | None = None  # nodes of the standard normal of ln eta; None: all of it
    pack: Pack | None = None  # for base rates of traits that are not stated


@dataclass(frozen=True)
class Pool:
    """Lives of one weak point: state today, weight of its history, and what it costs up to each end."""

    state: Ints
    weight: Floats
    spent: Floats  # (lives, ends)
    planned: Floats
    found: Floats
    fails: NDArray[np.bool_]


@dataclass(frozen=True)
class Cars:
    """Weighted cars; the weights sum to the probability of history and findings."""

    weight: Floats
    roots: Ints
    states: dict[str, Ints]
    spent: Floats
    planned: Floats
    immediate: Floats
    costs: dict[str, Floats] = field(default_factory=dict)
    fails: dict[str, NDArray[np.bool_]] = field(default_factory=dict)

    def share(self, which: NDArray[np.bool_]) -> float:
        """Chance of a condition, given everything that was found."""
        return float(self.weight[which].sum() / self.weight.sum())

    def mean(self, value: Floats) -> float:
        return float(np.average(value, weights=self.weight))

    def quantile(self, value: Floats, share: float) -> float:
        """Smallest value that at least this share of the cars does not exceed."""
        order = np.argsort(value)
        reached = np.cumsum(self.weight[order]) / self.weight.sum()
        return float(value[order][min(np.searchsorted(reached, share), len(order) - 1)])


def play(car: Car, count: int, rng: Generator) -> Cars:
    """`count` lives per weak point and as many cars, for every combination of roots."""
    parts = [_cars_of(car, index, count, rng) for index in range(len(car.roots))]
    return Cars(
        *(np.concatenate([getattr(p, name) for p in parts]) for name in ("weight", "roots")),
        {key: np.concatenate([p.states[key] for p in parts]) for key in parts[0].states},
        *(np.concatenate([getattr(p, name) for p in parts]) for name in ("spent", "planned", "immediate")),
        {key: np.concatenate([p.costs[key] for p in parts]) for key in parts[0].costs},
        {key: np.concatenate([p.fails[key] for p in parts]) for key in parts[0].fails},
    )


def balanced(car: Car, count: int, rng: Generator) -> Car:
    """With the usual chance of what is only told of a failure, so that a tale is as likely as it is said to be."""
    roots = car.roots
    for place in range(len(roots[0].slots)):
        true = all_in_all = 0.0
        for one in roots:
            for share, life in one.slots[place].variants:
                for kind in () if life is None else (life, *life.apart):
                    for k, end in enumerate(kind.ended):
                        if end.tale:
                            told = (*kind.ended[:k], replace(end, failed=False)), kind.ended[: k + 1]
                            mass, failed = (_chance_of(replace(kind, ended=e), car, count, rng) for e in told)
                            true += one.prior * share * failed
                            all_in_all += one.prior * share * mass
        if true > 0.0:
            roots = tuple(_with_usual(one, place, true / all_in_all) for one in roots)
    return replace(car, roots=roots)


def _chance_of(life: Life, car: Car, count: int, rng: Generator) -> float:
    doubt = rng.standard_normal(count) if car.doubt is None else rng.choice(np.array(car.doubt), count)
    return play_recorded(life, doubt, rng)[2]


def _with_usual(roots: Roots, place: int, usual: float) -> Roots:
    def of(life: Life) -> Life:
        ended = tuple(replace(end, usual=usual) if end.tale else end for end in life.ended)
        return replace(life, ended=ended, apart=tuple(map(of, life.apart)))

    slot = roots.slots[place]
    new = Slot(slot.weak_point, tuple((share, life and of(life)) for share, life in slot.variants))
    return replace(roots, slots=(*roots.slots[:place], new, *roots.slots[place + 1 :]))


def pool(slot: Slot, car: Car, traits: Traits, count: int, rng: Generator) -> Pool:
    """Every variant of a weak point played `count` times, weighted with its share."""
    pools = [_variant(life, share, car, traits, count, rng) for share, life in slot.variants]
    return Pool(*(np.concatenate([getattr(p, f.name) for p in pools]) for f in fields(Pool)))


def _variant(life: Life | None, share: float, car: Car, traits: Traits, count: int, rng: Generator) -> Pool:
    """One weak point with all its copies, which share the doubt about their lifetime."""
    if life is None:
        nothing, none = np.zeros(count), np.zeros(count, dtype=np.int64)
        return Pool(none, np.full(count, share), np.zeros((count, len(car.ends))), nothing, nothing, none > 0)
    doubt = rng.standard_normal(count) if car.doubt is None else rng.choice(np.array(car.doubt), count)
    lives = []
    for one in [kind for kind in (life, *life.apart) for _ in range(kind.copies)]:
        since, doubt, chance = play_recorded(one, doubt, rng)
        lives.append(since)
        share *= chance
    copies = [(one, play_past(one, doubt, rng)) for one in lives]
    state = np.max([states_today(one, past) for one, past in copies], axis=0)
    weight = np.prod([past.weight for _, past in copies], axis=0)
    ledger = [_spend(one, car, traits, past, doubt, rng) for one, past in copies]
    spent, _, found, fails = (np.sum(column, axis=0) for column in zip(*ledger, strict=True))
    planned = ledger[0][1]  # copies are renewed together when it is planned: one job
    return Pool(state, share * weight, spent, planned, found, fails > 0)


def _spend(
    life: Life, car: Car, traits: Traits, past: Past, doubt: Floats, rng: Generator
) -> tuple[Floats, Floats, Floats, Floats]:
    events = play_future(life, past, car.ends[-1], doubt, rng)
    cost = price(life, car, traits, events, rng)
    surprise = events.kind != PLANNED
    late = [surprise & (events.time <= end) for end in car.ends]
    add = [np.bincount(events.car[w], cost[w], len(doubt)) for w in (*late, ~surprise, events.kind == FOUND)]
    times = np.bincount(events.car[surprise], minlength=len(doubt)).astype(float)
    return np.stack(add[:-2], axis=1), add[-2], add[-1], times


def price(life: Life, car: Car, traits: Traits, events: Events, rng: Generator) -> Floats:
    """What each event costs: by the outcome table of its kind, or the planned operation."""
    cost = np.zeros(len(events.car))
    point = life.weak_point
    for kind, table in ((FOUND, point.found_faulty), (IN_SERVICE, point.in_service)):
        here = np.flatnonzero(events.kind == kind)
        cost[here] = outcome(car.prices, _chances(table, traits, car.pack), table, len(here), rng)
    for index, part in enumerate(kinds(life)):
        here = np.flatnonzero((events.kind == PLANNED) & (events.part == index))
        if len(here) and part.planned is not None:
            cost[here] = pay(car.prices, job(car.prices, [part.planned.operation]), len(here), rng)
    return cost


def _chances(table: OutcomeTable, traits: Traits, pack: Pack | None) -> list[float]:
    return [
        row.chance * (odds(row.when, traits, pack) if pack else float(bool(row.when.holds(traits))))
        for row in table.rows
    ]


def _cars_of(car: Car, index: int, count: int, rng: Generator) -> Cars:
    """Cars of one combination of roots: the states to pick are learned from trial cars, then picked."""
    roots = car.roots[index]
    pools = [pool(slot, car, roots.traits, count, rng) for slot in roots.slots]
    chances = [np.bincount(p.state, p.weight, 3) / count for p in pools]
    if any(c.sum() == 0 for c in chances):
        return _assemble(roots, index, pools, [np.zeros(1, dtype=np.int64)] * len(pools), np.zeros(1), [])
    picking = _learned(roots, chances, max(count // 8, 2000), rng)
    states, weight = _pick(roots, chances, picking, count, rng)
    lives = [_lives(p, s, rng) for p, s in zip(pools, states, strict=True)]
    return _assemble(roots, index, pools, lives, weight * roots.prior * roots.read / count, states)


def _learned(roots: Roots, chances: Sequence[Floats], count: int, rng: Generator) -> list[Floats]:
    """Chances with which to pick states: towards those of trial cars, whose weights are flattened at first.

    Any choice gives the same figures on average; a good one gives them with small errors.
    """
    prior = [c / c.sum() for c in chances]
    picking = [0.7 * p + 0.3 * (p > 0) / (p > 0).sum() for p in prior]
    for _ in range(ROUNDS):
        states, weight = _pick(roots, chances, picking, count, rng)
        if weight.sum() == 0:
            continue
        flat = _flattened(weight)
        seen = [np.bincount(s, flat, 3) / flat.sum() for s in states]
        even = [(p > 0) / (p > 0).sum() for p in prior]
        parts = zip(seen, picking, prior, even, strict=True)
        picking = [0.6 * s + 0.3 * q + 0.08 * p + 0.02 * e for s, q, p, e in parts]
    return picking


def _flattened(weight: Floats, enough: float = 0.02) -> Floats:
    """The weights to the largest power up to 1 that leaves this share of the cars with a say."""
    for power in (1.0, 0.8, 0.6, 0.45, 0.3, 0.2, 0.1, 0.05):
        flat = np.asarray((weight / weight.max()) ** power)
        if flat.sum() ** 2 / (flat**2).sum() >= enough * len(weight):
            return flat
    return flat


def _pick(
    roots: Roots, chances: Sequence[Floats], picking: Sequence[Floats], count: int, rng: Generator
) -> tuple[list[Ints], Floats]:
    """States of `count` cars, and weights: P(states, history) / P(picked) * P(read | states)."""
    states = [rng.choice(3, size=count, p=q / q.sum()) for q in picking]
    weight = np.ones(count)
    for state, chance, q in zip(states, chances, picking, strict=True):
        weight *= (chance / np.where(q > 0, q / q.sum(), 1.0))[state]
    named = {slot.weak_point.id: state for slot, state in zip(roots.slots, states, strict=True)}
    return states, weight * steered(roots.signs, named, rng) if roots.signs else weight


def _lives(pool_: Pool, states: Ints, rng: Generator) -> Ints:
    """For each car a life of the pool that is in the wanted state, by weight."""
    lives = np.zeros(len(states), dtype=np.int64)
    for state in range(SOUND, FAULTY + 1):
        cars = np.flatnonzero(states == state)
        inside = np.flatnonzero((pool_.state == state) & (pool_.weight > 0))
        if len(cars):
            share = pool_.weight[inside] / pool_.weight[inside].sum()
            lives[cars] = inside[rng.choice(len(inside), size=len(cars), p=share)]
    return lives


def _assemble(
    roots: Roots, index: int, pools: Sequence[Pool], lives: Sequence[Ints], weight: Floats, states: Sequence[Ints]
) -> Cars:
    names = [slot.weak_point.id for slot in roots.slots]
    picked = list(zip(names, pools, lives, strict=True))
    return Cars(
        weight,
        np.full(len(weight), index),
        dict(zip(names, states or lives, strict=True)),
        np.sum([p.spent[i] for _, p, i in picked], axis=0),
        np.sum([p.planned[i] for _, p, i in picked], axis=0),
        np.sum([p.found[i] for _, p, i in picked], axis=0),
        {name: p.spent[i, -1] for name, p, i in picked},
        {name: p.fails[i] for name, p, i in picked},
    )


@dataclass(frozen=True)
class Estimate:
    """A figure of the simulation and its standard error, from independent repetitions."""

    value: float
    error: float

    def agrees(self, other: float, errors: float = 4.0, slack: float = 0.0) -> bool:
        """Whether `other` lies within this many standard errors (plus a stated slack)."""
        return abs(self.value - other) <= errors * self.error + slack


def repeat(
    car: Car, figures: dict[str, Callable[[Cars], float]], count: int, times: int, seed: int
) -> dict[str, Estimate]:
    """Each figure with its standard error over `times` independent runs of `count` cars."""
    runs = [play(car, count, np.random.default_rng((seed, index))) for index in range(times)]
    values = {name: np.array([figure(cars) for cars in runs]) for name, figure in figures.items()}
    return {name: Estimate(float(v.mean()), float(v.std(ddof=1) / np.sqrt(times))) for name, v in values.items()}
