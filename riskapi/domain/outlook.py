"""Masses of states and spends per root combination and weak point, before any finding of today.

This is where lanes, copies and mixtures come together. Arrays have the axes (root combination, weak point, ...);
doubt nodes are averaged as joint masses, never normalised one by one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from functools import cached_property

import numpy as np

from riskapi.domain.earlier_lives import likelihoods, lives_beside, lives_of
from riskapi.domain.future import counts, future_edges
from riskapi.domain.lanes import LaneSet
from riskapi.domain.lifetime import doubt_nodes
from riskapi.domain.renewal import Past, past
from riskapi.domain.spends import OneCopy, Spend, side_by_side, trimmed
from riskapi.domain.timeline import Floats

COUNTS = np.arange(512)


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
    return play(lanes, past(lives_of(lanes), doubt, edges), horizons, rate, doubt)


def play(lanes: LaneSet, before: Past, horizons: Sequence[float], rate: float, doubt: Floats) -> Outlook:
    """The same from what the past of all lives (`lives_of`) has left, known at the future edges of the last horizon."""
    edges = future_edges(lanes.timeline.now, horizons[-1])
    index = [int(np.argmin(np.abs(edges - edges[0] - h))) for h in horizons]
    lives = lives_beside(lanes.lanes)
    every = lives_of(lanes)
    played = counts(every, before, doubt, edges, index, rate)
    pmf, planned = trimmed(played.pmf), trimmed(played.planned)
    single = {
        id(life): OneCopy(*row) for life, *row in zip(every, before.state, pmf, planned, played.worth, strict=True)
    }
    weighed = {life: single[life].weighed(chance) for life, chance in likelihoods(lanes, doubt).items()}
    single |= weighed
    copies = {lane: mix.copies for row in lanes.mixes for mix in row for lane, _ in mix.lanes}
    spends = tuple(_of_copies([single[id(life)] for life in row], copies.get(i, 1)) for i, row in enumerate(lives))
    return Outlook(lanes, spends, tuple(horizons), doubt, rate)


def _of_copies(rows: Sequence[OneCopy], copies: int) -> Spend:
    """All copies of a part: one of each life, and what is left of the last one."""
    spend = rows[-1].times(copies - len(rows) + 1)
    for row in reversed(rows[:-1]):
        spend = side_by_side(row.times(1), spend)
    return spend


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
