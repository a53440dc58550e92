"""Costs on a lattice and their characteristic functions (model: cost distribution, exactly).

Step h, N points; the budget lies half-way between two points, so P(cost > budget) is a sum of whole cells.
Exponential tilting exp(-TILT k / N) keeps what lies beyond N h from folding back (Gruebel & Hermesmeier
1999); nothing is lumped at the end, the mass beyond is 1 - sum.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from riskapi.domain.jobs import Job, Severity, cap, pert_bounds, pert_survivals
from riskapi.domain.timeline import Floats

Indices = npt.NDArray[np.intp]
Bools = npt.NDArray[np.bool_]
Complex = npt.NDArray[np.complex128]
TILT = 14.0
SHORTEST = 0.9  # share of the wanted span that a lattice keeps at least
FINEST = 0.005  # the step is at most this share of the larger of budget and P90


@dataclass(frozen=True, slots=True)
class Lattice:
    """Points k * step, k = 0 .. size - 1."""

    step: float
    size: int

    @property
    def frequencies(self) -> int:
        """Length of a transform of a real function on the lattice, N / 2 + 1."""
        return self.size // 2 + 1

    @property
    def span(self) -> float:
        """Length N h [money]."""
        return self.step * self.size

    @property
    def tilt(self) -> Floats:
        """exp(-TILT k / N), shape (N,)."""
        return np.asarray(np.exp(-TILT * np.arange(self.size) / self.size))

    def pmf(self, transform: Complex) -> Floats:
        """Probabilities (..., N) from transforms (..., N / 2 + 1) of tilted ones; rounding noise below 0 is cut."""
        values = np.fft.irfft(transform, self.size, axis=-1) / self.tilt
        return np.maximum(values, 0.0)


def make_lattice(budget: float, largest: float, size: int, finest: float = FINEST) -> Lattice:
    """A lattice whose midpoints hit the budget and whose step is at most `finest` of max(budget, largest).

    A budget below half of that step lies inside the cell of 0, which then stands for 'nothing'. A budget of a few steps
    makes the step a good deal smaller than wanted; then the points are doubled, so that they reach as far.
    """
    wanted = finest * max(budget, largest)
    below = int(np.ceil(budget / wanted - 0.5))
    if below <= 0:
        return Lattice(wanted, size)
    step = budget / (below + 0.5)
    doublings = int(np.ceil(np.log2(max(SHORTEST * wanted / step, 1.0))))
    return Lattice(step, size * 2**doublings)


@dataclass(frozen=True, slots=True)
class _Payments:
    """Distinct ways to pay (P) of some severities: low, likely and high of the `jobs` (3, P), the bounds of what is
    paid once the ways out cap it [money], and which of the distinct ways out those are. Every outcome has a chance and
    a way in which it is `paid`; `first` is the first outcome of each severity."""

    jobs: Floats
    least: Floats
    most: Floats
    way_out: Indices
    ways_out: tuple[tuple[tuple[Job, ...], float | None], ...]
    chances: Floats
    paid: Indices
    first: Indices


def discretise(severities: Sequence[Severity], lattice: Lattice) -> Floats:
    """Probabilities of one failure's cost, (severities, N), by rounding to the nearest point."""
    if not severities:
        return np.zeros((0, lattice.size))
    payments = _payments(tuple(severities))
    shares = payments.chances[:, None] * _cells(payments, lattice)[payments.paid]
    return np.add.reduceat(shares, payments.first, axis=0)


@lru_cache(maxsize=64)
def _payments(severities: tuple[Severity, ...]) -> _Payments:
    """Jobs at the same prices with the same ways out are one way to pay."""
    known: dict[tuple[float, float, float, int], tuple[int, Job]] = {}
    ways_out: dict[tuple[tuple[Job, ...], float | None], int] = {}
    paid, chances = [], []
    for severity in severities:
        way = ways_out.setdefault((severity.engines, severity.write_off), len(ways_out))
        for outcome in severity.outcomes:
            job = outcome.job
            paid.append(known.setdefault((job.low, job.likely, job.high, way), (len(known), job))[0])
            chances.append(outcome.chance)
    low, _, high, used = (np.array(column) for column in zip(*known, strict=True))
    least, most = np.array([_cheapest(engines, write_off) for engines, write_off in ways_out])[used].T
    outcomes = np.cumsum([0, *(len(severity.outcomes) for severity in severities[:-1])])
    jobs = pert_bounds([job for _, job in known.values()])
    bounds = np.minimum(low, least), np.minimum(high, most)
    return _Payments(jobs, *bounds, used, tuple(ways_out), np.array(chances), np.array(paid), outcomes)


def _cheapest(engines: Sequence[Job], write_off: float | None) -> tuple[float, float]:
    """Least that another engine or the write-off can cost, and most that the cheapest of them can."""
    ways = [(engine.low, engine.high) for engine in engines]
    if write_off is not None:
        ways.append((write_off, write_off))
    return min((low for low, _ in ways), default=np.inf), min((high for _, high in ways), default=np.inf)


def _cells(payments: _Payments, lattice: Lattice) -> Floats:
    """Probabilities of what is paid, (P, N); all beta-PERTs in one call."""
    first = np.maximum(np.floor(payments.least / lattice.step + 0.5).astype(np.intp), 0)
    last = np.minimum(np.floor(payments.most / lattice.step + 0.5).astype(np.intp), lattice.size - 1)
    counts = np.maximum(last - first + 2, 1)  # lower edges of the cells first .. last and one beyond
    row = np.repeat(np.arange(counts.size), counts)
    start = np.cumsum(counts) - counts
    point = np.arange(row.size) - (start - first)[row]
    more = pert_survivals(payments.jobs, counts, (point - 0.5) * lattice.step)
    more *= _ways_out(payments, lattice)[payments.way_out[row], np.minimum(point, lattice.size)]
    more[start] = 1.0
    inside = row[:-1] == row[1:]
    result = np.zeros((counts.size, lattice.size))
    result[row[:-1][inside], point[:-1][inside]] = (more[:-1] - more[1:])[inside]
    return result


def _ways_out(payments: _Payments, lattice: Lattice) -> Floats:
    """P(another engine and the write-off both cost more) at the lower edge of all cells, one beyond, (.., N + 1)."""
    edges = np.asarray((np.arange(lattice.size + 1) - 0.5) * lattice.step, dtype=np.float64)
    return np.array([cap(np.ones(edges.size), edges, *ways) for ways in payments.ways_out])


def transform(pmfs: Sequence[Floats] | Floats, lattice: Lattice) -> Complex:
    """Transforms of tilted probabilities, (..., N) -> (..., N / 2 + 1)."""
    return np.asarray(np.fft.rfft(np.asarray(pmfs) * lattice.tilt, axis=-1))


def compound(counts: Floats, per_event: Complex) -> Complex:
    """sum_n counts[.., n] * per_event ** n by Horner, (.., N) and (.., F) -> (.., F).

    Along the first axis each row starts at its own last count: the rows are sorted by it.
    """
    if counts.ndim == 1:
        return np.asarray(compound(counts[None], per_event[None])[0])
    per_event = per_event.reshape((1,) * (counts.ndim - per_event.ndim) + per_event.shape)
    per_event = np.broadcast_to(per_event, (len(counts), *per_event.shape[1:]))
    busy: Bools = np.asarray(counts.any(axis=tuple(range(1, counts.ndim - 1))))
    lengths = np.where(busy.any(axis=1), busy.shape[1] - np.argmax(busy[:, ::-1], axis=1), 1)
    order = np.argsort(-lengths, kind="stable")
    sorted_counts, per_event, lengths = counts[order], per_event[order], lengths[order]
    result = np.zeros((*counts.shape[:-1], per_event.shape[-1]), dtype=complex)
    for n in range(int(lengths[0]) - 1 if lengths.size else -1, -1, -1):
        rows = result[: np.searchsorted(-lengths, -n)]
        rows *= per_event[: len(rows)]
        rows += sorted_counts[: len(rows), ..., n, None]
    unsorted = np.empty_like(result)
    unsorted[order] = result
    return unsorted


def quantile(pmf: Floats, lattice: Lattice, level: float) -> float:
    """Smallest cost not exceeded with chance `level`: linear inside the cell, 0 inside the atom at 0."""
    total = np.cumsum(pmf)
    k = int(np.searchsorted(total, level))
    if k == 0:
        return 0.0
    if k >= pmf.size:
        return float(pmf.size * lattice.step)
    inside = (level - total[k - 1]) / pmf[k]
    return float((k - 0.5 + inside) * lattice.step)


def beyond(pmf: Floats, lattice: Lattice, amount: float) -> Floats:
    """P(cost > amount), linear inside the cell that holds the amount; shape (...). Rounding noise below 0 is cut."""
    total = np.cumsum(pmf, axis=-1)
    at = amount / lattice.step - 0.5
    k = int(np.floor(at))
    if k < 0:
        return np.maximum(1.0 - total[..., 0], 0.0)
    if k >= pmf.shape[-1] - 1:
        return np.maximum(1.0 - total[..., -1], 0.0)
    return np.maximum(1.0 - (total[..., k] + (at - k) * pmf[..., k + 1]), 0.0)
