"""A component's steps of the sweep written out as matrices (see riskapi.domain.sweep_matrices).

Visiting weak points in given states, opening symptoms before and closing symptoms after them are linear in the array
and touch few of its axes, so each visit is one small matrix per combination of states. They are read off the
step-by-step sweep by running it on unit arrays of those axes alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import prod

import numpy as np

from riskapi.domain.sweep import Sweep
from riskapi.domain.sweep_levels import Array
from riskapi.domain.sweep_plan import Plan, Step
from riskapi.domain.timeline import Floats

CELLS = 2**14  # entries of a visit's matrices up to which another weak point joins it


@dataclass(frozen=True, slots=True)
class Visit:
    """Weak points visited together, and S matrices, one per combination of their states.

    `shape` are the axes of the array before the visit, `order` the permutation that puts those the visit touches first
    (None: they are), `restore` its inverse. `ahead` (S * T after, T before) leads on, `back` (S * T before, T after)
    are the transposes.
    """

    members: tuple[int, ...]
    shape: tuple[int, ...]
    order: tuple[int, ...] | None
    restore: tuple[int, ...]
    ahead: Floats
    back: Floats

    @property
    def widest(self) -> int:
        """Entries of the array before the visit or after it, whichever are more."""
        size = prod(self.shape)
        return max(size, size // int(self.ahead.shape[1]) * int(self.back.shape[1]))

    def arranged(self, t: Array) -> Array:
        """The array (A, B) with the touched axes in front, (T before, A / T * B)."""
        if self.order is not None:
            t = t.reshape(*self.shape, -1).transpose(*self.order, len(self.shape))
        return t.reshape(self.ahead.shape[1], -1)

    def restored(self, t: Array, columns: int) -> Array:
        """The transpose of `arranged`: (A, B)."""
        if self.order is not None:
            t = t.reshape(*(self.shape[axis] for axis in self.order), columns)
            t = t.transpose(*self.restore, len(self.shape))
        return t.reshape(-1, columns)


@dataclass(frozen=True, slots=True)
class Component:
    """The array (A, 1) before the first visit, and the visits."""

    start: Floats
    visits: tuple[Visit, ...]


def written_out(sweep: Sweep, steps: Sequence[Step], together: int) -> Component:
    """The matrices of a component of the plan, with up to `together` weak points per visit.

    It is cut before every visit: what closes after its weak points belongs to it.
    """
    first = next((i for i, step in enumerate(steps) if step.kind == "part"), len(steps))
    start = sweep.run(steps[:first], np.ones(1), np.ones((0, 3, 1)))
    axes = _after(steps[:first], ())
    visits = []
    for mine in _grouped(steps[first:], together, sweep.plan):
        visit, axes = _visit(sweep, mine, axes)
        visits.append(visit)
    return Component(start.reshape(-1, 1), tuple(visits))


def _grouped(steps: Sequence[Step], together: int, plan: Plan) -> Iterator[Sequence[Step]]:
    """Runs of steps with up to `together` weak points each, as long as their matrices stay small."""
    cuts = [i for i, step in enumerate(steps) if step.kind == "part"] + [len(steps)]
    here, members = 0, 0
    for cut, after in pairwise(cuts):
        if members and (members == together or _cells(steps[here:after], members + 1, plan) > CELLS):
            yield steps[here:cut]
            here, members = cut, 0
        members += 1
    if members:
        yield steps[here:]


def _cells(steps: Sequence[Step], members: int, plan: Plan) -> int:
    """At most so many entries have the matrices of these steps in one visit."""
    return int(3**members * _width(_touched(steps), plan) ** 2)


def _touched(steps: Sequence[Step]) -> set[int]:
    """Symptoms whose axes these steps work on."""
    found: set[int] = set()
    for step in steps:
        below = [f for f in step.axes if f != step.index] if step.kind == "close" else []
        found |= {*step.opened, *(step.axes[axis] for axis, _ in step.shows), *(below[axis] for axis, _ in step.arcs)}
        found |= {step.index} if step.kind == "close" else set()
    return found


def _width(symptoms: set[int] | Sequence[int], plan: Plan) -> int:
    return prod(plan.symptoms[f].background.size for f in symptoms)


def _after(steps: Sequence[Step], axes: Sequence[int]) -> tuple[int, ...]:
    """The symptoms that have an axis after these steps, in its order."""
    for step in steps:
        axes = [f for f in (*axes, *step.opened) if step.kind == "part" or f != step.index]
    return tuple(axes)


def _visit(sweep: Sweep, steps: Sequence[Step], axes: tuple[int, ...]) -> tuple[Visit, tuple[int, ...]]:
    """The visit that these steps make up, and the axes of the array after it."""
    touched = _touched(steps)
    near, far = [f for f in axes if f in touched], [f for f in axes if f not in touched]
    order = tuple(axes.index(f) for f in (*near, *far))
    members = tuple(step.index for step in steps if step.kind == "part")
    shape = tuple(sweep.plan.symptoms[f].background.size for f in axes)
    matrices = _on_units(sweep, tuple(_local(steps, near)), members, _width(near, sweep.plan))
    visit = Visit(
        members,
        shape,
        None if order == tuple(range(len(axes))) else order,
        tuple(np.argsort(order).tolist()),
        *(np.ascontiguousarray(matrices.transpose(turn)).reshape(-1, matrices.shape[turn[2]]) for turn in _TURNS),
    )
    return visit, (*_after(steps, near), *far)


_TURNS = ((1, 0, 2), (1, 2, 0))


def _local(steps: Sequence[Step], axes: Sequence[int]) -> Iterator[Step]:
    """The steps on an array that has only these axes to begin with."""
    for step in steps:
        mine = (*axes, *step.opened)
        below = [f for f in mine if f != step.index]
        was_below = [f for f in step.axes if f != step.index]
        yield replace(
            step,
            axes=mine,
            shows=tuple((mine.index(step.axes[axis]), table) for axis, table in step.shows),
            arcs=tuple((below.index(was_below[axis]), table) for axis, table in step.arcs),
        )
        axes = below if step.kind == "close" else mine


def _on_units(sweep: Sweep, steps: Sequence[Step], members: Sequence[int], size: int) -> Array:
    """What a visit makes of every unit array in every combination of states, (T after, combinations, T before)."""
    count = 3 ** len(members)
    masses = np.zeros((max(members) + 1, 3, count))
    for place, member in enumerate(members):
        states = np.arange(count) // 3 ** (len(members) - 1 - place) % 3
        masses[member, states, np.arange(count)] = 1.0
    shape = [sweep.plan.symptoms[f].background.size for f in steps[0].axes[: len(steps[0].axes) - len(steps[0].opened)]]
    units = np.tile(np.eye(size), count).reshape(*shape, -1)
    return sweep.run(steps, units, np.repeat(masses, size, axis=2)).reshape(-1, count, size)


def widest(plan: Plan) -> int:
    """Entries of the touched part of the array in the visit that touches most, one weak point at a time."""
    groups = (group for steps in plan.components for group in _grouped(_from_first_part(steps), 1, plan))
    return max((_width(_touched(group), plan) for group in groups), default=1)


def _from_first_part(steps: Sequence[Step]) -> Sequence[Step]:
    first = next((i for i, step in enumerate(steps) if step.kind == "part"), len(steps))
    return steps[first:]
