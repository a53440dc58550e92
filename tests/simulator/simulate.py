"""Plays whole cars: roots, weak points part by part, what shows, what was read, and what ownership costs.

Weak points are independent once the roots are known, so each is played by itself into a pool of lives. Cars are
put together from the pools; states that the findings speak for are picked more often than they occur, and the
weight of the car mends that. Means are taken over the whole pool of a state rather than over the one life picked.
Every figure comes with the standard error seen between independent repetitions.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, fields

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from tests.simulator.clocks import Floats
from tests.simulator.look import steered
from tests.simulator.play import Ints
from tests.simulator.pools import Pool, Pools, Terms
from tests.simulator.scenery import Roots

ROUNDS = 8  # of trial cars
TRIALS = 2000
DRAWS = 4  # of lives per combination of states
FEWEST = 200  # cars per combination of roots


@dataclass(frozen=True)
class Car:
    """A case ready to be played."""

    roots: tuple[Roots, ...]
    terms: Terms


@dataclass(frozen=True)
class Effort:
    """How much is played: parts per distinct life up to today, futures per state of each, and whole cars."""

    pasts: int
    futures: int
    cars: int


@dataclass(frozen=True)
class Cars:
    """Weighted combinations of states; the weights sum to the probability of history and findings.

    spent (n, DRAWS): surprise repairs of that many cars in these states. Expected in these states: surprise repairs
    up to each end (n, ends), planned work, what is found on day 0, and per weak point cost and number of failures.
    """

    weight: Floats
    roots: Ints
    spent: Floats
    expected: Floats
    planned: Floats
    immediate: Floats
    states: dict[str, Ints] = field(default_factory=dict)
    costs: dict[str, Floats] = field(default_factory=dict)
    fails: dict[str, Floats] = field(default_factory=dict)

    def share(self, which: NDArray[np.bool_]) -> float:
        """Chance of a condition (n,) or (n, DRAWS), given everything that was found."""
        return self.mean(which.astype(float).reshape(len(self.weight), -1).mean(axis=1))

    def mean(self, value: Floats) -> float:
        return float(np.average(value, weights=self.weight))


def play(car: Car, effort: Effort, rng: Generator) -> Cars:
    """Cars in all combinations of roots, more where the findings make a combination likelier."""
    pools = Pools(car.terms, effort.pasts, effort.futures, rng)
    stages = [_Stage(roots, pools, rng) for roots in car.roots]
    evidence = np.array([stage.evidence for stage in stages])
    counts = np.maximum((effort.cars * evidence / evidence.sum()).astype(int), FEWEST)
    parts = [stage.cars(index, int(n), rng) for index, (stage, n) in enumerate(zip(stages, counts, strict=True))]
    return Cars(**{f.name: _joined([getattr(part, f.name) for part in parts]) for f in fields(Cars)})


def _joined(parts: Sequence[Floats] | Sequence[dict[str, Floats]]) -> object:
    if isinstance(parts[0], dict):
        return {key: np.concatenate([part[key] for part in parts]) for key in parts[0]}  # type: ignore[index]
    return np.concatenate(parts)  # type: ignore[arg-type]


class _Stage:
    """One combination of roots: pools, how to pick states, and roughly how probable the findings are."""

    def __init__(self, roots: Roots, pools: Pools, rng: Generator) -> None:
        self.roots = roots
        self.pools = [pools.of(slot, roots.traits) for slot in roots.slots]
        self.chances = [pool.chances for pool in self.pools]
        self.possible = all(chance.sum() > 0 for chance in self.chances)
        self.picking, self.evidence = self._learned(rng) if self.possible else (self.chances, 0.0)

    def _learned(self, rng: Generator) -> tuple[list[Floats], float]:
        """Chances with which to pick states: towards those of trial cars, whose weights are flattened at first.

        Any choice gives the same figures on average; a good one gives them with small errors.
        """
        prior = [c / c.sum() for c in self.chances]
        picking, weight = [0.7 * p + 0.3 * (p > 0) / (p > 0).sum() for p in prior], np.zeros(1)
        for _ in range(ROUNDS):
            states, weight = self._pick(picking, TRIALS, rng)
            if weight.sum() == 0:
                continue
            flat = _flattened(weight)
            seen = [np.bincount(s, flat, 3) / flat.sum() for s in states]
            even = [(p > 0) / (p > 0).sum() for p in prior]
            parts = zip(seen, picking, prior, even, strict=True)
            picking = [0.6 * s + 0.3 * q + 0.08 * p + 0.02 * e for s, q, p, e in parts]
        return picking, float(weight.mean()) * self.roots.prior * self.roots.read

    def _pick(self, picking: Sequence[Floats], count: int, rng: Generator) -> tuple[list[Ints], Floats]:
        """States of `count` cars, and weights: P(states, history) / P(picked) * P(read | states)."""
        states = [rng.choice(3, size=count, p=q / q.sum()) for q in picking]
        weight = np.ones(count)
        for state, chance, q in zip(states, self.chances, picking, strict=True):
            weight *= (chance / np.where(q > 0, q / q.sum(), 1.0))[state]
        named = {slot.weak_point.id: state for slot, state in zip(self.roots.slots, states, strict=True)}
        return states, weight * steered(self.roots.signs, named, rng) if self.roots.signs else weight

    def cars(self, index: int, count: int, rng: Generator) -> Cars:
        """`count` combinations of states with DRAWS cars each."""
        if self.possible:
            states, weight = self._pick(self.picking, count, rng)
        else:
            states, weight = [np.zeros(1, dtype=np.int64)] * len(self.pools), np.zeros(1)
        picked = list(zip([slot.weak_point.id for slot in self.roots.slots], self.pools, states, strict=True))
        return Cars(
            weight=weight * self.roots.prior * self.roots.read / count,
            roots=np.full(len(weight), index),
            spent=_sum(_drawn(pool, s, rng) for _, pool, s in picked),
            expected=_sum(pool.spent.mean(axis=1)[s] for _, pool, s in picked),
            planned=_sum(pool.planned.mean(axis=1)[s] for _, pool, s in picked),
            immediate=_sum(pool.found.mean(axis=1)[s] for _, pool, s in picked),
            states={name: s for name, _, s in picked},
            costs={name: pool.spent[:, :, -1].mean(axis=1)[s] for name, pool, s in picked},
            fails={name: (pool.fails > 0).mean(axis=1)[s] for name, pool, s in picked},
        )


def _drawn(pool: Pool, states: Ints, rng: Generator) -> Floats:
    """Surprise repairs over the whole term of DRAWS lives in each of these states."""
    lives = rng.integers(pool.size, size=(len(states), DRAWS))
    return np.asarray(pool.spent[states[:, None], lives, -1])


def _sum(terms: object) -> Floats:
    return np.sum(list(terms), axis=0)  # type: ignore[call-overload,no-any-return]


def _flattened(weight: Floats, enough: float = 0.02) -> Floats:
    """The weights to the largest power up to 1 that leaves this share of the cars with a say."""
    for power in (1.0, 0.8, 0.6, 0.45, 0.3, 0.2, 0.1, 0.05):
        flat = np.asarray((weight / weight.max()) ** power)
        if flat.sum() ** 2 / (flat**2).sum() >= enough * len(weight):
            return flat
    return flat


@dataclass(frozen=True)
class Estimate:
    """A figure of the simulation and its standard error, from independent repetitions."""

    value: float
    error: float

    def agrees(self, other: float, errors: float = 4.0, slack: float = 0.0) -> bool:
        """Whether `other` lies within this many standard errors (plus a stated slack)."""
        return abs(self.value - other) <= errors * self.error + slack


Figures = dict[str, Callable[[Cars], float]]


def repeat(car: Car, figures: Figures, effort: Effort, times: int, seed: int) -> dict[str, Estimate]:
    """Each figure with its standard error over `times` independent runs."""
    runs = [play(car, effort, np.random.default_rng((seed, index))) for index in range(times)]
    values = {name: np.array([figure(cars) for cars in runs]) for name, figure in figures.items()}
    return {name: Estimate(float(v.mean()), float(v.std(ddof=1) / np.sqrt(times))) for name, v in values.items()}
