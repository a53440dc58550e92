"""From posterior masses to the exact cost distribution, with every root combination and symptom kept in it.

The masses of each weak point's states are multiplied by characteristic functions of its spend and swept like
any other masses; the mixture over root combinations is summed before one inverse transform.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from riskapi.domain.jobs import Severity
from riskapi.domain.lattice import Complex, Lattice, compound, discretise, transform
from riskapi.domain.outlook import Outlook
from riskapi.domain.posterior import Posterior
from riskapi.domain.sweep import Sweep
from riskapi.domain.timeline import Floats

ROOT_FLOOR = 1e-9  # root combinations below this chance are left out of cost distributions (their share is dropped)


@dataclass(frozen=True, slots=True)
class Prices:
    """Severities of a weak point (by index) under a candidate engine: in service, found faulty, planned renewal."""

    in_service: Severity
    found: Severity
    planned: Severity | None


PriceTable = Mapping[tuple[int, int], Prices]  # (weak point, candidate)


@dataclass(frozen=True, slots=True)
class Transforms:
    """Transforms of single costs on one lattice: per kind (service, found, planned) one row per distinct severity.

    `row[kind][weak point, candidate]` is the row to use; -1 where there is no such cost.
    """

    lattice: Lattice
    single: Mapping[str, Complex]
    row: Mapping[str, npt.NDArray[np.intp]]


def make_transforms(prices: PriceTable, lattice: Lattice, kinds: Sequence[str]) -> Transforms:
    """Discretise each distinct severity once."""
    shape = (1 + max(w for w, _ in prices), 1 + max(c for _, c in prices))
    single: dict[str, Complex] = {}
    rows: dict[str, npt.NDArray[np.intp]] = {}
    for kind in kinds:
        distinct: dict[Severity, int] = {}
        rows[kind] = np.full(shape, -1)
        for key, price in prices.items():
            severity = {"service": price.in_service, "found": price.found, "planned": price.planned}[kind]
            if severity is not None:
                rows[kind][key] = distinct.setdefault(severity, len(distinct))
        single[kind] = transform(discretise(list(distinct), lattice), lattice)
    return Transforms(lattice, single, rows)


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
class Uses:
    """Distinct (lane, weak point, candidate) triples in use, and per root combination and weak point their mixture."""

    lanes: npt.NDArray[np.intp]
    weak_points: npt.NDArray[np.intp]
    mixes: tuple[tuple[int, int, int, float], ...]  # (weak point, position of root, use, weight)


def uses_of(outlook: Outlook, roots: Sequence[int]) -> Uses:
    """The lanes in use under these root combinations."""
    known: dict[tuple[int, int], int] = {}
    mixes = [
        (w, k, known.setdefault((lane, w), len(known)), weight)
        for k, r in enumerate(roots)
        for w, mix in enumerate(outlook.lanes.mixes[r])
        for lane, weight in mix.lanes
    ]
    pairs = np.array(list(known), dtype=int).reshape(-1, 2)
    return Uses(pairs[:, 0], pairs[:, 1], tuple(mixes))


def distribution(
    outlook: Outlook, posterior: Posterior, transforms: Transforms, spend: SpendKind, renewed: Sequence[int] = ()
) -> Floats:
    """Probabilities (N,) of a spend on the lattice; weak points `renewed` are put right on day 0 at no cost here."""
    lattice = transforms.lattice
    total = np.zeros(lattice.size // 2 + 1, dtype=complex)
    chances = posterior.root_chance
    for candidate, group in enumerate(posterior.groups):
        roots = [r for r in group.roots if chances[r] > ROOT_FLOOR]
        if roots:
            masses = root_transforms(outlook, transforms, spend, roots, candidate, renewed)
            masses *= group.observed.factors[:, :, :, None]
            w, frequencies = masses.shape[0], total.size
            sweep = Sweep(group.observed.plan, group.observed.weights)
            z = sweep.evidence(masses.reshape(w, 3, -1)).reshape(len(roots), frequencies)
            total += group.observed.constant[0] * (posterior.root_factor[roots] @ z)
    return lattice.pmf(total)


def root_transforms(
    outlook: Outlook,
    transforms: Transforms,
    spend: SpendKind,
    roots: Sequence[int],
    candidate: int,
    renewed: Sequence[int] = (),
) -> Complex:
    """Masses times transforms (W, 3, R, F); each lane's transform is computed once."""
    count = len(outlook.lanes.weak_points)
    result = np.zeros((count, 3, len(roots), transforms.lattice.size // 2 + 1), dtype=complex)
    uses = uses_of(outlook, roots)
    rows = use_transforms(outlook, transforms, spend, uses, candidate, renewed)
    absent = np.ones((count, len(roots)))
    w, k, use = (np.array([mix[i] for mix in uses.mixes], dtype=int) for i in range(3))
    weight = np.array([mix[3] for mix in uses.mixes])
    np.subtract.at(absent, (w, k), weight)
    if len(set(zip(w.tolist(), k.tolist(), strict=True))) == w.size:
        result[w, :, k] = weight[:, None, None] * rows[use]
    else:
        np.add.at(result, (w, slice(None), k), weight[:, None, None] * rows[use])
    result[:, 0] += np.maximum(absent, 0.0)[..., None]
    return result


def use_transforms(
    outlook: Outlook, transforms: Transforms, spend: SpendKind, uses: Uses, candidate: int, renewed: Sequence[int]
) -> Complex:
    """(uses, 3, F): node-averaged masses of the states times the transform of their spend."""
    if spend.name == "planned":
        number = _stack([outlook.spends[lane].planned[:, :3].mean(axis=0) for lane in uses.lanes])
        return compound(number, _rows(transforms, "planned", uses, candidate)[:, None])
    events = [outlook.spends[lane].mean_events[spend.horizon, :3] for lane in uses.lanes]
    if spend.name == "immediate":
        events = [e.sum(axis=2, keepdims=True) for e in events]
    for u, w in enumerate(uses.weak_points):
        if w in renewed:
            lane = outlook.spends[uses.lanes[u]]
            events[u] = lane.state.mean(axis=0)[:, None, None] * lane.mean_events[spend.horizon, 3]
    return _two_fold(events, transforms, uses, candidate)


def _two_fold(events: Sequence[Floats], transforms: Transforms, uses: Uses, candidate: int) -> Complex:
    """sum_f sum_n events[.., f, n] found**f service**n, (uses, .., F): Horner in n for all, then in f."""
    service = _rows(transforms, "service", uses, candidate)
    found = _rows(transforms, "found", uses, candidate)
    lead = (slice(None),) + (None,) * (events[0].ndim - 2)
    deepest = max(e.shape[-2] for e in events)
    result: Complex | None = None
    for f in range(deepest - 1, -1, -1):
        mine = [u for u, e in enumerate(events) if e.shape[-2] > f]
        rows = compound(_stack([events[u][..., f, :] for u in mine]), service[mine][lead])
        if result is None:
            result = np.zeros((len(events), *rows.shape[1:]), dtype=complex)
        else:
            result *= found[lead]
        result[mine] += rows
    assert result is not None
    return result


def _rows(transforms: Transforms, kind: str, uses: Uses, candidate: int) -> Complex:
    """Transforms of single costs per use, (uses, F); 1 where there is no such cost."""
    index = transforms.row[kind][uses.weak_points, candidate]
    if transforms.single[kind].shape[0] == 0:
        return np.ones((index.size, transforms.lattice.size // 2 + 1), dtype=complex)
    return np.where((index >= 0)[:, None], transforms.single[kind][index], 1.0)


def _stack(rows: Sequence[Floats]) -> Floats:
    """Stack arrays of unequal last axis, filled up with zeros."""
    longest = max(row.shape[-1] for row in rows)
    result = np.zeros((len(rows), *rows[0].shape[:-1], longest))
    for i, row in enumerate(rows):
        result[i, ..., : row.shape[-1]] = row
    return result


def node_transforms(outlook: Outlook, transforms: Transforms, uses: Uses, candidate: int) -> Complex:
    """(uses, K, 3, F): masses per doubt node times the transform of all surprise repairs of the term."""
    events = [outlook.spends[lane].events[:, -1, :3] for lane in uses.lanes]
    return _two_fold(events, transforms, uses, candidate)
