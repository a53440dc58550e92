"""The exact sweep over a noisy-MAX network, without subtraction (model: one exact sweep).

Weak points are visited one after the other; an array over the levels of every symptom still open keeps how
far each has been explained. A symptom is closed after its last parent, weighted with the likelihood of what was
read from it; a higher zone then hands its wetness down to lower ones. Everything is multilinear in the
states' masses, so the same plan gives evidence, marginals (forward and backward) and, with characteristic
functions in place of masses, the cost distribution.

Arrays carry a last axis B of things computed side by side (root combinations, frequencies, what-ifs).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from riskapi.domain.timeline import Floats
from riskapi.errors import TooComplex

Array = npt.NDArray[Any]
LIMIT = 2**25  # entries of the largest array


@dataclass(frozen=True, slots=True)
class OpenSymptom:
    """A symptom whose level is not settled. Levels are merged into E classes that the readings cannot tell apart.

    background: cumulative (E,); parents: weak point index -> cumulative (3, E); higher: index of a higher zone
    among the open symptoms -> cumulative (E of that zone, E). A last entry below 1 means: higher levels are ruled out.
    """

    id: str
    background: Floats
    parents: Mapping[int, Floats]
    higher: Mapping[int, Floats]


@dataclass(frozen=True, slots=True)
class Step:
    """Visit a weak point (kind 'part') or close a symptom ('close'); `axes` maps open symptoms to axes before it."""

    kind: str
    index: int
    opened: tuple[int, ...]
    axes: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Plan:
    """The steps of every connected component, and the weak points that touch no open symptom."""

    symptoms: tuple[OpenSymptom, ...]
    components: tuple[tuple[Step, ...], ...]
    lone: tuple[int, ...]
    largest: int


def make_plan(weak_points: int, symptoms: Sequence[OpenSymptom]) -> Plan:
    """A greedy order that keeps few symptoms open at a time. Raises TooComplex when even that is too many."""
    groups, lone = _components(weak_points, symptoms)
    components, largest = [], 1
    for parts, open_ones in groups:
        steps, size = _order(parts, open_ones, symptoms)
        components.append(steps)
        largest = max(largest, size)
    if largest > LIMIT:
        names = [s.id for s in symptoms]
        raise TooComplex(
            f"The findings on {len(names)} symptoms hang together so closely that the exact answer needs "
            f"an array of {largest:,} entries.",
            names,
        )
    return Plan(tuple(symptoms), tuple(components), tuple(lone), largest)


def _components(count: int, symptoms: Sequence[OpenSymptom]) -> tuple[list[tuple[list[int], list[int]]], list[int]]:
    """Connected sets of (weak points, symptoms), and the weak points without an open symptom."""
    parent = list(range(count + len(symptoms)))

    def root(i: int) -> int:
        while parent[i] != i:
            parent[i] = parent[parent[i]]
            i = parent[i]
        return i

    for f, symptom in enumerate(symptoms):
        for i in [*symptom.parents, *(count + g for g in symptom.higher)]:
            parent[root(i)] = root(count + f)
    groups: dict[int, tuple[list[int], list[int]]] = {}
    for f in range(len(symptoms)):
        groups.setdefault(root(count + f), ([], []))[1].append(f)
    lone = []
    for i in range(count):
        if root(i) in groups:
            groups[root(i)][0].append(i)
        else:
            lone.append(i)
    return list(groups.values()), lone


def _order(parts: list[int], members: list[int], symptoms: Sequence[OpenSymptom]) -> tuple[tuple[Step, ...], int]:
    waiting = {f: set(symptoms[f].parents) for f in members}
    lower: dict[int, list[int]] = {f: [g for g in members if f in symptoms[g].higher] for f in members}
    above = {f: set(symptoms[f].higher) for f in members}
    touches = {i: [f for f in members if i in symptoms[f].parents] for i in parts}
    width = {f: symptoms[f].background.size for f in members}
    axes: list[int] = []
    steps: list[Step] = []
    largest = 1

    def size(extra: Sequence[int]) -> int:
        result = 1
        for f in {*axes, *extra}:
            result *= width[f]
        return result

    def close_ready() -> None:
        nonlocal largest
        ready = True
        while ready:
            ready = False
            for f in list(waiting):
                if waiting[f] or above[f] or (f not in axes and symptoms[f].parents):
                    continue
                opened = [g for g in [f, *lower[f]] if g not in axes]
                largest = max(largest, size(opened))
                axes.extend(opened)
                steps.append(Step("close", f, tuple(opened), tuple(axes)))
                axes.remove(f)
                del waiting[f]
                for g in lower[f]:
                    above[g].discard(f)
                ready = True

    close_ready()
    left = list(parts)
    while left:

        def cost(i: int) -> tuple[int, int, int]:
            finished = sum(1 for f in touches[i] if waiting[f] == {i} and not above[f])
            return size(touches[i]) // 2**finished, size(touches[i]), i

        i = min(left, key=cost)
        left.remove(i)
        opened = [f for f in touches[i] if f not in axes]
        largest = max(largest, size(opened))
        axes.extend(opened)
        steps.append(Step("part", i, tuple(opened), tuple(axes)))
        for f in touches[i]:
            waiting[f].discard(i)
        close_ready()
    return tuple(steps), largest


def _split(t: Array, axis: int) -> Array:
    """A view (before, E, after): one axis of a contiguous array with everything left and right of it run together."""
    before = 1
    for size in t.shape[:axis]:
        before *= size
    return t.reshape(before, t.shape[axis], -1)


def _raise(t: Array, axis: int, cdf: Floats) -> Array:
    """Maximum of the level on this axis and an independent one with cumulative chances `cdf`."""
    source = _split(t, axis)
    out = source * cdf[:, None]
    below = source[:, 0]
    for level in range(1, cdf.size):
        step = cdf[level] - cdf[level - 1]
        if step != 0.0:
            out[:, level] += step * below
        if level + 1 < cdf.size:
            below = below + source[:, level]
    return out.reshape(t.shape)


def _lower(a: Array, axis: int, cdf: Floats) -> Array:
    """The transpose of `_raise`."""
    source = _split(a, axis)
    out = source * cdf[:, None]
    above: Array | None = None
    for level in range(cdf.size - 1, 0, -1):
        part = (cdf[level] - cdf[level - 1]) * source[:, level]
        above = part if above is None else above + part
        out[:, level - 1] += above
    return out.reshape(a.shape)


def _density(cdf: Floats) -> Floats:
    return np.diff(cdf, prepend=0.0)


class Sweep:
    """A plan with its likelihoods: weights[f] is (E, B) or (E, 1), the likelihood of the readings per class."""

    def __init__(self, plan: Plan, weights: Sequence[Array]) -> None:
        self.plan, self.weights = plan, weights

    def evidence(self, masses: Array) -> Array:
        """Sum over all states of masses x likelihood, shape (B,); `masses` is (weak points, 3, B), any number type."""
        result = masses[list(self.plan.lone)].sum(axis=1).prod(axis=0)
        for steps in self.plan.components:
            t: Array = np.ones((1,))
            for step in steps:
                t = self._forward(step, t, masses)[0]
            result = result * t
        return result

    def _forward(self, step: Step, t: Array, masses: Array) -> tuple[Array, list[Array]]:
        """The array after a step, and for a weak point the arrays of its three states."""
        symptoms = self.plan.symptoms
        for f in step.opened:
            background = _density(symptoms[f].background)
            t = t[..., None, :] * background[:, None]
        if step.kind == "part":
            p = masses[step.index]
            states = [t]
            for state in (1, 2):
                u = t
                for f, cdf in self._touched(step):
                    u = _raise(u, step.axes.index(f), cdf[state])
                states.append(u)
            return p[0] * states[0] + p[1] * states[1] + p[2] * states[2], states
        f = step.index
        axis = step.axes.index(f)
        rows = np.moveaxis(t, axis, 0)
        weights = self.weights[f]
        rest = [g for g in step.axes if g != f]
        arcs = [(rest.index(g), symptoms[g].higher[f]) for g in rest if f in symptoms[g].higher]
        total: Array | None = None
        for level in range(rows.shape[0]):
            row = weights[level] * rows[level]
            for lower_axis, table in arcs:
                row = _raise(row, lower_axis, table[level])
            total = row if total is None else total + row
        assert total is not None
        return total, []

    def _touched(self, step: Step) -> list[tuple[int, Floats]]:
        symptoms = self.plan.symptoms
        return [(f, symptoms[f].parents[step.index]) for f in step.axes if step.index in symptoms[f].parents]

    def marginals(self, masses: Floats) -> tuple[Floats, Floats]:
        """Evidence (B,) and joint masses of every state with the evidence, (weak points, 3, B)."""
        total, slopes = self.gradients(masses)
        return total, masses * slopes

    def gradients(self, masses: Array) -> tuple[Array, Array]:
        """Evidence (B,) and its derivative by every mass, (weak points, 3, B): the likelihood of all else."""
        parts = [self._component(steps, masses) for steps in self.plan.components]
        lone = masses[list(self.plan.lone)].sum(axis=1)
        factors = [factor for factor, _ in parts] + list(lone)
        batch = np.broadcast_shapes(masses.shape[2:], *(np.shape(factor) for factor in factors))
        others = _products_of_others([np.broadcast_to(factor, batch) for factor in factors], batch)
        slopes = np.empty((masses.shape[0], 3, *batch), dtype=masses.dtype)
        for (_, rows), other in zip(parts, others, strict=False):
            for index, slope in rows:
                slopes[index] = slope * other
        for index, other in zip(self.plan.lone, others[len(parts) :], strict=True):
            slopes[index] = other
        total = others[-1] * factors[-1] if factors else np.ones(batch)
        return total, slopes

    def _component(self, steps: Sequence[Step], masses: Array) -> tuple[Array, list[tuple[int, Array]]]:
        """A component's evidence and the derivatives by the masses of its weak points."""
        t: Array = np.ones((1,))
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

    def _backward(self, step: Step, adjoint: Array, masses: Array) -> Array:
        symptoms = self.plan.symptoms
        if step.kind == "part":
            p = masses[step.index]
            total = p[0] * adjoint
            for state in (1, 2):
                u = p[state] * adjoint
                for f, cdf in self._touched(step):
                    u = _lower(u, step.axes.index(f), cdf[state])
                total = total + u
        else:
            f = step.index
            rest = [g for g in step.axes if g != f]
            arcs = [(rest.index(g), symptoms[g].higher[f]) for g in rest if f in symptoms[g].higher]
            rows = []
            for level in range(symptoms[f].background.size):
                row = adjoint
                for lower_axis, table in arcs:
                    row = _lower(row, lower_axis, table[level])
                rows.append(self.weights[f][level] * row)
            total = np.stack(np.broadcast_arrays(*rows), axis=step.axes.index(f))
        for f in reversed(step.opened):
            background = _density(symptoms[f].background)
            axis = step.axes.index(f)
            shape = total.shape[:axis] + total.shape[axis + 1 :]
            total = np.einsum("aeb,e->ab", _split(total, axis), background).reshape(shape)
        return total


def _products_of_others(factors: list[Array], batch: tuple[int, ...]) -> list[Array]:
    """For each factor the product of all the others (no division: a factor may be 0)."""
    before, after = [np.ones(batch)], [np.ones(batch)]
    for factor in factors[:-1]:
        before.append(before[-1] * factor)
    for factor in reversed(factors[1:]):
        after.append(after[-1] * factor)
    return [b * a for b, a in zip(before, reversed(after), strict=True)] if factors else []
