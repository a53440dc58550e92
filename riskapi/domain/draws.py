"""Exact joint draws of all states at once, by sampling backward through the sweep (model: one exact sweep).

The sweep keeps an array before every step. Backward from the end, each draw sits in one cell of the array: at a
closed symptom it is drawn which level had been handed down, at a weak point which state had led to the cell and from
which cell. Every draw is independent and exactly from the posterior; nothing is iterated until it settles.

The method is forward filtering and backward sampling as in Carter & Kohn (Biometrika 81, 1994), on the sweep's arrays.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from numpy.random import Generator

from riskapi.domain.posterior import Posterior
from riskapi.domain.sweep import Sweep
from riskapi.domain.sweep_plan import Step
from riskapi.domain.timeline import Floats

CELLS = 2**22  # weights held at a time

States = npt.NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Draws:
    """n joint draws: `states` (n, weak points), each 0 sound, 1 degraded, 2 faulty; `levels` (n, open symptoms), the
    class of the levels of each open symptom of the plan."""

    states: States
    levels: States


def draw_states(sweep: Sweep, masses: Floats, count: int, rng: Generator) -> Draws:
    """`count` draws of the states of all weak points and the classes of all open symptoms given the readings.

    `masses` (weak points, 3): chances of the states before the readings, times the factors of what factors over them.
    The sweep's likelihoods have one column. Raises ValueError when the readings cannot be together.
    """
    states = np.zeros((count, masses.shape[0]), dtype=np.intp)
    levels = np.zeros((count, len(sweep.plan.symptoms)), dtype=np.intp)
    for index in sweep.plan.lone:
        states[:, index] = _chosen(np.broadcast_to(masses[index], (count, 3)), rng)
    size = max(CELLS // (3 * sweep.plan.largest), 1)
    for steps in sweep.plan.components:
        backward = _Backward(sweep, steps, masses)
        for first in range(0, count, size):
            rows = slice(first, first + size)
            backward.draw(states[rows], levels[rows], rng)
    return Draws(states, levels)


@dataclass(frozen=True, slots=True)
class CarDraws:
    """n cars drawn from the posterior: `roots` (n,) index of the root combination, `states` (n, weak points)."""

    roots: States
    states: States


def draw_cars(posterior: Posterior, masses: Floats, count: int, rng: Generator) -> CarDraws:
    """`count` cars given all findings and the history: first the roots, then all states together given them.

    `masses` (weak points, 3, R) are the chances of the states joint with the history, as the posterior was made from.
    """
    roots = np.sort(_chosen(np.broadcast_to(posterior.root_chance, (count, posterior.root_chance.size)), rng))
    states = np.zeros((count, masses.shape[0]), dtype=np.intp)
    for group in posterior.groups:
        sweep = Sweep(group.observed.plan, group.observed.weights)
        for r in group.roots:
            mine = np.flatnonzero(roots == r)
            if mine.size:
                given = masses[..., r] * group.observed.factors[..., 0]
                states[mine] = draw_states(sweep, given, mine.size, rng).states
    return CarDraws(roots, states)


def _chosen(weights: Floats, rng: Generator) -> States:
    """One column per row of weights (n, K), with chances in proportion. Raises ValueError when a row has no weight."""
    below = np.cumsum(weights, axis=1)
    if not (below[:, -1] > 0.0).all():
        raise ValueError("nothing that could be drawn: the readings cannot be together")
    spots = rng.random(len(weights)) * below[:, -1]
    last = weights.shape[1] - 1 - (weights[:, ::-1] > 0.0).argmax(axis=1)  # rounding must not lead beyond it
    return np.asarray(np.minimum((spots[:, None] >= below).sum(axis=1), last))


class _Backward:
    """One component and its arrays before every step, with the background of the symptoms opened in it."""

    def __init__(self, sweep: Sweep, steps: Sequence[Step], masses: Floats) -> None:
        self._steps, self._masses = steps, masses
        self._weights = [weight[:, 0] for weight in sweep.weights]
        self._arrays: list[Floats] = []
        array: Floats = np.ones(1)
        for step in steps:
            opened = array
            for background in step.densities:
                opened = opened[..., None, :] * background[:, None]
            self._arrays.append(opened[..., 0])
            array = sweep.run([step], array, masses[..., None])

    def draw(self, states: States, levels: States, rng: Generator) -> None:
        """Fill in the columns of this component's weak points and symptoms, one row per draw."""
        at: dict[int, States] = {}  # class of every symptom open after the step at hand, per draw
        for step, array in zip(reversed(self._steps), reversed(self._arrays), strict=True):
            if step.kind == "part":
                moves = [(step.axes[axis], [raising(row) for row in cdf]) for axis, cdf in step.shows]
                back = _Back(array[None], step.axes, self._masses[step.index], moves)
                states[:, step.index] = back.draw(at, len(states), rng)
            else:
                below = [f for f in step.axes if f != step.index]
                moves = [(below[axis], [raising(row) for row in table]) for axis, table in step.arcs]
                by_level = np.moveaxis(array, step.axes.index(step.index), 0)
                at[step.index] = _Back(by_level, below, self._weights[step.index], moves).draw(at, len(states), rng)
                levels[:, step.index] = at[step.index]
            for f in step.opened:
                at.pop(f, None)


def raising(cdf: Floats) -> Floats:
    """Chance, from the level of the row, that the maximum of it and an independent one is the level of the column."""
    return np.asarray(np.triu(np.broadcast_to(np.diff(cdf, prepend=0.0), (cdf.size, cdf.size)), 1) + np.diag(cdf))


@dataclass(frozen=True, slots=True)
class _Back:
    """One step back: what is summed out in it (K choices of these chances), and from which cell each draw came.

    The first axis of `array` is that of the choice, or of length 1; `axes` are the symptoms of the others. `moves` are
    the touched ones with a matrix (before, after) per choice.
    """

    array: Floats
    axes: Sequence[int]
    chance: Floats
    moves: Sequence[tuple[int, Sequence[Floats]]]

    def draw(self, at: dict[int, States], count: int, rng: Generator) -> States:
        """The choice of each draw; `at` says in which classes the draws are after the step, and then before it."""
        touched = [f for f, _ in self.moves]
        still = [f for f in self.axes if f not in touched]
        order = [*(self.axes.index(f) + 1 for f in still), 0, *(self.axes.index(f) + 1 for f in touched)]
        before = self.array.transpose(order)[tuple(at[f] for f in still)]  # (draws or none, choice, *touched)
        weights = np.broadcast_to(before, (count, *before.shape[-len(touched) - 1 :]))
        weights = weights * self.chance.reshape(-1, *(1 for _ in touched))
        for place, (f, matrices) in enumerate(self.moves):
            factor = np.stack(matrices)[:, :, at[f]].transpose(2, 0, 1)
            weights = weights * factor.reshape(
                *factor.shape[:2], *(-1 if k == place else 1 for k in range(len(touched)))
            )
        cell = np.unravel_index(_chosen(weights.reshape(count, -1), rng), weights.shape[1:])
        at.update(zip(touched, cell[1:], strict=True))
        return np.asarray(cell[0])
