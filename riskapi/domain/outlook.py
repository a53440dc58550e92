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
from riskapi.domain.future import Counts, counts, future_edges
from riskapi.domain.lanes import LaneSet, Mix
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

    @property
    def years(self) -> float:
        """The term [years]."""
        return self.horizons[-1]


def look_ahead(lanes: LaneSet, horizons: Sequence[float], rate: float, nodes: int) -> Outlook:
    """Play all lanes up to the last horizon, counting events up to each [years after purchase, ascending].

    Horizons before the last are multiples of 1/2; `rate` is the real discount rate per year.
    """
    edges = future_edges(lanes.timeline.now, horizons[-1])
    doubt = doubt_nodes(nodes)
    index = [int(np.argmin(np.abs(edges - edges[0] - h))) for h in horizons]
    before = past(lanes.lanes, doubt, edges)
    played = counts(lanes.lanes, before, doubt, edges, index, rate)
    copies = {lane: mix.copies for row in lanes.mixes for mix in row for lane, _ in mix.lanes}
    spends = tuple(_spend(before.state[i], played, i, copies.get(i, 1)) for i in range(len(lanes.lanes)))
    return Outlook(lanes, spends, tuple(horizons), doubt, rate)


def _trim(counts: Floats) -> Floats:
    """Leave out trailing counts with no mass to speak of."""
    busy = np.flatnonzero(counts.reshape(-1, counts.shape[-1]).max(axis=0) > TRIVIAL)
    return counts[..., : int(busy[-1]) + 1 if busy.size else 1]


def _spend(state: Floats, played: Counts, lane: int, copies: int) -> Spend:
    pmf, planned, worth = _trim(played.pmf[lane]), _trim(played.planned[lane]), played.worth[lane]
    if copies == 1:
        return Spend(state, one_copy_events(pmf), planned, worth)
    return Spend(
        worst_state(state, copies),
        _trim(all_copies_events(pmf, copies)),
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


FIELDS = len(fields(MassTable))
ABSENT = np.zeros((FIELDS, 3))  # a weak point that the engine does not have is sound and stays quiet
ABSENT[[0, -1], 0] = 1.0


def mass_table(outlook: Outlook) -> MassTable:
    """Node-averaged masses and expected numbers over the whole term."""
    rows = np.array([_lane_row(spend) for spend in outlook.spends]).reshape(-1, FIELDS, 3)
    lanes = outlook.lanes
    table = np.empty((FIELDS, len(lanes.weak_points), 3, len(lanes.roots)))
    for r, mixes in enumerate(lanes.mixes):
        for w, mix in enumerate(mixes):
            table[:, w, :, r] = _mixed(mix, rows)
    return MassTable(*table)


def _mixed(mix: Mix, rows: Floats) -> Floats:
    absent = max(1.0 - sum(weight for _, weight in mix.lanes), 0.0)
    return sum((weight * rows[lane] for lane, weight in mix.lanes), start=absent * ABSENT)


def _lane_row(spend: Spend) -> Floats:
    """(7, 3) in the order of MassTable, averaged over the nodes."""
    events = spend.mean_events[-1, :3]  # (3, F, N)
    found, failures = events.sum(axis=2), events.sum(axis=1)
    planned = spend.planned[:, :3] @ np.arange(spend.planned.shape[2])
    per_node = np.stack([spend.state, spend.worth[:, :3, 0], planned, spend.worth[:, :3, 1]])
    state, present, planned, planned_present = per_node.mean(axis=1)
    return np.array(
        [
            state,
            found @ np.arange(found.shape[1]),
            failures @ np.arange(failures.shape[1]),
            present,
            planned,
            planned_present,
            events[:, 0, 0],
        ]
    )
