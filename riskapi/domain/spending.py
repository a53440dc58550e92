"""Masses of states times characteristic functions of what they cost, for all lanes in use under one candidate engine.

A spend is a number of repairs: sum over f and n of counts[f, n] * found ** f * service ** n, with the transforms of
what one part found faulty on day 0, and one failure in service, cost. The powers are the same for all states, horizons
and doubt nodes, so they are made once and the sums over n are products of matrices.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from riskapi.domain.lattice import Complex
from riskapi.domain.outlook import Outlook
from riskapi.domain.spends import Spend
from riskapi.domain.timeline import Floats
from riskapi.domain.uses import Uses

Indices = npt.NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class SpendKind:
    """Which spend is wanted: 'unplanned' up to a horizon (index), 'immediate' or 'planned'.

    The weak points `renewed` (indices) are put right on day 0 at no cost here.
    """

    name: str
    horizon: int = -1
    renewed: tuple[int, ...] = ()


IMMEDIATE, PLANNED = SpendKind("immediate"), SpendKind("planned")


def unplanned(horizon: int, renewed: Sequence[int] = ()) -> SpendKind:
    """All surprise repairs up to a horizon, immediate ones included."""
    return SpendKind("unplanned", horizon, tuple(renewed))


@dataclass(frozen=True, slots=True)
class Singles:
    """Transforms of single costs per use: rows (D, F) of distinct ones and which of them each use has, (uses,)."""

    rows: Complex
    index: Indices

    def powers(self, mine: Indices, most: int) -> Complex:
        """Powers 0 .. most - 1 of the transforms of these uses, (uses, most, F)."""
        distinct, back = np.unique(self.index[mine], return_inverse=True)
        single = self.rows[distinct]
        result = np.ones((distinct.size, most, single.shape[1]), dtype=complex)
        for n in range(1, most):
            np.multiply(result[:, n - 1], single, out=result[:, n])
        return np.asarray(result[back])


@dataclass(frozen=True)
class Spender:
    """The numbers of repairs of all lanes in use, with the transforms of what one costs (`found` unused if planned).

    `early` is what a failure in service costs that comes early, where the outlook tells these apart.
    """

    outlook: Outlook
    uses: Uses
    service: Singles
    found: Singles
    early: Singles | None = None

    @cached_property
    def spends(self) -> list[Spend]:
        return [self.outlook.spends[lane] for lane in self.uses.lanes]

    @cached_property
    def _shapes(self) -> list[tuple[int, Indices]]:
        """Uses with as many copies, together: (copies + 1, which uses)."""
        copies = np.array([spend.events.shape[3] for spend in self.spends], dtype=np.intp)
        return [(int(size), np.flatnonzero(copies == size)) for size in np.unique(copies)]

    def rows(self, kinds: Sequence[SpendKind], factors: Floats | None = None) -> Complex:
        """(uses, kinds, 3, F): node-averaged masses of the states times the transform of their spend.

        With `factors` (uses, 3) the states are weighted and summed, (uses, kinds, 1, F).
        """
        states = 3 if factors is None else 1
        result = np.empty((self.uses.lanes.size, len(kinds), states, self.service.rows.shape[1]), dtype=complex)
        for mine, counts in self._counts(kinds):
            wanted = counts if factors is None else np.einsum("us,ucsfn->ucfn", factors[mine], counts)[:, :, None]
            result[mine] = self._transformed(wanted, mine)
        return result

    def _counts(self, kinds: Sequence[SpendKind]) -> Iterator[tuple[Indices, Floats]]:
        """Uses with as many copies, and their counts (uses, kinds, 3, copies + 1, N)."""
        for _, mine in self._shapes:
            lanes = self.uses.lanes[mine].tolist()
            if PLANNED in kinds:
                planned = _block([self.outlook.spends[lane].planned[:, :3].mean(axis=0)[:, None] for lane in lanes])
                yield mine, planned[:, None].repeat(len(kinds), axis=1)
                continue
            events = _block([self.outlook.mean_events[lane][:, :3] for lane in lanes])  # (uses, H, 3, f, N)
            yield mine, np.stack([self._of_kind(kind, mine, events) for kind in kinds], axis=1)

    def _of_kind(self, kind: SpendKind, mine: Indices, events: Floats) -> Floats:
        """The counts (uses, 3, f, N) of one kind of spend, from those of all failures up to every horizon."""
        counts = events[:, kind.horizon]
        if kind.name == "immediate":
            at_once = np.zeros(counts.shape)
            at_once[..., 0] = counts.sum(axis=-1)
            return at_once
        renewed = np.flatnonzero(np.isin(self.uses.weak_points[mine], kind.renewed))
        if renewed.size:
            counts = counts.copy()
        for u in renewed.tolist():
            new = _as_new(self.spends[mine[u]], kind.horizon)
            counts[u] = 0.0
            counts[u, ..., : new.shape[-1]] = new
        return counts

    def _transformed(self, counts: Floats, mine: Indices) -> Complex:
        """sum_f sum_n counts[u, .., f, n] found ** f service ** n; (uses, .., f, n) -> (uses, .., F)."""
        inner = self._in_service(counts, mine)
        result: Complex = inner[..., -1, :]
        if inner.shape[-2] > 1:
            found = self.found.rows[self.found.index[mine]].reshape(mine.size, *[1] * (inner.ndim - 3), -1)
            for f in range(inner.shape[-2] - 2, -1, -1):
                result = result * found + inner[..., f, :]
        return result

    def _in_service(self, counts: Floats, mine: Indices) -> Complex:
        """The sum over the number of failures in service; that over pairs (m, n) is one over m for every n."""
        base, size = self.outlook.base, counts.shape[-1]
        if not base:
            return _times(counts, self.service.powers(mine, size))
        early = (self.early or self.service).powers(mine, min(base, size))
        late = self.service.rows[self.service.index[mine]].reshape(mine.size, *[1] * (counts.ndim - 2), -1)
        starts = range(0, size, base)
        blocks = (_times(counts[..., k : k + base], early[:, : size - k]) for k in reversed(starts))
        result = next(blocks)
        for block in blocks:
            result = result * late + block
        return result

    def per_node(self, slopes: Complex) -> Floats:
        """Re sum over states and frequencies of slopes (uses, 3, F) times the masses per doubt node with the transform
        of all surprise repairs of the term; (uses, nodes).

        The slopes meet the powers first: that is a number per (state, f, n), which all nodes share.
        """
        result = np.zeros((self.uses.lanes.size, self.outlook.doubt.size))
        for copies, mine in self._shapes:
            counts = _block([self.spends[u].events[:, -1, :3] for u in mine])  # (uses, K, 3, f, n)
            powers = self.service.powers(mine, counts.shape[-1])
            found, power = self.found.rows[self.found.index[mine]][:, None], slopes[mine]
            for f in range(copies):
                power = power * found if f else power
                meeting = _real_products(power, powers)  # (uses, 3, n)
                result[mine] += np.einsum("uksn,usn->uk", counts[:, :, :, f], meeting)
        return result


def _as_new(spend: Spend, horizon: int) -> Floats:
    """Node-averaged counts (3, f, N) of a part renewed on day 0, in the doubt node of the part it takes over from."""
    new = spend.events[:, horizon, 3]
    return np.asarray(np.einsum("ks,kfn->sfn", spend.state, new) / len(new))


def _block(rows: Sequence[Floats]) -> Floats:
    """Stack arrays that differ in the length of their last axis, filled up with zeros."""
    size = max(row.shape[-1] for row in rows)
    result = np.zeros((len(rows), *rows[0].shape[:-1], size))
    for i, row in enumerate(rows):
        result[i, ..., : row.shape[-1]] = row
    return result


def _times(counts: Floats, powers: Complex) -> Complex:
    """(uses, .., n) times (uses, n, F) -> (uses, .., F), the complex numbers as pairs of reals."""
    flat = counts.reshape(counts.shape[0], -1, counts.shape[-1])
    product = np.matmul(flat, powers.view(np.float64))
    return np.asarray(product.view(np.complex128).reshape(*counts.shape[:-1], -1))


def _real_products(a: Complex, powers: Complex) -> Floats:
    """Re sum over F of a (uses, 3, F) times powers (uses, n, F): (uses, 3, n)."""
    conjugate = np.ascontiguousarray(a.conj()).view(np.float64)
    return np.asarray(np.matmul(conjugate, powers.view(np.float64).transpose(0, 2, 1)))
