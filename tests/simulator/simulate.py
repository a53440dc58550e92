"""Plays whole cars: roots, weak points part by part, what shows, what was read, and what ownership costs.

Weak points are independent once the roots are known, so each is played by itself into a pool of lives. What the
findings tie together (tests/simulator/knots.py) is put together from the pools; states that the findings speak for are
picked more often than they occur, and a weight mends that. Means are taken over the whole pool of a state rather than
over the one life picked. Every figure comes with the standard error seen between independent repetitions.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, fields
from math import prod

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from tests.simulator.clocks import Floats
from tests.simulator.knots import untied
from tests.simulator.play import Ints
from tests.simulator.pools import Pool, Pools, Terms
from tests.simulator.scenery import Roots
from tests.simulator.tied import Known, Tied

DRAWS = 4  # of lives per combination of states
FEWEST = 200  # cars per combination of roots
SOUND, NOTHING = np.array([1.0, 0.0, 0.0]), np.zeros(1, dtype=np.int64)  # of a combination that cannot be


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
    """Cars as they may be after everything that was found, and what is known of them under each combination of roots.

    weight, roots (n,): of every car, and which combination it has; spent (n, DRAWS): surprise repairs of that many cars
    in the same states. evidence (R,): chance of a combination with history and findings. Means under each: surprise
    repairs up to each end (R, ends), planned work, what is found on day 0 (R,), and per weak point its states (R, 3),
    cost, and chance of failing (R,).
    """

    weight: Floats
    roots: Ints
    spent: Floats
    evidence: Floats
    expected: Floats
    planned: Floats
    immediate: Floats
    states: dict[str, Floats] = field(default_factory=dict)
    costs: dict[str, Floats] = field(default_factory=dict)
    fails: dict[str, Floats] = field(default_factory=dict)

    def share(self, which: NDArray[np.bool_]) -> float:
        """Chance of a condition on single cars, (n,) or (n, DRAWS), given everything that was found."""
        return self.mean(which.astype(float).reshape(len(self.weight), -1).mean(axis=1))

    def mean(self, value: Floats) -> float:
        """Mean of something about single cars, (n,)."""
        return float(np.average(value, weights=self.weight))

    def over(self, value: Floats) -> float:
        """Mean of something known under every combination of roots, (R,)."""
        return float(np.average(value, weights=self.evidence))


def play(car: Car, effort: Effort, rng: Generator) -> Cars:
    """Cars in all combinations of roots, more where the findings make a combination likelier."""
    pools = Pools(car.terms, effort.pasts, effort.futures, rng)
    known: Known = {}
    stages = [_Stage(roots, pools, known, rng) for roots in car.roots]
    rough = np.array([stage.roughly for stage in stages])
    counts = np.maximum((effort.cars * rough / rough.sum()).astype(int), FEWEST)
    parts = [stage.cars(index, int(n), rng) for index, (stage, n) in enumerate(zip(stages, counts, strict=True))]
    return Cars(**{f.name: _joined([getattr(part, f.name) for part in parts]) for f in fields(Cars)})


def _joined(parts: Sequence[Floats] | Sequence[dict[str, Floats]]) -> object:
    if isinstance(parts[0], dict):
        return {key: np.concatenate([part[key] for part in parts]) for key in parts[0]}  # type: ignore[index]
    return np.concatenate(parts)  # type: ignore[arg-type]


class _Stage:
    """One combination of roots: pools, what hangs together, and roughly how probable history and findings are."""

    def __init__(self, roots: Roots, pools: Pools, known: Known, rng: Generator) -> None:
        self.roots = roots
        self.pools = {slot.weak_point.id: pools.of(slot, roots.traits) for slot in roots.slots}
        found = untied(roots.signs, list(self.pools))
        self.chance = roots.prior * roots.read * found.chance
        chances = {name: pool.chances * found.factors[name] for name, pool in self.pools.items()}
        self.possible = all(chance.sum() > 0 for chance in chances.values())
        self.tied = [Tied(knot, chances, known, rng) for knot in found.knots] if self.possible else []
        self.roughly = self.chance * prod(one.roughly for one in self.tied) if self.possible else 0.0

    def cars(self, index: int, count: int, rng: Generator) -> Cars:
        """`count` combinations of states with DRAWS cars each."""
        drawn = [one.drawn(count, rng) for one in self.tied]
        evidence = self.chance * prod(one.evidence for one in drawn) if self.possible else 0.0
        chances = {name: row for one in drawn for name, row in one.chances.items()} or dict.fromkeys(self.pools, SOUND)
        states = {n: row for one in drawn for n, row in one.states.items()} or dict.fromkeys(self.pools, NOTHING)
        each = [(pool, chances[name]) for name, pool in self.pools.items()]
        cars = len(next(iter(states.values())))
        return Cars(
            weight=np.full(cars, evidence / cars),
            roots=np.full(cars, index),
            spent=_sum(_drawn(pool, states[name], rng) for name, pool in self.pools.items()),
            evidence=np.array([evidence]),
            expected=_sum(row @ pool.means.spent for pool, row in each)[None],
            planned=_sum(row @ pool.means.planned for pool, row in each)[None],
            immediate=_sum(row @ pool.means.found for pool, row in each)[None],
            states={name: row[None] for name, row in chances.items()},
            costs={n: chances[n] @ pool.means.spent[:, -1:] for n, pool in self.pools.items()},
            fails={n: chances[n] @ pool.means.fails[:, None] for n, pool in self.pools.items()},
        )


def _drawn(pool: Pool, states: Ints, rng: Generator) -> Floats:
    """Surprise repairs over the whole term of DRAWS lives in each of these states."""
    lives = rng.integers(pool.size, size=(len(states), DRAWS))
    return np.asarray(pool.spent[states[:, None], lives, -1])


def _sum(terms: object) -> Floats:
    return np.sum(list(terms), axis=0)  # type: ignore[call-overload,no-any-return]


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
