"""What leaving each weak point to the scored policy costs, what a part renewed on day 0 costs, and how they fail.

Exact expectations by linearity under the posterior of states and roots together. A renewed part shares its doubt
node with the part it takes over from (doubt is common to all renewals of one part), so states and what a new part
spends are multiplied node by node before they are averaged.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from riskapi.domain.costing import Basis
from riskapi.domain.knowledge import FAULTY
from riskapi.domain.means import MeanCosts, likelihood_ratio, mean_costs
from riskapi.domain.outlook import Outlook
from riskapi.domain.timeline import Floats

RENEWED = 3  # the start 'renewed on day 0'


@dataclass(frozen=True, slots=True)
class Mixed:
    """The lanes that make up weak points: parallel index arrays (n,) with their weights."""

    weak_point: npt.NDArray[np.intp]
    root: npt.NDArray[np.intp]
    lane: npt.NDArray[np.intp]
    weight: Floats

    def sum(self, per_lane: Floats, shape: tuple[int, int]) -> Floats:
        """(lanes, ...) -> (W, R, ...): lanes added up with their weights; what is absent adds nothing."""
        result = np.zeros((*shape, *per_lane.shape[1:]))
        weighed = self.weight.reshape(-1, *(1 for _ in per_lane.shape[1:])) * per_lane[self.lane]
        np.add.at(result, (self.weak_point, self.root), weighed)
        return result


def mixed(outlook: Outlook) -> Mixed:
    """All (weak point, root combination, lane) triples of an outlook."""
    rows = [
        (w, r, lane, weight)
        for r, mixes in enumerate(outlook.lanes.mixes)
        for w, mix in enumerate(mixes)
        for lane, weight in mix.lanes
    ]
    index = np.array([row[:3] for row in rows], dtype=np.intp).reshape(-1, 3)
    return Mixed(index[:, 0], index[:, 1], index[:, 2], np.array([row[3] for row in rows], dtype=float))


@dataclass(frozen=True)
class Worth:
    """Expected discounted money and chances per weak point given the findings.

    leave (W,): all that the scored policy spends over the term; renewed (W,): what it spends after day 0 on a part
    renewed on day 0; found (W, C): expected number of copies found faulty on day 0, jointly with the candidate engine.
    """

    basis: Basis
    mix: Mixed
    money: MeanCosts
    leave: Floats
    renewed: Floats
    found: Floats

    @cached_property
    def fails_by(self) -> Floats:
        """(W, H): chance of not being faulty today and failing in service up to each horizon, if left."""
        outlook = self.basis.outlook
        quiet = np.array([events[:, :FAULTY, 0, 0] for events in outlook.mean_events])  # (lanes, H, 2)
        masses = np.array([spend.state[:, :FAULTY].mean(axis=0) for spend in outlook.spends])
        failing = self.mix.sum(np.maximum(masses[:, None] - quiet, 0.0), _shape(outlook))  # (W, R, H, 2)
        ratio = np.moveaxis(_ratio(self.basis)[:, :FAULTY], 1, 2)  # (W, R, 2)
        return np.asarray((failing * ratio[:, :, None]).sum(axis=(1, 3)))


def worth_of(basis: Basis) -> Worth:
    """Expectations for every weak point at the prices of `basis`."""
    outlook, table, money = basis.outlook, basis.outlook.table, mean_costs(basis)
    ratio, mix = _ratio(basis), mixed(basis.outlook)
    policy = table.found * money.found[:, None] + table.present * money.service[:, None]
    policy += table.planned_present * money.renewal[:, None]
    after = np.array([_after_renewal(spend.state, spend.worth) for spend in outlook.spends]).reshape(-1, 3, 2)
    new = mix.sum(after, _shape(outlook))  # (W, R, 3, 2)
    each = np.stack([money.service, money.renewal], axis=2)  # (W, R, 2)
    spent = (new * each[:, :, None]).sum(axis=3)  # (W, R, 3)
    return Worth(
        basis=basis,
        mix=mix,
        money=money,
        leave=np.asarray((ratio * policy).sum(axis=(1, 2))),
        renewed=np.asarray((np.moveaxis(ratio, 1, 2) * spent).sum(axis=(1, 2))),
        found=_by_candidate(basis, (ratio * table.found).sum(axis=1)),
    )


def _after_renewal(state: Floats, worth: Floats) -> Floats:
    """Joint with today's state, what a part renewed on day 0 spends: (3, 2) from (K, 3) and (K, 4, 2)."""
    return np.asarray((state[:, :, None] * worth[:, None, RENEWED]).mean(axis=0))


def _ratio(basis: Basis) -> Floats:
    return likelihood_ratio(basis.posterior, basis.outlook.table)


def _shape(outlook: Outlook) -> tuple[int, int]:
    return len(outlook.lanes.weak_points), len(outlook.lanes.roots)


def _by_candidate(basis: Basis, per_root: Floats) -> Floats:
    """(W, R) -> (W, C)."""
    columns = [per_root[:, list(group.roots)].sum(axis=1) for group in basis.posterior.groups]
    return np.stack(columns, axis=1)


def candidate_chances(basis: Basis) -> Floats:
    """Chance of each candidate engine given the findings, (C,)."""
    return np.array([basis.posterior.root_chance[list(group.roots)].sum() for group in basis.posterior.groups])
