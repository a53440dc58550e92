"""In which order the weak points of a component are visited and its symptoms closed: a beam search for little work.

To close a symptom all its weak points have to be visited, which opens every other symptom that they show in. The work
of the next closing depends only on which symptoms are closed already, so of all ways to the same set the cheapest is
enough; of the sets with as many symptoms the `BEAM` cheapest are followed up. Work is counted in entries of the array:
three states for every visit, one pass for the closing.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from riskapi.domain.timeline import Floats

Bools = npt.NDArray[np.bool_]
Indices = npt.NDArray[np.intp]
BEAM = 16


@dataclass(frozen=True, slots=True)
class Symptoms:
    """S symptoms of n weak points: `parents` (S, n), `higher` (S, S) zones that run down to a symptom, and the binary
    logarithms (S,) of their numbers of classes."""

    parents: Bools
    higher: Bools
    size: Floats

    def open(self, visited: Bools, closed: Bools) -> Bools:
        """Symptoms that have an axis (b, S) once weak points are visited (b, n) and symptoms closed (b, S)."""
        return (_any(visited, self.parents.T) | _any(closed, self.higher.T)) & ~closed


@dataclass(frozen=True, slots=True)
class _Beam:
    """Sets of closed symptoms (b, S), the weak points visited for them (b, n), the work so far (b,) and in which order
    they were closed (b, number of symptoms closed)."""

    closed: Bools
    visited: Bools
    work: Floats
    order: Indices


def closing_order(symptoms: Symptoms) -> list[int]:
    """The order in which to close all symptoms, every zone after those that run down to it."""
    count, points = symptoms.parents.shape
    start = np.zeros((1, count), dtype=bool), np.zeros((1, points), dtype=bool), np.zeros(1), np.zeros((1, 0), np.intp)
    beam = _Beam(*start)
    for _ in range(count):
        beam = _followed_up(symptoms, beam)
    return [int(f) for f in beam.order[0]]


def _followed_up(symptoms: Symptoms, beam: _Beam) -> _Beam:
    """Every set with one more symptom closed, the best of them."""
    waiting = _any(~beam.closed, symptoms.higher.T)
    b, f = np.nonzero(~beam.closed & ~waiting)
    here = np.arange(f.size)
    closed, visited = beam.closed[b], beam.visited[b] | symptoms.parents[f]
    at_work = symptoms.open(visited, closed)
    at_work[here, f] = True
    visits = visited.sum(axis=1) - beam.visited[b].sum(axis=1)
    work = beam.work[b] + (3.0 * visits + 1.0) * np.exp2(at_work @ symptoms.size)
    closed[here, f] = True
    best = _cheapest(closed, work)
    order = np.concatenate([beam.order[b[best]], f[best][:, None]], axis=1)
    return _Beam(closed[best], visited[best], work[best], order)


def _cheapest(closed: Bools, work: Floats) -> Indices:
    """Which to follow up, cheapest first: of equal sets the cheapest, and no more than BEAM."""
    sets, best = np.packbits(closed, axis=1), dict[bytes, int]()
    for i in np.argsort(work, kind="stable").tolist():
        best.setdefault(sets[i].tobytes(), i)
        if len(best) == BEAM:
            break
    return np.array(list(best.values()), dtype=np.intp)


def _any(rows: Bools, table: Bools) -> Bools:
    """Rows (b, n) times a table (n, m): whether any is in both, (b, m)."""
    return np.asarray(rows.astype(np.float32) @ table.astype(np.float32) > 0.0)


def visiting_order(symptoms: Symptoms) -> list[int]:
    """In which order to visit the weak points; of those visited for the same closing the ones that open least first."""
    count, points = symptoms.parents.shape
    order: list[int] = []
    visited, closed = np.zeros((1, points), dtype=bool), np.zeros((1, count), dtype=bool)
    for f in closing_order(symptoms):
        mine = np.flatnonzero(symptoms.parents[f] & ~visited[0])
        fresh = ~symptoms.open(visited, closed)[0]
        opened = (symptoms.parents[:, mine].T * symptoms.size * fresh).sum(axis=1)
        order += mine[np.argsort(opened, kind="stable")].tolist()
        visited[0, mine], closed[0, f] = True, True
    return order
