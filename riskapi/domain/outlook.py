"""Masses of states and spends per root combination and weak point, before any finding of today.

This is where lanes, copies and mixtures come together. Arrays have the axes (root combination, weak point, ...);
doubt nodes are averaged as joint masses, never normalised one by one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from functools import cached_property

import numpy as np

from riskapi.domain.copies import all_copies_events, all_copies_worth, one_copy_events, together_planned, worst_state
from riskapi.domain.future import counts, future_edges
from riskapi.domain.lanes import LaneSet
from riskapi.domain.lifetime import doubt_nodes
from riskapi.domain.renewal import Past, past
from riskapi.domain.timeline import Floats

TRIVIAL = 1e-13
COUNTS = np.arange(512)


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
    def mean_state(self) -> Floats:
        """`state` averaged over the nodes, (3,)."""
        return np.asarray(self.state.mean(axis=0))

    @cached_property
    def mean_events(self) -> Floats:
        """`events` averaged over the nodes, (H, 4, F, N)."""
        return np.asarray(self.events.mean(axis=0))


@dataclass(frozen=True)
class Outlook:
    """`spends[lane]`; `horizons` are the years after purchase at which events are counted (the last is the term).

    `doubt` (K,): the nodes of ln eta in units of its sigma; `discount_rate`: real, per year.
    """

    lanes: LaneSet
    spends: tuple[Spend, ...]
    horizons: tuple[float, ...]
    doubt: Floats
    discount_rate: float

    @cached_property
    def table(self) -> MassTable:
        """Masses and expected numbers of every weak point under every root combination."""
        return mass_table(self)

    @cached_property
    def mixing(self) -> Floats:
        """Weight of every lane in every weak point under every root combination, (R, W, L)."""
        weights = np.zeros((len(self.lanes.roots), len(self.lanes.weak_points), len(self.spends)))
        for r, mixes in enumerate(self.lanes.mixes):
            for w, mix in enumerate(mixes):
                for lane, weight in mix.lanes:
                    weights[r, w, lane] += weight
        return weights

    @cached_property
    def absent(self) -> Floats:
        """Chance that the engine has no such part, (R, W)."""
        return np.asarray(np.maximum(1.0 - self.mixing.sum(axis=2), 0.0))

    @property
    def years(self) -> float:
        """The term [years]."""
        return self.horizons[-1]


def look_ahead(lanes: LaneSet, horizons: Sequence[float], rate: float, nodes: int) -> Outlook:
    """Play all lanes up to the last horizon, counting events up to each [years after purchase, ascending].

    Horizons before the last are multiples of 1/2; `rate` is the real discount rate per year.
    """
    edges, doubt = future_edges(lanes.timeline.now, horizons[-1]), doubt_nodes(nodes)
    return play(lanes, past(lanes.lanes, doubt, edges), horizons, rate, doubt)


def play(lanes: LaneSet, before: Past, horizons: Sequence[float], rate: float, doubt: Floats) -> Outlook:
    """The same from what the past has left, known at the future edges of the last horizon."""
    edges = future_edges(lanes.timeline.now, horizons[-1])
    index = [int(np.argmin(np.abs(edges - edges[0] - h))) for h in horizons]
    played = counts(lanes.lanes, before, doubt, edges, index, rate)
    copies = {lane: mix.copies for row in lanes.mixes for mix in row for lane, _ in mix.lanes}
    pmf, planned = _trimmed(played.pmf), _trimmed(played.planned)
    per_lane = enumerate(zip(before.state, pmf, planned, played.worth, strict=True))
    spends = tuple(_spend(state, n, due, worth, copies.get(i, 1)) for i, (state, n, due, worth) in per_lane)
    return Outlook(lanes, spends, tuple(horizons), doubt, rate)


def _trimmed(counts: Floats) -> list[Floats]:
    """Per lane its counts (L, .., N), without trailing ones that have no mass to speak of."""
    busy = counts.max(axis=tuple(range(1, counts.ndim - 1))) > TRIVIAL
    lengths = np.where(busy.any(axis=1), counts.shape[-1] - np.argmax(busy[:, ::-1], axis=1), 1)
    return [row[..., :length] for row, length in zip(counts, lengths.tolist(), strict=True)]


def _spend(state: Floats, pmf: Floats, planned: Floats, worth: Floats, copies: int) -> Spend:
    if copies == 1:
        return Spend(state, one_copy_events(pmf), planned, worth)
    return Spend(
        worst_state(state, copies),
        _trimmed(all_copies_events(pmf, copies)[None])[0],
        together_planned(state, planned, copies),
        all_copies_worth(state, worth, copies),
    )


@dataclass(frozen=True, slots=True)
class MassTable:
    """Per weak point, state and root combination: masses, and expected numbers jointly with the state, (W, 3, R) each.

    found: copies found faulty on day 0; failures: in service, over the whole term; present: the same, each weighted
    with its discount factor; planned, planned_present: likewise for planned renewals; quiet: mass without any repair.
    """

    masses: Floats
    found: Floats
    failures: Floats
    present: Floats
    planned: Floats
    planned_present: Floats
    quiet: Floats


def mass_table(outlook: Outlook) -> MassTable:
    """Node-averaged masses and expected numbers over the whole term."""
    rows = _lane_rows(outlook.spends, -1)
    absent = np.zeros(rows.shape[1:])  # a weak point that the engine does not have is sound and stays quiet
    absent[[0, -1], 0] = 1.0
    table = _mixed(outlook, rows) + np.multiply.outer(outlook.absent, absent)
    return MassTable(*table.transpose(2, 1, 3, 0))


def failures_by(outlook: Outlook, horizon: int) -> Floats:
    """Expected number of failures in service up to a horizon, jointly with the state, (W, 3, R)."""
    return np.asarray(_mixed(outlook, _lane_rows(outlook.spends, horizon)[:, 2]).transpose(1, 2, 0))


def _mixed(outlook: Outlook, rows: Floats) -> Floats:
    """Rows of the lanes (L, ..) mixed into weak points under root combinations, (R, W, ..)."""
    return np.tensordot(outlook.mixing, rows, axes=1)


def _lane_rows(spends: Sequence[Spend], horizon: int) -> Floats:
    """(L, 7, 3) in the order of MassTable, averaged over the nodes; found, failures and quiet up to a horizon."""
    rows = np.zeros((len(spends), len(fields(MassTable)), 3))
    for i, spend in enumerate(spends):
        events = spend.mean_events[horizon, :3]  # (3, F, N)
        rows[i, 1] = events.sum(axis=2) @ COUNTS[: events.shape[1]]
        rows[i, 2] = events.sum(axis=1) @ COUNTS[: events.shape[2]]
        rows[i, 0], rows[i, 3:7:2] = spend.mean_state, spend.worth[:, :3].mean(axis=0).T
        rows[i, 4] = spend.planned[:, :3].mean(axis=0) @ COUNTS[: spend.planned.shape[2]]
        rows[i, 6] = events[:, 0, 0]
    return rows
