"""States of the weak points of one knot, given what was read: picked where the findings point, weighted to be right."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.random import Generator

from tests.simulator.clocks import Floats
from tests.simulator.knots import Knot
from tests.simulator.look import steered
from tests.simulator.play import Ints
from tests.simulator.pools import evenly

ROUNDS, AGAIN = 8, 2  # of trial cars; again where other roots have taught something
TRIALS = 2000
Known = dict[tuple[str, ...], list[Floats]]  # what other combinations of roots have taught about a knot


@dataclass(frozen=True)
class Drawn:
    """evidence: chance of what was read, with the history; per weak point the chances of its states given that (3,),
    and the states of single cars (n,), alike in weight."""

    evidence: float
    chances: dict[str, Floats]
    states: dict[str, Ints]


class Tied:
    """One knot with the chances of the states of its weak points."""

    def __init__(self, knot: Knot, chances: Mapping[str, Floats], known: Known, rng: Generator) -> None:
        self.names, self.signs = knot.weak_points, knot.signs
        self.chances = [chances[name] for name in self.names]
        if self.signs:
            self.picking, self.roughly = self._learned(known.get(self.names), rng)
            known[self.names] = self.picking
        else:
            self.picking, self.roughly = self.chances, float(self.chances[0].sum())

    def drawn(self, count: int, rng: Generator) -> Drawn:
        """`count` cars."""
        if not self.signs:
            [name], [chance] = self.names, self.chances
            given = chance / chance.sum()
            return Drawn(self.roughly, {name: given}, {name: _states(given, count, rng)})
        states, weight = self._pick(self.picking, count, rng)
        if weight.sum() == 0:
            nothing = np.zeros(count, dtype=np.int64)
            return Drawn(
                0.0, {name: np.array([1.0, 0.0, 0.0]) for name in self.names}, dict.fromkeys(self.names, nothing)
            )
        cars = evenly(weight, count, rng)
        return Drawn(
            float(weight.mean()),
            {name: np.bincount(s, weight, 3) / weight.sum() for name, s in zip(self.names, states, strict=True)},
            {name: s[cars] for name, s in zip(self.names, states, strict=True)},
        )

    def _learned(self, known: list[Floats] | None, rng: Generator) -> tuple[list[Floats], float]:
        """Chances with which to pick states: towards those of trial cars, whose weights are flattened at first.

        Any choice gives the same figures on average; a good one gives them with small errors.
        """
        prior = [c / c.sum() for c in self.chances]
        even = [(p > 0) / (p > 0).sum() for p in prior]
        picking, weight = [0.7 * p + 0.3 * e for p, e in zip(prior, even, strict=True)], np.zeros(1)
        if known is not None:
            picking = [(0.9 * k + 0.1 * q) * (q > 0) for k, q in zip(known, picking, strict=True)]
        for _ in range(ROUNDS if known is None else AGAIN):
            states, weight = self._pick(picking, TRIALS, rng)
            if weight.sum() == 0:
                continue
            flat = _flattened(weight)
            seen = [np.bincount(s, flat, 3) / flat.sum() for s in states]
            parts = zip(seen, picking, prior, even, strict=True)
            picking = [0.6 * s + 0.3 * q + 0.08 * p + 0.02 * e for s, q, p, e in parts]
        return picking, float(weight.mean())

    def _pick(self, picking: Sequence[Floats], count: int, rng: Generator) -> tuple[list[Ints], Floats]:
        """States of `count` cars, and weights: P(states, history) / P(picked) * P(read | states)."""
        states = [_states(q / q.sum(), count, rng) for q in picking]
        weight = np.ones(count)
        for state, chance, q in zip(states, self.chances, picking, strict=True):
            weight *= (chance / np.where(q > 0, q / q.sum(), 1.0))[state]
        known = dict(zip(self.names, states, strict=True)) or {"": np.zeros(count, dtype=np.int64)}  # a sign by itself
        return states, weight * steered(self.signs, known, rng)


def _states(chances: Floats, count: int, rng: Generator) -> Ints:
    """Draws of sound, degraded, faulty with these chances (3,)."""
    draws = rng.random(count)
    return np.asarray((draws >= chances[0]).astype(np.int64) + (draws >= chances[0] + chances[1]) * (chances[2] > 0))


def _flattened(weight: Floats, enough: float = 0.02) -> Floats:
    """The weights to the largest power up to 1 that leaves this share of the cars with a say."""
    for power in (1.0, 0.8, 0.6, 0.45, 0.3, 0.2, 0.1, 0.05):
        flat = np.asarray((weight / weight.max()) ** power)
        if flat.sum() ** 2 / (flat**2).sum() >= enough * len(weight):
            return flat
    return flat
