"""The sweep for columns of readings (what if a finding were left out, were the only one) under root combinations.

A column and a root make a cell. Up to a step all cells are alike that agree on every mass and likelihood so far, and
after it all that agree on the rest; most columns differ from others in one place, and so do most roots. So the array
is kept once per class of cells, forward and backward; only where both meet there is a number for each pair of classes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from riskapi.domain.sweep import (
    closed,
    in_states,
    mixed,
    opened,
    products_of_others,
    reopened,
    unmixed,
    unopened,
)
from riskapi.domain.sweep_levels import Array
from riskapi.domain.sweep_plan import Plan, Step
from riskapi.domain.timeline import Floats

Indices = npt.NDArray[np.intp]

ENTRIES = 2**20  # of one array, if no two cells were alike, up to which all roots are taken together


@dataclass(frozen=True)
class Columns:
    """A plan with likelihoods (E, C) per open symptom, factors (W, 3, C) on the masses, and the masses (W, 3, R)."""

    plan: Plan
    weights: Sequence[Floats]
    factors: Floats
    masses: Floats

    def gradients(self) -> tuple[Floats, Floats]:
        """Evidence (C, R) and its derivatives by the masses times factors, (W, 3, C, R)."""
        size, roots = max(ENTRIES // (self.plan.largest * self.factors.shape[2]), 1), self.masses.shape[2]
        runs = [replace(self, masses=self.masses[..., first : first + size]) for first in range(0, roots, size)]
        evidence, slopes = zip(*(run.gradients_at_once() for run in runs), strict=True)
        return np.concatenate(evidence, axis=1), np.concatenate(slopes, axis=3)

    def gradients_at_once(self) -> tuple[Floats, Floats]:
        """The same for all roots together."""
        columns, roots = self.factors.shape[2], self.masses.shape[2]
        weighed = self.factors[..., None] * self.masses[:, :, None]
        parts = [self._component(steps) for steps in self.plan.components]
        lone = list(self.plan.lone)
        evidence = [z.reshape(1, columns, roots) for z, _ in parts]
        others = products_of_others(rows := np.concatenate([*evidence, weighed[lone].sum(axis=1)]))
        slopes = np.empty(weighed.shape)
        slopes[lone] = others[len(parts) :, None]
        for (_, found), other in zip(parts, others, strict=False):
            for index, slope in found:
                slopes[index] = slope.reshape(3, columns, roots) * other
        return rows.prod(axis=0), slopes

    def _component(self, steps: Sequence[Step]) -> tuple[Floats, list[tuple[int, Floats]]]:
        """Evidence of every cell (C R,), and the derivatives (3, C R) by the masses of each of its weak points."""
        marks = [self._mark(step) for step in steps]
        ahead, behind = _classes(marks), _classes(marks[::-1])[::-1]
        t: Array = np.ones(1)
        trail: list[Sequence[Array]] = []
        for step, before, after in zip(steps, ahead, ahead[1:], strict=False):
            cells = _first(after)
            states: list[Array] = []
            t = opened(step, t)
            if step.kind == "part":
                states = in_states(step, t)
                t = mixed(self._mass(step, cells), [state[..., before[cells]] for state in states])
            else:
                t = closed(step, t[..., before[cells]], self._weight(step, cells))
            trail.append(states)
        evidence = np.broadcast_to(t, int(ahead[-1].max()) + 1)[ahead[-1]]
        adjoint, rows = np.ones(1), list[tuple[int, Floats]]()
        for k in reversed(range(len(steps))):
            step, cells = steps[k], _first(behind[k])
            if step.kind == "part":
                rows.append((step.index, _met(adjoint, trail[k], behind[k + 1], ahead[k])))
            each = adjoint[..., behind[k + 1][cells]]
            if step.kind == "part":
                adjoint = unopened(step, unmixed(step, each, self._mass(step, cells)))
            else:
                adjoint = unopened(step, reopened(step, each, self._weight(step, cells)))
        return evidence, rows

    def _mass(self, step: Step, cells: Indices) -> Floats:
        column, root = np.divmod(cells, self.masses.shape[2])
        return np.asarray(self.factors[step.index][:, column] * self.masses[step.index][:, root])

    def _weight(self, step: Step, cells: Indices) -> Floats:
        weights = self.weights[step.index]
        return weights if weights.shape[1] == 1 else weights[:, cells // self.masses.shape[2]]

    def _mark(self, step: Step) -> Indices:
        """Numbers of the cells (C R,), equal where this step does the same."""
        columns, roots = self.factors.shape[2], self.masses.shape[2]
        if step.kind == "close":
            weights = np.broadcast_to(self.weights[step.index], (len(self.weights[step.index]), columns))
            return np.repeat(_alike(weights), roots)
        by_column, by_root = _alike(self.factors[step.index]), _alike(self.masses[step.index])
        return np.asarray((by_column[:, None] * roots + by_root).reshape(-1))


def _alike(values: Floats) -> Indices:
    """Numbers of the columns of (n, C), equal columns having equal ones."""
    if (values == values[:, :1]).all():
        return np.zeros(values.shape[1], dtype=np.intp)
    known: dict[bytes, int] = {}
    rows = np.ascontiguousarray(values.T)
    return np.array([known.setdefault(row.tobytes(), len(known)) for row in rows], dtype=np.intp)


def _classes(marks: Sequence[Indices]) -> list[Indices]:
    """Which cells agree on the first k marks, k = 0, 1, ..: numbers from 0 on."""
    labels = [np.zeros(marks[0].size, dtype=np.intp)]
    for mark in marks:
        pairs = labels[-1] * (int(mark.max()) + 1) + mark
        labels.append(np.unique(pairs, return_inverse=True)[1].reshape(-1))
    return labels


def _first(labels: Indices) -> Indices:
    """The first cell of every class."""
    return np.asarray(np.unique(labels, return_index=True)[1])


def _met(adjoint: Array, states: Sequence[Array], after: Indices, before: Indices) -> Floats:
    """Sum over the array of what is behind (classes `after`) times each state (classes `before`), (3, cells)."""
    pairs, back = np.unique(after * (int(before.max()) + 1) + before, return_inverse=True)
    right, left = np.divmod(pairs, int(before.max()) + 1)
    behind = adjoint[..., right].reshape(-1, pairs.size)
    rows = []
    for state in states:
        full = np.broadcast_to(state, (*adjoint.shape[:-1], state.shape[-1]))
        rows.append((behind * full[..., left].reshape(behind.shape)).sum(axis=0))
    return np.stack(rows)[:, back.reshape(-1)]
