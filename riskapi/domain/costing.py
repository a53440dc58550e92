"""From posterior masses to the exact cost distribution, with every root combination and symptom kept in it.

The masses of each weak point's states are multiplied by characteristic functions of its spend and swept like
any other masses; the mixture over root combinations is summed before one inverse transform.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from riskapi.domain.jobs import Severity
from riskapi.domain.lattice import Complex, Lattice, compound, discretise, transform
from riskapi.domain.outlook import Outlook, Spend
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
SpendTransform = Callable[[Spend, int, Mapping[str, Complex]], Complex]


@dataclass(frozen=True, slots=True)
class Transforms:
    """Transforms of single costs on one lattice, per (weak point, candidate): service, found, planned."""

    lattice: Lattice
    table: Mapping[tuple[int, int], Mapping[str, Complex]]


def make_transforms(prices: PriceTable, lattice: Lattice, kinds: Sequence[str]) -> Transforms:
    """Discretise each distinct severity once."""
    known: dict[int, Complex] = {}

    def one(severity: Severity) -> Complex:
        if id(severity) not in known:
            known[id(severity)] = transform(discretise(severity, lattice), lattice)
        return known[id(severity)]

    table = {}
    for key, price in prices.items():
        by_kind = {"service": price.in_service, "found": price.found, "planned": price.planned}
        table[key] = {kind: one(severity) for kind in kinds if (severity := by_kind[kind]) is not None}
    return Transforms(lattice, table)


def unplanned(horizon: int) -> SpendTransform:
    """All surprise repairs up to a horizon (index), immediate ones included."""

    def spend(entry: Spend, start: int, single: Mapping[str, Complex]) -> Complex:
        events = entry.events[:, horizon, start].mean(axis=0)  # (F, N)
        rows = compound(events, single["service"])
        return _by_found(rows, single["found"])

    return spend


def immediate(entry: Spend, start: int, single: Mapping[str, Complex]) -> Complex:
    """What is faulty today."""
    found = entry.events[:, -1, start].mean(axis=0).sum(axis=1)  # (F,)
    return _by_found(np.broadcast_to(found[:, None].astype(complex), (found.size, single["found"].size)), single["found"])


def planned(entry: Spend, start: int, single: Mapping[str, Complex]) -> Complex:
    """Planned renewals over the whole term."""
    number = entry.planned[:, start].mean(axis=0)
    if "planned" not in single:
        return np.full(next(iter(single.values())).shape, number.sum(), dtype=complex)
    return compound(number, single["planned"])


def _by_found(rows: Complex, found: Complex) -> Complex:
    result = rows[-1]
    for row in rows[-2::-1]:
        result = result * found + row
    return np.asarray(result)


def distribution(
    outlook: Outlook, posterior: Posterior, transforms: Transforms, spend: SpendTransform, renewed: Sequence[int] = ()
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
    outlook: Outlook, transforms: Transforms, spend: SpendTransform, roots: Sequence[int], candidate: int,
    renewed: Sequence[int],
) -> Complex:
    """Masses times transforms (W, 3, R, F); each lane's transform is computed once."""
    count = len(outlook.lanes.weak_points)
    frequencies = transforms.lattice.size // 2 + 1
    result = np.zeros((count, 3, len(roots), frequencies), dtype=complex)
    known: dict[tuple[int, int], Complex] = {}
    for w in range(count):
        single = transforms.table.get((w, candidate))
        for k, r in enumerate(roots):
            mix = outlook.lanes.mixes[r][w]
            result[w, 0, k] += max(1.0 - sum(weight for _, weight in mix.lanes), 0.0)
            for lane, weight in mix.lanes:
                assert single is not None
                if (lane, w) not in known:
                    known[lane, w] = _lane_transform(outlook.spends[lane], spend, single, w in renewed)
                result[w, :, k] += weight * known[lane, w]
    return result


def _lane_transform(entry: Spend, spend: SpendTransform, single: Mapping[str, Complex], renewed: bool) -> Complex:
    """(3, F): per state of today."""
    if renewed:
        after = spend(entry, 3, single)
        return np.asarray(entry.state.mean(axis=0)[:, None] * after)
    return np.stack([spend(entry, start, single) for start in range(3)])


def node_transform(entry: Spend, horizon: int, single: Mapping[str, Complex]) -> Complex:
    """Masses times transforms of surprise repairs per doubt node and state, (K, 3, F)."""
    rows = compound(entry.events[:, horizon, :3], single["service"])  # (K, 3, F found, frequencies)
    result = rows[:, :, -1]
    for f in range(rows.shape[2] - 2, -1, -1):
        result = result * single["found"] + rows[:, :, f]
    return np.asarray(result)
