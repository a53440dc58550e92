"""From posterior masses to the exact cost distribution, with every root combination and symptom kept in it.

The masses of each weak point's states are multiplied by characteristic functions of its spend and swept like
any other masses; the mixture over root combinations is summed before one inverse transform.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from riskapi.domain.jobs import Severity
from riskapi.domain.lattice import Complex, Lattice, compound, discretise, transform
from riskapi.domain.outlook import Outlook
from riskapi.domain.posterior import Group, Posterior
from riskapi.domain.sweep_levels import Array
from riskapi.domain.timeline import Floats

Indices = npt.NDArray[np.intp]

ROOT_FLOOR = 1e-9  # root combinations below this chance are left out of cost distributions (their share is dropped)


@dataclass(frozen=True, slots=True)
class Prices:
    """Severities of a weak point (by index) under a candidate engine: in service, found faulty, planned renewal."""

    in_service: Severity
    found: Severity
    planned: Severity | None


PriceTable = Mapping[tuple[int, int], Prices]  # (weak point, candidate)


@dataclass(frozen=True)
class Basis:
    """What every cost figure is computed from."""

    outlook: Outlook
    posterior: Posterior
    prices: PriceTable

    @property
    def term(self) -> int:
        """Index of the last horizon: the whole ownership period."""
        return len(self.outlook.horizons) - 1

    @cached_property
    def counting(self) -> tuple[tuple[int, Group, list[int], Uses], ...]:
        """`roots_that_count` with the lanes in use under them."""
        counting = roots_that_count(self.posterior)
        return tuple((c, group, roots, uses_of(self.outlook, roots)) for c, group, roots in counting)


@dataclass(frozen=True, slots=True)
class Transforms:
    """Transforms of single costs on one lattice: per kind (service, found, planned) one row per distinct severity.

    `row[kind][weak point, candidate]` is the row to use; -1 where there is no such cost.
    """

    lattice: Lattice
    single: Mapping[str, Complex]
    row: Mapping[str, Indices]


REPAIRS, RENEWALS = ("service", "found"), ("planned",)


def make_transforms(prices: PriceTable, lattice: Lattice, kinds: Sequence[str]) -> Transforms:
    """Discretise each distinct severity once; `kinds` are REPAIRS or RENEWALS."""
    shape = (1 + max((w for w, _ in prices), default=0), 1 + max((c for _, c in prices), default=0))
    rows: dict[str, Indices] = {}
    distinct: dict[Severity, int] = {}
    for kind in kinds:
        rows[kind] = np.full(shape, -1)
        for key, price in prices.items():
            severity = {"service": price.in_service, "found": price.found, "planned": price.planned}[kind]
            if severity is not None:
                rows[kind][key] = distinct.setdefault(severity, len(distinct))
    single = transform(discretise(list(distinct), lattice), lattice)
    return Transforms(lattice, dict.fromkeys(kinds, single), rows)


@dataclass(frozen=True, slots=True)
class SpendKind:
    """Which spend is wanted: 'unplanned' up to a horizon (index), 'immediate' or 'planned'."""

    name: str
    horizon: int = -1


IMMEDIATE, PLANNED = SpendKind("immediate"), SpendKind("planned")


def unplanned(horizon: int) -> SpendKind:
    """All surprise repairs up to a horizon, immediate ones included."""
    return SpendKind("unplanned", horizon)


@dataclass(frozen=True, slots=True)
class Mixing:
    """Uses with weights, each for another pair of weak point and position of the root combination; (n,) each."""

    weak_point: Indices
    root: Indices
    use: Indices
    weight: Floats


@dataclass(frozen=True, slots=True)
class Uses:
    """Distinct (lane, weak point) pairs in use under some root combinations, and how they mix into weak points.

    mixings: the first, second, .. lane of every mixture; absent (W, roots): chance that the engine has no such part.
    """

    lanes: Indices
    weak_points: Indices
    mixings: tuple[Mixing, ...]
    absent: Floats


def uses_of(outlook: Outlook, roots: Sequence[int]) -> Uses:
    """The lanes in use under these root combinations."""
    known: dict[tuple[int, int], int] = {}
    rows: dict[int, list[tuple[int, int, int, float]]] = {}
    absent = np.ones((len(outlook.lanes.weak_points), len(roots)))
    for k, r in enumerate(roots):
        for w, mix in enumerate(outlook.lanes.mixes[r]):
            for position, (lane, weight) in enumerate(mix.lanes):
                use = known.setdefault((lane, w), len(known))
                rows.setdefault(position, []).append((w, k, use, weight))
                absent[w, k] -= weight
    pairs = np.array(list(known), dtype=np.intp).reshape(-1, 2)
    return Uses(pairs[:, 0], pairs[:, 1], tuple(map(_mixing, rows.values())), np.maximum(absent, 0.0))


def _mixing(rows: Sequence[tuple[int, int, int, float]]) -> Mixing:
    w, k, use, weight = zip(*rows, strict=True)
    return Mixing(np.array(w), np.array(k), np.array(use), np.array(weight))


def roots_that_count(posterior: Posterior) -> Iterator[tuple[int, Group, list[int]]]:
    """Per candidate engine its group and its root combinations, without those too improbable to matter."""
    for candidate, group in enumerate(posterior.groups):
        roots = [r for r in group.roots if posterior.root_chance[r] > ROOT_FLOOR]
        if roots:
            yield candidate, group, roots


def distribution(basis: Basis, transforms: Transforms, spend: SpendKind, renewed: Sequence[int] = ()) -> Floats:
    """Probabilities (N,) of a spend on the lattice; weak points `renewed` are put right on day 0 at no cost here."""
    lattice = transforms.lattice
    total = np.zeros(lattice.frequencies, dtype=complex)
    for candidate, group, roots, uses in basis.counting:
        spender = Spender(basis.outlook, transforms, roots, candidate, uses)
        masses = spender.by_root(spender.of(spend, renewed)) * group.observed.factors[:, :, :, None]
        z = group.observed.sweep.evidence(masses.reshape(*masses.shape[:2], -1))
        z = np.broadcast_to(z, len(roots) * total.size).reshape(len(roots), total.size)
        total += group.observed.constant[0] * (basis.posterior.root_factor[roots] @ z)
    return lattice.pmf(total)


class Spender:
    """Masses times characteristic functions of spends, of all lanes in use under some roots of one candidate engine."""

    def __init__(
        self,
        outlook: Outlook,
        transforms: Transforms,
        roots: Sequence[int],
        candidate: int,
        uses: Uses | None = None,
    ) -> None:
        self.uses, self.roots = uses or uses_of(outlook, roots), roots
        self._spends = [outlook.spends[lane] for lane in self.uses.lanes]
        self._weak_points = len(outlook.lanes.weak_points)
        self._transforms, self._candidate = transforms, candidate

    def of(self, spend: SpendKind, renewed: Sequence[int] = ()) -> Complex:
        """(uses, 3, F): node-averaged masses of the states times the transform of their spend."""
        if spend.name == "planned":
            number = _stack([s.planned[:, :3].mean(axis=0) for s in self._spends])
            return compound(number, self._single("planned")[:, None])
        events = [s.mean_events[None, spend.horizon, :3] for s in self._spends]
        if spend.name == "immediate":
            events = [e.sum(axis=3, keepdims=True) for e in events]
        for u, w in enumerate(self.uses.weak_points if renewed else ()):
            if w in renewed:
                new = self._spends[u].mean_events[spend.horizon, 3]
                events[u] = self._spends[u].state.mean(axis=0)[None, :, None, None] * new
        return self._repairs(events)[:, 0]

    def of_nodes(self) -> Complex:
        """(uses, K, 3, F): masses per doubt node times the transform of all surprise repairs of the term."""
        return self._repairs([s.events[:, -1, :3] for s in self._spends])

    def by_root(self, rows: Complex) -> Complex:
        """Lanes mixed into weak points: (uses, 3, F) -> (W, 3, R, F); an absent weak point is sound and quiet."""
        uses = self.uses
        result = np.zeros((self._weak_points, 3, len(self.roots), rows.shape[-1]), dtype=complex)
        for mix in uses.mixings:
            result[mix.weak_point, :, mix.root] += mix.weight[:, None, None] * rows[mix.use]
        if uses.absent.any():
            result[:, 0] += uses.absent[..., None]
        return result

    def to_uses(self, slopes: Array) -> Array:
        """The transpose of `by_root` for what the lanes contribute: (W, 3, R, F) -> (uses, 3, F)."""
        result = np.zeros((self.uses.lanes.size, 3, slopes.shape[-1]), dtype=slopes.dtype)
        for mix in self.uses.mixings:
            np.add.at(result, mix.use, mix.weight[:, None, None] * slopes[mix.weak_point, :, mix.root])
        return result

    def _repairs(self, events: Sequence[Floats]) -> Complex:
        """sum_f sum_n events[u, k, state, f, n] found**f service**n, (uses, K, 3, F); only where there is mass."""
        service, found = self._single("service"), self._single("found")
        counts = _stack(events)
        use, state, copies = np.nonzero(counts.any(axis=(1, 4)))
        several = compound(counts[use, :, state, copies], service[use, None])
        result = np.zeros((*counts.shape[:3], service.shape[1]), dtype=complex)
        power: Complex = np.ones_like(found)
        for f in range(counts.shape[3]):
            mine = np.flatnonzero(copies == f)
            if f:
                power = power * found
                several[mine] *= power[use[mine], None]
            result[use[mine], :, state[mine]] += several[mine]
        return result

    def _single(self, kind: str) -> Complex:
        """Transforms of single costs per use, (uses, F); 1 where there is no such cost."""
        index = self._transforms.row[kind][self.uses.weak_points, self._candidate]
        single = self._transforms.single[kind]
        if not len(single):
            return np.ones((index.size, single.shape[1]), dtype=complex)
        rows: Complex = single[index]
        rows[index < 0] = 1.0
        return rows


def _stack(rows: Sequence[Floats]) -> Floats:
    """Stack arrays whose last two axes differ in length, filled up with zeros."""
    result = np.zeros((len(rows), *(max(sizes) for sizes in zip(*(row.shape for row in rows), strict=True))))
    for i, row in enumerate(rows):
        result[i, ..., : row.shape[-2], : row.shape[-1]] = row
    return result
