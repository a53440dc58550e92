"""Masses of states and spends per root combination and weak point, before any finding of today.

This is where lanes, copies and mixtures come together. Arrays have the axes (root combination, weak point, ...);
doubt nodes are averaged as joint masses, never normalised one by one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import comb

import numpy as np

from riskapi.domain.future import Counts, counts, future_edges
from riskapi.domain.lanes import LaneSet
from riskapi.domain.lifetime import doubt_nodes
from riskapi.domain.renewal import past
from riskapi.domain.timeline import Floats

TRIVIAL = 1e-13


@dataclass(frozen=True)
class Spend:
    """One weak point's states with its spend, per lane.

    state: (K, 3) joint masses; events: (K, H, 4, F, N) joint mass of f copies found faulty on day 0 and n failures
    in service, per start (sound, degraded, faulty, renewed on day 0) and horizon; planned: (K, 4, P) number of planned
    renewals; worth: (K, 4, 2) expected present number of failures in service and of planned renewals.
    """

    state: Floats
    events: Floats
    planned: Floats
    worth: Floats

    @cached_property
    def mean_events(self) -> Floats:
        """`events` averaged over the nodes, (H, 4, F, N)."""
        return np.asarray(self.events.mean(axis=0))


@dataclass(frozen=True, slots=True)
class Outlook:
    """`spends[lane]`; `horizons` are the years after purchase at which events are counted (the last is the term)."""

    lanes: LaneSet
    spends: tuple[Spend, ...]
    horizons: tuple[float, ...]
    discount_rate: float


def look_ahead(lanes: LaneSet, years: float, horizons: Sequence[float], rate: float, nodes: int) -> Outlook:
    """Play all lanes for `years`, counting events up to each horizon [years after purchase, multiples of 1/2]."""
    edges = future_edges(lanes.timeline.now, years)
    z = doubt_nodes(nodes)
    index = [int(np.argmin(np.abs(edges - edges[0] - h))) for h in horizons]
    before = past(lanes.lanes, z, edges)
    played = counts(lanes.lanes, before, z, edges, index, rate)
    copies = {lane: mix.copies for row in lanes.mixes for mix in row for lane, _ in mix.lanes}
    spends = tuple(_fold(before.state[i], _one(played, i), copies.get(i, 1)) for i in range(len(lanes.lanes)))
    return Outlook(lanes, spends, tuple(horizons), rate)


def _one(played: Counts, lane: int) -> tuple[Floats, Floats, Floats]:
    pmf, planned = played.pmf[lane], played.planned[lane]
    return _trim(pmf), _trim(planned), played.worth[lane]


def _trim(counts: Floats) -> Floats:
    """Leave out trailing counts with no mass to speak of."""
    busy = np.flatnonzero(counts.reshape(-1, counts.shape[-1]).max(axis=0) > TRIVIAL)
    return counts[..., : int(busy[-1]) + 1 if busy.size else 1]


def _fold(state: Floats, played: tuple[Floats, Floats, Floats], copies: int) -> Spend:
    pmf, planned, worth = played
    if copies == 1:
        events = np.zeros((*pmf.shape[:3], 2, pmf.shape[-1]))
        events[:, :, :, 0] = pmf
        events[:, :, 2, 1], events[:, :, 2, 0] = pmf[:, :, 2], 0.0
        return Spend(state, events, planned, worth)
    masses = np.stack(list(_worst(state.T, copies)), axis=-1)
    return Spend(
        masses, _copies_events(pmf, copies), _copies_planned(planned, copies), _copies_worth(state, worth, copies)
    )


def _worst(parts: Floats, copies: int) -> tuple[Floats, Floats, Floats]:
    """Worst state of independent copies from (sound, degraded, faulty): A^n, (A + B)^n - A^n, .. without subtraction."""
    a, b, c = parts
    return a**copies, _chain(a, b, copies), _chain(a + b, c, copies)


def _chain(a: Floats, b: Floats, copies: int) -> Floats:
    """(a + b)^n - a^n as a sum of positive terms."""
    return sum((a**i * b * (a + b) ** (copies - 1 - i) for i in range(copies)), start=np.zeros_like(a))


def _copies_events(pmf: Floats, copies: int) -> Floats:
    """Generating functions in n, by FFT; the number found faulty f is kept apart."""
    size = copies * (pmf.shape[-1] - 1) + 1
    g = np.fft.rfft(pmf, size, axis=-1)
    a, b, c, renewed = np.moveaxis(g, 2, 0)
    rows = np.zeros((*g.shape[:2], 4, copies + 1, g.shape[-1]), dtype=complex)
    rows[:, :, 0, 0], rows[:, :, 1, 0] = a**copies, _chain_complex(a, b, copies)
    for f in range(1, copies + 1):
        rows[:, :, 2, f] = comb(copies, f) * c**f * (a + b) ** (copies - f)
    rows[:, :, 3, 0] = renewed**copies
    return _trim(np.maximum(np.fft.irfft(rows, size, axis=-1), 0.0))


def _chain_complex(
    a: np.typing.NDArray[np.complex128], b: np.typing.NDArray[np.complex128], copies: int
) -> np.typing.NDArray[np.complex128]:
    total = np.zeros_like(a)
    for i in range(copies):
        total += a**i * b * (a + b) ** (copies - 1 - i)
    return total


def _copies_planned(planned: Floats, copies: int) -> Floats:
    """Copies are renewed together when planned, so the count of one of them stands for all; masses by worst state."""
    total = planned[:, :3].sum(axis=(1, 2))
    share = planned[:, :3] / np.maximum(total, 1e-300)[:, None, None]
    a, b, c = share[:, 0].sum(axis=1), share[:, 1].sum(axis=1), share[:, 2].sum(axis=1)
    worst = np.stack(_worst(np.stack([a, b, c]), copies), axis=1)
    given = planned[:, :3] / np.maximum(planned[:, :3].sum(axis=2, keepdims=True), 1e-300)
    scale = (total**copies)[:, None, None]
    return np.concatenate([given * worst[..., None] * scale, planned[:, 3:]], axis=1)


def _copies_worth(state: Floats, worth: Floats, copies: int) -> Floats:
    """Expected present numbers over all copies, jointly with the worst state."""
    a, b, c = state.T[..., None]
    wa, wb, wc, renewed = np.moveaxis(worth, 1, 0)
    sound = copies * a ** (copies - 1) * wa
    up_to_degraded = copies * (a + b) ** (copies - 1) * (wa + wb)
    everything = copies * (a + b + c) ** (copies - 1) * (wa + wb + wc)
    return np.stack([sound, up_to_degraded - sound, everything - up_to_degraded, copies * renewed], axis=1)


@dataclass(frozen=True, slots=True)
class MassTable:
    """Per weak point, state and root combination: masses, and expected numbers jointly with the state.

    masses, found (copies found faulty), failures (in service, undiscounted), present (the same discounted), planned,
    planned_present, quiet (mass with no repair at all): each (W, 3, R). `likelihood` (R,): of the history.
    """

    masses: Floats
    found: Floats
    failures: Floats
    present: Floats
    planned: Floats
    planned_present: Floats
    quiet: Floats


def mass_table(outlook: Outlook, roots: Sequence[int]) -> MassTable:
    """Node-averaged masses and expected numbers for these root combinations, over the whole term."""
    rows = [_lane_row(spend) for spend in outlook.spends]
    absent = np.zeros((7, 3))
    absent[0, 0] = absent[6, 0] = 1.0
    mixes = outlook.lanes.mixes
    table = np.array(
        [
            [
                sum((weight * rows[lane] for lane, weight in mix.lanes), start=np.zeros((7, 3)))
                + max(1.0 - sum(weight for _, weight in mix.lanes), 0.0) * absent
                for mix in mixes[r]
            ]
            for r in roots
        ]
    )  # (R, W, 7, 3)
    return MassTable(*np.moveaxis(table, (0, 1, 2, 3), (3, 1, 0, 2)))


def _lane_row(spend: Spend) -> Floats:
    """(7, 3) in the order of MassTable."""
    events = spend.events[:, -1, :3].mean(axis=0)  # (3, F, N)
    f, n = np.arange(events.shape[1]), np.arange(events.shape[2])
    planned = spend.planned[:, :3].mean(axis=0)
    worth = spend.worth[:, :3].mean(axis=0)
    return np.array(
        [
            spend.state.mean(axis=0),
            np.einsum("sfn,f->s", events, f),
            np.einsum("sfn,n->s", events, n),
            worth[:, 0],
            planned @ np.arange(planned.shape[1]),
            worth[:, 1],
            events[:, 0, 0],
        ]
    )
