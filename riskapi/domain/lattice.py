"""Costs on a lattice and their characteristic functions (model: cost distribution, exactly).

Step h, N points; the budget lies half-way between two points, so P(cost > budget) is a sum of whole cells.
Exponential tilting exp(-TILT k / N) keeps what lies beyond N h from folding back (Gruebel & Hermesmeier
1999); nothing is lumped at the end, the mass beyond is 1 - sum.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from riskapi.domain.jobs import Job, Outcome, Severity, cap, pert_survivals
from riskapi.domain.timeline import Floats

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
class _Row:
    """One outcome of the severity at this index, and the lattice points first .. last that its cost can round to."""

    severity: int
    outcome: Outcome
    first: int
    last: int


def discretise(severities: Sequence[Severity], lattice: Lattice) -> Floats:
    """Probabilities of one failure's cost, (severities, N), by rounding to the nearest point.

    All beta-PERTs are evaluated in one call; what another engine and the write-off do is the same for many outcomes.
    """
    result = np.zeros((len(severities), lattice.size))
    rows = [row for row in _rows(severities, lattice) if row.first <= row.last]
    ways_out: dict[tuple[tuple[Job, ...], float | None], Floats] = {}
    for row, survival in zip(rows, _survivals(rows, lattice), strict=True):
        severity = severities[row.severity]
        key = (severity.engines, severity.write_off)
        if key not in ways_out:
            ways_out[key] = _ways_out(severity, lattice)
        more = survival * ways_out[key][row.first : row.last + 2]
        more[0] = 1.0
        result[row.severity, row.first : row.last + 1] += row.outcome.chance * (more[:-1] - more[1:])
    return result


def _rows(severities: Sequence[Severity], lattice: Lattice) -> list[_Row]:
    return [_Row(i, o, *_cells(o.job, s, lattice)) for i, s in enumerate(severities) for o in s.outcomes]


def _survivals(rows: Sequence[_Row], lattice: Lattice) -> list[Floats]:
    """P(cost of the job > lower edge) for the cells first .. last of each row and one beyond."""
    if not rows:
        return []
    edges = [np.arange(row.first, row.last + 2) - 0.5 for row in rows]
    counts = np.array([edge.size for edge in edges])
    survival = pert_survivals([row.outcome.job for row in rows], counts, np.concatenate(edges) * lattice.step)
    return np.split(survival, np.cumsum(counts)[:-1])


def _ways_out(severity: Severity, lattice: Lattice) -> Floats:
    """P(another engine and the write-off both cost more) at the lower edge of every cell and one beyond, (N + 1,)."""
    edges = np.asarray((np.arange(lattice.size + 1) - 0.5) * lattice.step, dtype=np.float64)
    return cap(np.ones(lattice.size + 1), edges, severity.engines, severity.write_off)


def _cells(job: Job, severity: Severity, lattice: Lattice) -> tuple[int, int]:
    """First and last lattice point that the capped cost can round to."""
    ways = [(job.low, job.high), *((engine.low, engine.high) for engine in severity.engines)]
    if severity.write_off is not None:
        ways.append((severity.write_off, severity.write_off))
    cheapest = (min(low for low, _ in ways), min(high for _, high in ways))
    first, last = (int(np.floor(cost / lattice.step + 0.5)) for cost in cheapest)
    return max(first, 0), min(last, lattice.size - 1)


def transform(pmfs: Sequence[Floats] | Floats, lattice: Lattice) -> Complex:
    """Transforms of tilted probabilities, (..., N) -> (..., N / 2 + 1)."""
    return np.asarray(np.fft.rfft(np.asarray(pmfs) * lattice.tilt, axis=-1))


def compound(counts: Floats, per_event: Complex) -> Complex:
    """sum_n counts[.., n] * per_event ** n by Horner, (.., N) and (.., F) -> (.., F)."""
    last = int(np.flatnonzero(counts.reshape(-1, counts.shape[-1]).any(axis=0))[-1]) if counts.any() else 0
    result = np.broadcast_to(counts[..., last, None].astype(complex), (*counts.shape[:-1], per_event.shape[-1])).copy()
    for n in range(last - 1, -1, -1):
        result *= per_event
        result += counts[..., n, None]
    return result


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
