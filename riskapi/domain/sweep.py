"""The exact sweep over a noisy-MAX network, without subtraction (model: one exact sweep).

Weak points are visited one after the other; an array over the levels of every symptom still open keeps how
far each has been explained. A symptom is closed after its last parent, weighted with the likelihood of what was
read from it; a higher zone then hands its wetness down to lower ones. Everything is multilinear in the
states' masses, so the same plan gives evidence, marginals (forward and backward) and, with characteristic
functions in place of masses, the cost distribution.

The signed product expansion (quickscore: Heckerman, A tractable inference algorithm for diagnosing multiple
diseases, UAI 1989) is not used: it subtracts nearly equal numbers and loses five digits at 12 positives.

Arrays carry a last axis B of things computed side by side (root combinations, frequencies, what-ifs).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import reduce

import numpy as np

from riskapi.domain.sweep_levels import Array, lowered, raised, split
from riskapi.domain.sweep_plan import OpenSymptom, Plan, Step, make_plan
from riskapi.domain.timeline import Floats

__all__ = ["OpenSymptom", "Plan", "Sweep", "make_plan"]


BLOCK = 2**21  # bytes of one array, so that a handful of them fit into a processor's cache


class Sweep:
    """A plan with its likelihoods: weights[f] is (E, B) or (E, 1), the likelihood of the readings per class."""

    def __init__(self, plan: Plan, weights: Sequence[Array]) -> None:
        self.plan, self.weights = plan, weights

    def evidence(self, masses: Array) -> Array:
        """Sum over all states of masses x likelihood, shape (B,); `masses` is (weak points, 3, B), real or complex."""
        lone: Array = masses[list(self.plan.lone)].sum(axis=1).prod(axis=0)
        return lone * self.connected(masses)

    def connected(self, masses: Array) -> Array:
        """The part of `evidence` that hangs together with open symptoms; other weak points' masses are not read."""
        return np.concatenate([part.connected_at_once(mine) for part, mine in self._blocks(masses)])

    def connected_at_once(self, masses: Array) -> Array:
        """The same without cutting the batch into blocks."""
        parts = (self.run(steps, np.ones(1), masses) for steps in self.plan.components)
        return np.broadcast_to(reduce(np.multiply, parts, np.ones(1)), masses.shape[2])

    def _blocks(self, masses: Array) -> Iterator[tuple[Sweep, Array]]:
        """The sweep and the masses in runs of columns whose arrays stay small."""
        for cut in column_blocks(self.plan, masses):
            yield Sweep(self.plan, [w if w.shape[1] == 1 else w[:, cut] for w in self.weights]), masses[..., cut]

    def run(self, steps: Sequence[Step], t: Array, masses: Array) -> Array:
        """The array after these steps, from that before them; the last axis is B."""
        for step in steps:
            t = self._forward(step, t, masses)[0]
        return t

    def marginals(self, masses: Floats) -> tuple[Floats, Floats]:
        """Evidence (B,) and joint masses of every state with the evidence, (weak points, 3, B)."""
        total, slopes = self.gradients(masses)
        return total, masses * slopes

    def gradients(self, masses: Array) -> tuple[Array, Array]:
        """Evidence (B,) and its derivative by every mass, (weak points, 3, B): the likelihood of all else."""
        totals, slopes = zip(*(part.gradients_at_once(mine) for part, mine in self._blocks(masses)), strict=True)
        return np.concatenate(totals), np.concatenate(slopes, axis=2)

    def gradients_at_once(self, masses: Array) -> tuple[Array, Array]:
        """The same without cutting the batch into blocks."""
        parts = [self._component(steps, masses) for steps in self.plan.components]
        lone = masses[list(self.plan.lone)].sum(axis=1)
        factors = np.concatenate([*(np.broadcast_to(factor, (1, masses.shape[2])) for factor, _ in parts), lone])
        others = products_of_others(factors)
        slopes = np.empty(masses.shape, dtype=masses.dtype)
        slopes[list(self.plan.lone)] = others[len(parts) :, None]
        for (_, rows), other in zip(parts, others, strict=False):
            for index, slope in rows:
                slopes[index] = slope * other
        return factors.prod(axis=0), slopes

    def _component(self, steps: Sequence[Step], masses: Array) -> tuple[Array, list[tuple[int, Array]]]:
        """A component's evidence and the derivatives (3, B) by the masses of each of its weak points."""
        t: Array = np.ones(1)
        trail = []
        for step in steps:
            t, states = self._forward(step, t, masses)
            trail.append(states)
        adjoint: Array = np.ones_like(t)
        rows: list[tuple[int, Array]] = []
        for step, states in zip(reversed(steps), reversed(trail), strict=True):
            if step.kind == "part":
                axes = tuple(range(len(step.axes)))
                rows.append((step.index, np.stack([(adjoint * state).sum(axis=axes) for state in states])))
            adjoint = self._backward(step, adjoint, masses)
        return t, rows

    def _forward(self, step: Step, t: Array, masses: Array) -> tuple[Array, list[Array]]:
        """The array after a step, and for a weak point the arrays of its three states."""
        if step.kind == "close":
            return closed(step, opened(step, t), self.weights[step.index]), []
        states = in_states(step, opened(step, t))
        return mixed(masses[step.index], states), states

    def _backward(self, step: Step, adjoint: Array, masses: Array) -> Array:
        if step.kind == "close":
            return unopened(step, reopened(step, adjoint, self.weights[step.index]))
        return unopened(step, unmixed(step, adjoint, masses[step.index]))


# ---- one step forward ------------------------------------------------------------------------------------------


def opened(step: Step, t: Array) -> Array:
    """The array with an axis for each symptom that opens before this step."""
    for background in step.densities:
        t = t[..., None, :] * background[:, None]
    return t


def in_states(step: Step, t: Array) -> list[Array]:
    """The array once the weak point of this step is sound, degraded, faulty."""
    return [t, _in_state(step, t, 1), _in_state(step, t, 2)]


def _in_state(step: Step, t: Array, state: int) -> Array:
    for axis, cdf in step.shows:
        t = raised(t, axis, cdf[state])
    return t


def mixed(p: Array, states: Sequence[Array]) -> Array:
    """The states with their masses p (3, B)."""
    result: Array = p[0] * states[0] + p[1] * states[1] + p[2] * states[2]
    return result


def closed(step: Step, t: Array, weights: Array) -> Array:
    """Sum over the classes of the closed symptom, each weighted (E, B) and handed down to the lower zones."""

    def handed_down(level: int, row: Array) -> Array:
        row = weights[level] * row
        for axis, table in step.arcs:
            row = raised(row, axis, table[level])
        return row

    rows = np.moveaxis(t, step.axes.index(step.index), 0)
    return reduce(np.add, (handed_down(level, row) for level, row in enumerate(rows)))


# ---- one step back: the transposes of the above, in reverse order -------------------------------------------------


def unmixed(step: Step, adjoint: Array, p: Array) -> Array:
    """The transpose of `in_states` and `mixed` together."""
    total: Array = p[0] * adjoint
    for state in (1, 2):
        u = p[state] * adjoint
        for axis, cdf in step.shows:
            u = lowered(u, axis, cdf[state])
        total = total + u
    return total


def reopened(step: Step, adjoint: Array, weights: Array) -> Array:
    """The transpose of `closed`."""
    rows = []
    for level, weight in enumerate(weights):
        row = adjoint
        for axis, table in step.arcs:
            row = lowered(row, axis, table[level])
        rows.append(weight * row)
    return np.stack(np.broadcast_arrays(*rows), axis=step.axes.index(step.index))


def unopened(step: Step, total: Array) -> Array:
    """The transpose of `opened`."""
    for f, background in zip(reversed(step.opened), reversed(step.densities), strict=True):
        axis = step.axes.index(f)
        shape = total.shape[:axis] + total.shape[axis + 1 :]
        total = np.einsum("aeb,e->ab", split(total, axis), background).reshape(shape)
    return total


def column_blocks(plan: Plan, masses: Array) -> list[slice]:
    """The columns of a batch of masses (weak points, 3, B) in runs for which the largest array stays near BLOCK."""
    columns = masses.shape[2]
    size = max(BLOCK // (plan.largest * masses.itemsize), 1)
    return [slice(first, first + size) for first in range(0, columns, size)] or [slice(0, 0)]


def products_of_others(rows: Array) -> Array:
    """For each row (of n) the product of all the others, elementwise; no division: a factor may be 0."""
    others = np.ones_like(rows)
    if len(rows) > 1:
        others[1:] = np.cumprod(rows[:-1], axis=0)
        others[:-1] *= np.cumprod(rows[:0:-1], axis=0)[::-1]
    return others
