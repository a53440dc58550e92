"""The sweep with its steps written out as matrices, for plans that are swept many times with the same likelihoods.

Visiting a weak point in a state, opening symptoms before it and closing symptoms after it are linear in the array, so
each visit is three small matrices. They are read off the step-by-step sweep by running it on unit arrays. A plan
whose matrices would be large stays with that sweep.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import prod

import numpy as np

from riskapi.domain.sweep import Sweep, products_of_others
from riskapi.domain.sweep_levels import Array
from riskapi.domain.sweep_plan import Plan, Step
from riskapi.domain.timeline import Floats

LARGEST = 32  # entries of an array up to which matrices are faster than steps
ALONE = 2**17  # multiplications up to which linear-algebra libraries work in one thread; more would wait for each other


@dataclass(frozen=True, slots=True)
class _Visit:
    """A weak point (index) and the matrices of its states: `ahead` (3, A after, A before), and their transposes for
    the way back, `back` (3, A before, A after)."""

    index: int
    ahead: Floats
    back: Floats


@dataclass(frozen=True, slots=True)
class _Component:
    """The array (A, 1) before the first weak point, and the visits."""

    start: Floats
    visits: tuple[_Visit, ...]


class MatrixSweep:
    """Evidence and gradients like Sweep's, for likelihoods that are the same for everything computed side by side."""

    def __init__(self, plan: Plan, weights: Sequence[Floats]) -> None:
        steps = Sweep(plan, weights)
        self._lone = list(plan.lone)
        self._components = tuple(_component(steps, each) for each in plan.components)

    def evidence(self, masses: Array) -> Array:
        """Sum over all states of masses x likelihood, shape (B,); `masses` is (weak points, 3, B), real or complex."""
        lone: Array = masses[self._lone].sum(axis=1).prod(axis=0)
        return lone * self.connected(masses)

    def connected(self, masses: Array) -> Array:
        """The part of `evidence` that hangs together with open symptoms; other weak points' masses are not read."""
        result: Array = np.ones(1)
        for component in self._components:
            t: Array = component.start
            for visit in component.visits:
                t = _mixed(masses[visit.index], _by_state(visit.ahead, t))
            result = result * t[0]
        return result

    def gradients(self, masses: Array) -> tuple[Array, Array]:
        """Evidence (B,) and its derivative by every mass, (weak points, 3, B): the likelihood of all else."""
        batch = masses.shape[2:]
        trails = [_trail(component, masses) for component in self._components]
        lone = masses[self._lone].sum(axis=1)
        factors = [np.broadcast_to(trail[-1][0], batch) for trail in trails] + list(lone)
        others = products_of_others(factors, batch)
        slopes = np.empty(masses.shape, dtype=masses.dtype)
        for component, trail, other in zip(self._components, trails, others, strict=False):
            adjoint: Array = other[None]
            for visit, before in zip(reversed(component.visits), reversed(trail[:-1]), strict=True):
                states = _by_state(visit.back, adjoint)
                slopes[visit.index] = (states * before).sum(axis=1)
                adjoint = _mixed(masses[visit.index], states)
        for index, other in zip(self._lone, others[len(trails) :], strict=True):
            slopes[index] = other
        total = others[-1] * factors[-1] if factors else np.ones(batch)
        return total, slopes


def _by_state(matrices: Floats, t: Array) -> Array:
    """The array (A, B) after each state's matrix, (3, A', B); a complex array is multiplied as pairs of reals."""
    reals = t.view(np.float64)
    product = np.empty((*matrices.shape[:2], reals.shape[1]))
    block = max(ALONE // matrices[0].size, 1)
    for first in range(0, reals.shape[1], block):
        mine = slice(first, first + block)
        np.matmul(matrices, reals[:, mine], out=product[:, :, mine])
    return product.view(t.dtype)


def _mixed(masses: Array, states: Array) -> Array:
    """Sum over the states of masses (3, B) x arrays (3, A, B)."""
    mixed: Array = (masses[:, None] * states).sum(axis=0)
    return mixed


def _trail(component: _Component, masses: Array) -> list[Array]:
    """The array before every visit and after the last."""
    trail: list[Array] = [component.start]
    for visit in component.visits:
        trail.append(_mixed(masses[visit.index], _by_state(visit.ahead, trail[-1])))
    return trail


def _component(sweep: Sweep, steps: Sequence[Step]) -> _Component:
    """Cut before every weak point: what closes after it belongs to its visit."""
    cuts = [i for i, step in enumerate(steps) if step.kind == "part"] + [len(steps)]
    array = sweep.run(steps[: cuts[0]], np.ones(1), np.ones((0, 3, 1)))
    start, shape, visits = array.reshape(-1, 1), array.shape[:-1], []
    for here, end in pairwise(cuts):
        array = _on_units(sweep, steps[here:end], shape)
        visits.append(_visit(steps[here].index, array.reshape(-1, 3, prod(shape))))
        shape = array.shape[:-1]
    return _Component(start, tuple(visits))


def _on_units(sweep: Sweep, steps: Sequence[Step], shape: tuple[int, ...]) -> Array:
    """What a visit makes of every unit array of this shape in each of its three states, (.., 3 x units)."""
    units = np.eye(prod(shape))
    state = np.repeat(np.eye(3), prod(shape), axis=1)
    masses = np.broadcast_to(state, (steps[0].index + 1, *state.shape))
    return sweep.run(steps, np.tile(units, 3).reshape(*shape, -1), masses)


def _visit(index: int, matrices: Floats) -> _Visit:
    """From (A after, 3, A before)."""
    return _Visit(index, *(np.ascontiguousarray(matrices.transpose(axes)) for axes in ((1, 0, 2), (1, 2, 0))))


def fixed_sweep(plan: Plan, weights: Sequence[Floats]) -> MatrixSweep | Sweep:
    """The faster way to sweep this plan again and again with these likelihoods, (E, 1) each."""
    return MatrixSweep(plan, weights) if plan.largest <= LARGEST else Sweep(plan, weights)
