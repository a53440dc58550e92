"""The sweep for many root combinations that share most of what their weak points have lived through.

What a sweep has made of the weak points visited so far is the same under all roots that agree on these, and what is
still to come under all that agree on the rest. So the first part is swept once per class of roots that agree on it, the
second backward once per class that agrees on that, and they meet where this is least work.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from riskapi.domain.sweep import BLOCK, Sweep
from riskapi.domain.sweep_levels import Array
from riskapi.domain.sweep_matrices import NARROW, MatrixSweep, product
from riskapi.domain.sweep_visits import Component

Indices = npt.NDArray[np.intp]


@dataclass(frozen=True)
class SharedSweep:
    """`lives[weak point, root]` says which of the distinct masses a weak point has under a root combination."""

    sweep: MatrixSweep | Sweep
    lives: Indices

    def evidence(self, rows: Array) -> Array:
        """What hangs together with open symptoms, (R, B), from the distinct masses (lives, 3, B)."""
        if not isinstance(self.sweep, MatrixSweep):
            return self._evidence_by_root(rows)
        columns = rows.shape[2]
        result = np.ones((self.lives.shape[1], columns), dtype=rows.dtype)
        for passage in self.passages:
            size = max(BLOCK // (passage.largest * rows.itemsize), 1)
            for first in range(0, columns, size):
                cut = slice(first, first + size)
                result[:, cut] *= passage.evidence(rows[..., cut])[passage.back]
        return result

    def _evidence_by_root(self, rows: Array) -> Array:
        """The same with every root by itself; weak points that no symptom touches have any masses."""
        masses = rows[self.lives].transpose(0, 2, 1, 3)
        z = self.sweep.connected(masses.reshape(*masses.shape[:2], -1))
        return np.broadcast_to(z, masses.shape[2] * masses.shape[3]).reshape(masses.shape[2:])

    @cached_property
    def passages(self) -> list[Passage]:
        """The components, with the classes of the roots at every visit; a sweep step by step has none."""
        components = self.sweep.components(NARROW + 1) if isinstance(self.sweep, MatrixSweep) else ()
        return [passage_of(component, self.lives) for component in components]


@dataclass(frozen=True, slots=True)
class Stop:
    """The classes (C,) of roots at a visit: which class before it each comes from, and which life it has there."""

    before: Indices
    life: Indices


@dataclass(frozen=True, slots=True)
class Passage:
    """A component's visits, the first `cut` of them ahead, the others backward from the end, in `stops` (one each).

    `ahead`, `behind` (C,): the classes of both halves where they meet, per distinct column of lives; `back` (R,): the
    column of every root; `largest`: entries of the largest array that one column of masses needs.
    """

    component: Component
    stops: tuple[Stop, ...]
    cut: int
    ahead: Indices
    behind: Indices
    back: Indices
    largest: int

    def evidence(self, rows: Array) -> Array:
        """(C, B) of the distinct columns."""
        visits, columns = self.component.visits, rows.shape[2]
        start = self.component.start
        t: Array = np.broadcast_to(start, (len(start), columns)).astype(rows.dtype)
        for visit, stop in zip(visits[: self.cut], self.stops, strict=False):
            before = visit.arranged(_spread(t, stop, columns))
            t = product(visit.back.T, _in_states(before, stop, rows)).reshape(-1, stop.life.size * columns)
        a: Array = np.ones((1, columns), dtype=rows.dtype)
        for visit, stop in zip(visits[self.cut :][::-1], self.stops[self.cut :][::-1], strict=True):
            after = _in_states(_spread(a, stop, columns).reshape(visit.back.shape[1], -1), stop, rows)
            a = visit.restored(product(visit.ahead.T, after), stop.life.size * columns)
        size = max(len(t), len(a))
        return _met(t.reshape(size, -1, columns)[:, self.ahead], a.reshape(size, -1, columns)[:, self.behind])


def _spread(t: Array, stop: Stop, columns: int) -> Array:
    """The array of the classes at a stop (A, C B) from that of the classes before it."""
    classes = t.shape[1] // columns
    if stop.before.size == classes:
        return t
    return np.asarray(t.reshape(len(t), classes, columns)[:, stop.before].reshape(len(t), -1))


def _in_states(t: Array, stop: Stop, rows: Array) -> Array:
    """The array (T, n) times the masses of each state, (3 T, n)."""
    classes, columns = stop.life.size, rows.shape[2]
    before = t.reshape(-1, classes, columns)
    result = np.empty((3, *before.shape), dtype=rows.dtype)
    for state, after in enumerate(result):
        np.multiply(before, rows[stop.life, state], out=after)
    return result.reshape(3 * len(t), -1)


def _met(t: Array, a: Array) -> Array:
    """Sum over the array of both halves (A, C, B)."""
    return np.asarray(np.einsum("acb,acb->cb", t, a))


def passage_of(component: Component, lives: Indices) -> Passage:
    """The classes of the roots at every visit, and the cut with least work; `lives` (weak points, R)."""
    visits = component.visits
    known: dict[tuple[int, ...], int] = {}
    columns = lives[[visit.members[0] for visit in visits]].T.tolist()
    back = np.array([known.setdefault(tuple(column), len(known)) for column in columns])
    mine = np.array(list(known), dtype=np.intp).reshape(len(known), len(visits)).T
    ahead, behind = _classes(mine), _classes(mine[::-1])[::-1]
    widths = np.array([visit.widest for visit in visits], dtype=np.intp)
    work_ahead = widths * np.array([labels.max() + 1 for labels in ahead[1:]], dtype=np.intp)
    work_behind = widths * np.array([labels.max() + 1 for labels in behind[:-1]], dtype=np.intp)
    cut = int(np.argmin(np.append(0, work_ahead.cumsum()) + np.append(work_behind[::-1].cumsum()[::-1], 0)))
    stops = [_stop(row, ahead[k], ahead[k + 1]) for k, row in enumerate(mine[:cut])]
    stops += [_stop(mine[k], behind[k + 1], behind[k]) for k in range(cut, len(visits))]
    most = max([*(3 * work_ahead[:cut]), *(3 * work_behind[cut:]), len(known)])
    return Passage(component, tuple(stops), cut, ahead[cut], behind[cut], back, int(most))


def _classes(lives: Indices) -> list[Indices]:
    """Which columns agree on the first k rows, k = 0, 1, ..: numbers in order of appearance."""
    labels = [np.zeros(lives.shape[1], dtype=np.intp)]
    for row in lives:
        known: dict[tuple[int, int], int] = {}
        pairs = zip(labels[-1].tolist(), row.tolist(), strict=True)
        labels.append(np.array([known.setdefault(pair, len(known)) for pair in pairs], dtype=np.intp))
    return labels


def _stop(row: Indices, before: Indices, after: Indices) -> Stop:
    """Classes `after` a visit where columns have the lives `row`, and of classes `before` it."""
    first = np.unique(after, return_index=True)[1]
    return Stop(before[first], row[first])
