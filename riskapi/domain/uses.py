"""Which lanes are in use under the root combinations of one candidate engine, and how they mix into weak points.

Weak points that no open symptom touches are called lone: the sweep only multiplies the sums over their states, so their
states are summed, and roots under which they live the same life share one factor.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from riskapi.domain.lanes import LaneSet
from riskapi.domain.sweep_levels import Array
from riskapi.domain.timeline import Floats

Indices = npt.NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Mixing:
    """Uses with weights, each for another pair of weak point and position of the root combination; (n,) each."""

    weak_point: Indices
    root: Indices
    use: Indices
    weight: Floats


@dataclass(frozen=True)
class Uses:
    """Distinct (lane, weak point, prices) in use under R root combinations, and how they mix into W weak points.

    candidates: the first candidate engine with these prices of the weak point; mixings: the first, second, .. lane of
    every mixture; absent (W, R): chance that the engine has no such part.
    """

    lanes: Indices
    weak_points: Indices
    candidates: Indices
    mixings: tuple[Mixing, ...]
    absent: Floats

    def by_root(self, rows: Array) -> Array:
        """Lanes mixed into weak points: (uses, 3, F) -> (W, 3, R, F); an absent weak point is sound and quiet."""
        result = np.zeros((self.absent.shape[0], 3, self.absent.shape[1], rows.shape[-1]), dtype=rows.dtype)
        for mix in self.mixings:
            result[mix.weak_point, :, mix.root] += mix.weight[:, None, None] * rows[mix.use]
        if self.absent.any():
            result[:, 0] += self.absent[..., None]
        return result

    def to_uses(self, slopes: Array) -> Array:
        """The transpose of `by_root` for what the lanes contribute: (W, 3, R, F) -> (uses, 3, F)."""
        result = np.zeros((self.lanes.size, 3, slopes.shape[-1]), dtype=slopes.dtype)
        for mix in self.mixings:
            np.add.at(result, mix.use, mix.weight[:, None, None] * slopes[mix.weak_point, :, mix.root])
        return result

    def of(self, weak_points: Sequence[int]) -> Uses:
        """Only these weak points (ascending); rows of `by_root` are then theirs in this order."""
        position = np.full(self.absent.shape[0], -1)
        position[list(weak_points)] = np.arange(len(weak_points))
        mine = np.flatnonzero(position[self.weak_points] >= 0)
        renumbered = np.full(self.lanes.size, -1)
        renumbered[mine] = np.arange(mine.size)
        kept = [(mix, position[mix.weak_point] >= 0) for mix in self.mixings]
        mixings = tuple(
            Mixing(position[mix.weak_point[k]], mix.root[k], renumbered[mix.use[k]], mix.weight[k])
            for mix, k in kept
            if k.any()
        )
        return Uses(
            self.lanes[mine], self.weak_points[mine], self.candidates[mine], mixings, self.absent[list(weak_points)]
        )

    @cached_property
    def lives(self) -> Lives:
        """What each weak point lives under each root combination: a use, or a mixture of several."""
        count, roots = self.absent.shape
        cells: list[list[tuple[int, float]]] = [[] for _ in range(count * roots)]
        for mix in self.mixings:
            here = (mix.weak_point * roots + mix.root).tolist()
            for cell, use, weight in zip(here, mix.use.tolist(), mix.weight.tolist(), strict=True):
                cells[cell].append((use, weight))
        known: dict[tuple[tuple[int, float], ...], int] = {}
        index = [
            cell[0][0] if _is_whole(cell) else self.lanes.size + known.setdefault(tuple(cell), len(known))
            for cell in cells
        ]
        return Lives(tuple(known), np.array(index, dtype=np.intp).reshape(count, roots))


@dataclass(frozen=True, slots=True)
class Lives:
    """Distinct mixtures of (use, weight), and which each weak point lives under each root, (W, R): the number of a use,
    or of a mixture, counted on from the last use."""

    mixtures: tuple[tuple[tuple[int, float], ...], ...]
    index: Indices

    def product(self, rows: Array) -> Array:
        """Product over the weak points of what they live, (uses, F) -> (R, F); what is missing to 1 is absent."""
        every = self.extended(rows[:, None])[:, 0]
        result = np.ones((self.index.shape[1], rows.shape[1]), dtype=rows.dtype)
        common = (self.index == self.index[:, :1]).all(axis=1)
        if common.any():
            result *= every[self.index[common, 0]].prod(axis=0)
        if not common.all():
            for r, column in enumerate(self.index[~common].T):
                result[r] *= every[column].prod(axis=0)
        return result

    def extended(self, rows: Array) -> Array:
        """The rows of the uses (uses, S, F) and behind them the mixtures; an absent weak point is quiet, in the first
        state."""
        if not self.mixtures:
            return rows
        mixed = np.zeros((len(self.mixtures), *rows.shape[1:]), dtype=rows.dtype)
        for i, mixture in enumerate(self.mixtures):
            mixed[i, 0] = max(1.0 - sum(weight for _, weight in mixture), 0.0)
            for use, weight in mixture:
                mixed[i] += weight * rows[use]
        return np.concatenate([rows, mixed])


def _is_whole(mixture: Sequence[tuple[int, float]]) -> bool:
    return len(mixture) == 1 and mixture[0][1] == 1.0


def uses_of(lanes: LaneSet, roots: Sequence[int], alike: Mapping[tuple[int, int], int] | None = None) -> Uses:
    """The lanes in use under these root combinations.

    `alike[weak point, candidate]` is the first candidate engine with the same prices; without it prices play no part.
    """
    known: dict[tuple[int, int, int], int] = {}
    rows: dict[int, list[tuple[int, int, int, float]]] = {}
    absent = np.ones((len(lanes.weak_points), len(roots)))
    for k, r in enumerate(roots):
        candidate = lanes.roots[r].candidate
        for w, mix in enumerate(lanes.mixes[r]):
            priced = alike[w, candidate] if alike else 0
            for position, (lane, weight) in enumerate(mix.lanes):
                use = known.setdefault((lane, w, priced), len(known))
                rows.setdefault(position, []).append((w, k, use, weight))
                absent[w, k] -= weight
    distinct = np.array(list(known), dtype=np.intp).reshape(-1, 3)
    mixings = tuple(map(_mixing, rows.values()))
    return Uses(distinct[:, 0], distinct[:, 1], distinct[:, 2], mixings, np.maximum(absent, 0.0))


def _mixing(rows: Sequence[tuple[int, int, int, float]]) -> Mixing:
    w, k, use, weight = zip(*rows, strict=True)
    return Mixing(np.array(w), np.array(k), np.array(use), np.array(weight))
