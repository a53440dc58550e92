"""What shows of the states, and what a look at it reads: noisy-MAX played contribution by contribution."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.random import Generator
from numpy.typing import NDArray

from tests.simulator.clocks import Floats

Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Parent:
    """`chance[state][l]`: chance that this parent alone, in this state or level, stays at or below level l."""

    id: str
    chance: tuple[tuple[float, ...], ...]


@dataclass(frozen=True)
class Sign:
    """A symptom: background and parents (weak points, or higher zones), with the columns of what was read.

    `read[k][l]` is P(the k-th observed result | level l).
    """

    id: str
    background: tuple[float, ...]
    parents: tuple[Parent, ...]
    read: tuple[tuple[float, ...], ...] = ()


def in_order(signs: Sequence[Sign]) -> list[Sign]:
    """Higher zones before the lower ones that they wet."""
    waiting, done = {s.id: s for s in signs}, []
    while waiting:
        free = [s for s in waiting.values() if not any(p.id in waiting for p in s.parents)]
        if not free:
            raise ValueError(f"run-down arcs in a circle among {sorted(waiting)}")
        done += [waiting.pop(s.id) for s in free]
    return done


def played(signs: Sequence[Sign], states: Mapping[str, Ints], rng: Generator) -> dict[str, Ints]:
    """Level of every sign on every car: each parent and the background draws its own level, the highest shows."""
    known = dict(states)
    count = len(next(iter(states.values())))
    for sign in in_order(signs):
        level = _levels(np.tile(sign.background, (count, 1)), rng)
        for parent in sign.parents:
            level = np.maximum(level, _levels(np.asarray(parent.chance)[known[parent.id]], rng))
        known[sign.id] = level
    return {sign.id: known[sign.id] for sign in signs}


def read_chance(signs: Sequence[Sign], levels: Mapping[str, Ints]) -> Floats:
    """P(everything that was read | the levels), per car."""
    weight = np.ones(len(next(iter(levels.values()))))
    for sign in signs:
        for column in sign.read:
            weight *= np.asarray(column)[levels[sign.id]]
    return weight


def steered(signs: Sequence[Sign], states: Mapping[str, Ints], rng: Generator) -> Floats:
    """Weight per car, on average P(everything read | states): levels are drawn given their own readings."""
    known, weight = dict(states), np.ones(len(next(iter(states.values()))))
    for sign in in_order(signs):
        below = np.tile(sign.background, (len(weight), 1))
        for parent in sign.parents:
            below = below * np.asarray(parent.chance)[known[parent.id]]
        chance = np.diff(below, axis=1, prepend=0.0)
        for column in sign.read:
            chance = chance * np.asarray(column)
        total = chance.sum(axis=1)
        weight = weight * total
        below = np.cumsum(chance, axis=1) / np.where(total > 0, total, 1.0)[:, None]
        below[:, -1] = 1.0
        known[sign.id] = _levels(below, rng)
    return weight


def _levels(below: Floats, rng: Generator) -> Ints:
    """One level per row of cumulative chances."""
    return np.asarray((rng.random(len(below))[:, None] >= below[:, :-1]).sum(axis=1), dtype=np.int64)
