"""In which order the sweep visits weak points and closes symptoms, so that few symptoms are open at a time.

A step's array has one axis per open symptom, so its size is the product of their numbers of classes: 2 ** frontier
with two classes each. riskapi.domain.sweep_order says in which order weak points are visited; a symptom is closed as
soon as nothing is left that shows in it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import prod

import numpy as np

from riskapi.domain.sentence import told
from riskapi.domain.sweep_levels import density
from riskapi.domain.sweep_order import Symptoms, visiting_order
from riskapi.domain.timeline import Floats
from riskapi.errors import TooComplex

LIMIT = 2**13  # entries of the largest array; with more an answer would take minutes


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
    """Visit a weak point (kind 'part') or close a symptom ('close').

    `opened` are the symptoms that get an axis just before it; `axes` are all that have one during it, in the order of
    the array's axes; `densities` the background chances of the levels of those opened. `shows` has (axis, cumulative
    chances (3, E)) of every symptom that a weak point shows in, `arcs` (axis once closed, cumulative chances (E, E
    below)) of every zone that a closed one runs down to.
    """

    kind: str
    index: int
    opened: tuple[int, ...]
    axes: tuple[int, ...]
    densities: tuple[Floats, ...]
    shows: tuple[tuple[int, Floats], ...]
    arcs: tuple[tuple[int, Floats], ...]


@dataclass(frozen=True, slots=True)
class Plan:
    """The steps of every connected component, the weak points that touch no open symptom, and the largest array."""

    symptoms: tuple[OpenSymptom, ...]
    components: tuple[tuple[Step, ...], ...]
    lone: tuple[int, ...]
    largest: int

    @property
    def order(self) -> tuple[int, ...]:
        """The weak points that touch an open symptom, as they are visited."""
        return tuple(step.index for steps in self.components for step in steps if step.kind == "part")


def make_plan(weak_points: int, symptoms: Sequence[OpenSymptom], limit: int = LIMIT) -> Plan:
    """An order that keeps few symptoms open at a time.

    Raises TooComplex when even that needs an array of more than `limit` entries.
    """
    groups, lone = _components(weak_points, symptoms)
    orders = [_Order(parts, members, symptoms).go() for parts, members in groups]
    components = tuple(tuple(order.steps) for order in orders)
    worst = max(orders, key=lambda order: order.largest, default=None)
    if worst is not None and worst.largest > limit:
        knot = [symptoms[f].id for f in worst.knot]
        raise TooComplex(
            told(
                "{count:d} symptoms hang together so closely through the weak points they share that the exact answer "
                "needs an array of {size:,d} entries; at most {limit:,d} are computed.",
                count=len(knot),
                size=worst.largest,
                limit=limit,
            ),
            knot,
        )
    return Plan(tuple(symptoms), components, tuple(lone), worst.largest if worst else 1)


def _components(count: int, symptoms: Sequence[OpenSymptom]) -> tuple[list[tuple[list[int], list[int]]], list[int]]:
    """Connected sets of (weak points, symptoms), and the weak points without an open symptom (by union-find)."""
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
    lone = [i for i in range(count) if root(i) not in groups]
    for i in range(count):
        if root(i) in groups:
            groups[root(i)][0].append(i)
    return list(groups.values()), lone


def _symptoms(parts: Sequence[int], members: Sequence[int], symptoms: Sequence[OpenSymptom]) -> Symptoms:
    """One component's symptoms for the search of an order."""
    parents, higher = np.zeros((len(members), len(parts)), dtype=bool), np.zeros((len(members),) * 2, dtype=bool)
    part_at, symptom_at = ({i: k for k, i in enumerate(each)} for each in (parts, members))
    for f, k in symptom_at.items():
        parents[k, [part_at[i] for i in symptoms[f].parents]] = True
        higher[k, [symptom_at[g] for g in symptoms[f].higher]] = True
    return Symptoms(parents, higher, np.log2([symptoms[f].background.size for f in members]))


class _Order:
    """Orders one component: `steps`, the size `largest` of the largest array, and `knot`, its symptoms."""

    def __init__(self, parts: Sequence[int], members: Sequence[int], symptoms: Sequence[OpenSymptom]) -> None:
        self.largest = 1
        self.knot: tuple[int, ...] = ()
        self._symptoms = symptoms
        self._parts = [parts[k] for k in visiting_order(_symptoms(parts, members, symptoms))]
        self._width = {f: symptoms[f].background.size for f in members}
        self._parents = {f: frozenset(symptoms[f].parents) for f in members}
        self._waiting = {f: set(symptoms[f].parents) for f in members}  # weak points a symptom still waits for
        self._above = {f: set(symptoms[f].higher) for f in members}  # higher zones it still waits for
        self._lower = {f: [g for g in members if f in symptoms[g].higher] for f in members}
        self._touches = {i: [f for f in members if i in self._parents[f]] for i in parts}
        self._axes: list[int] = []
        self._entries = 1  # of the array: the product of the widths of its axes
        self.steps: list[Step] = []

    def go(self) -> _Order:
        """Visit all weak points."""
        self._close_ready()
        for i in self._parts:
            self._step("part", i, self._touches[i])
            for f in self._touches[i]:
                self._waiting[f].discard(i)
            self._close_ready()
        return self

    def _step(self, kind: str, index: int, touched: Sequence[int]) -> None:
        opened = [f for f in touched if f not in self._axes]
        self._axes.extend(opened)
        self._entries *= prod(self._width[f] for f in opened)
        if self._entries > self.largest:
            self.largest, self.knot = self._entries, tuple(self._axes)
        open_now = [self._symptoms[f] for f in self._axes]
        below = [self._symptoms[f] for f in self._axes if f != index]
        shows = [(axis, s.parents[index]) for axis, s in enumerate(open_now) if index in s.parents]
        arcs = [(axis, s.higher[index]) for axis, s in enumerate(below) if index in s.higher]
        self.steps.append(
            Step(
                kind,
                index,
                tuple(opened),
                tuple(self._axes),
                densities=tuple(density(self._symptoms[f].background) for f in opened),
                shows=tuple(shows) if kind == "part" else (),
                arcs=tuple(arcs) if kind == "close" else (),
            )
        )

    def _close_ready(self) -> None:
        """Close symptoms that wait for nothing, until none is left; closing one may free lower zones."""
        while (f := next(filter(self._is_ready, self._waiting), None)) is not None:
            self._step("close", f, [f, *self._lower[f]])
            self._axes.remove(f)
            self._entries //= self._width[f]
            del self._waiting[f]
            for g in self._lower[f]:
                self._above[g].discard(f)

    def _is_ready(self, f: int) -> bool:
        return not self._waiting[f] and not self._above[f]
