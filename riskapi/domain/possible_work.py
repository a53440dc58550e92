"""What could be put right on day 0, with what each job gains and needs, as a programme of jobs that share items.

A job replaces what the scored policy spends on a weak point by: its plain mend now, the difference to that where the
part turns out to have failed already, and what a part renewed on day 0 spends later. Where the engine is not settled,
items are paid per candidate engine, weighted with its chance, so the programme minimises the exact expectation.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from riskapi.domain.costing import PriceTable
from riskapi.domain.jobs import PriceLevel
from riskapi.domain.knowledge import Pack
from riskapi.domain.mends import Item, Mend, item_cost, plain_mend, single_cost
from riskapi.domain.programme import Programme
from riskapi.domain.renewing import Worth, candidate_chances
from riskapi.domain.timeline import Floats

CERTAIN = 1.0 - 1e-9  # chance of a candidate engine having the part, from which work on it can be planned
MOSTLY = 0.5  # chance of the candidate engines that have it together


@dataclass(frozen=True, slots=True)
class PossibleJob:
    """`gain`: expected money saved, before its items are paid; `as_found`: expected difference to the plain mend where
    the part has failed already.

    `mends`: what it needs under each candidate engine; nothing where that engine does not have it.
    """

    id: str
    name: str
    kind: str
    gain: float
    as_found: float
    mends: tuple[Mend, ...]


NOTHING = Mend((), frozenset())


@dataclass(frozen=True, slots=True)
class Selection:
    """Possible jobs and the programme they form; `items` names the programme's items as (scenario, item).

    A scenario is a set of candidate engines on which every job needs the same: `scenario_of` each candidate, with the
    chance of each scenario.
    """

    jobs: tuple[PossibleJob, ...]
    items: tuple[tuple[int, Item], ...]
    scenario_of: tuple[int, ...]
    chances: tuple[float, ...]
    programme: Programme


def weak_point_jobs(
    pack: Pack, worth: Worth, prices: PriceTable, level: PriceLevel, forced: Sequence[str]
) -> list[PossibleJob]:
    """One job per weak point that the engine has, or that is forced; at these prices of the work.

    Left out unless forced: what can gain nothing, what an unstated trait leaves open, and what only unlikely
    candidate engines have.
    """
    lanes = worth.basis.outlook.lanes
    gains, present = worth.leave - worth.renewed, presence(worth)
    plain = ((present == 0.0) | (present >= CERTAIN)).all(axis=1) & (present @ candidate_chances(worth.basis) >= MOSTLY)
    jobs = []
    for w, wp in enumerate(lanes.weak_points):
        has = present[w] > 0.0
        if wp.id in forced or (gains[w] > 0.0 and plain[w]):
            mends = tuple(
                plain_mend(pack, wp.id, candidate.traits, copies_of(worth, w, c)) if has[c] else NOTHING
                for c, candidate in enumerate(lanes.candidates)
            )
            as_found = sum(
                float(worth.found[w, c]) * (prices[w, c].found.mean - single_cost(pack, level, mend))
                for c, mend in enumerate(mends)
            )
            jobs.append(PossibleJob(wp.id, wp.name, "weak_point", float(gains[w]), as_found, mends))
    return jobs


def presence(worth: Worth) -> Floats:
    """Chance of the engine having each weak point, per candidate, (W, C)."""
    outlook, groups = worth.basis.outlook, worth.basis.posterior.groups
    shape = len(outlook.lanes.weak_points), len(outlook.lanes.roots)
    per_root = worth.mix.sum(np.ones(len(outlook.spends)), shape)
    return per_root[:, [group.roots[0] for group in groups]]


def copies_of(worth: Worth, weak_point: int, candidate: int) -> int:
    """How many of it this candidate engine has."""
    root = worth.basis.posterior.groups[candidate].roots[0]
    return worth.basis.outlook.lanes.mixes[root][weak_point].copies


def select_from(
    pack: Pack, worth: Worth, level: PriceLevel, jobs: Sequence[PossibleJob], forced: Sequence[str]
) -> Selection:
    """The programme of these jobs at this price level."""
    scenario_of, chances = _scenarios(jobs, candidate_chances(worth.basis))
    index: dict[tuple[int, Item], int] = {}
    needs = []
    for job in jobs:
        mine = {(scenario_of[c], item) for c, mend in enumerate(job.mends) for item in mend.items}
        needs.append(frozenset(index.setdefault(item, len(index)) for item in sorted(mine)))
    costs = (chances[scenario] * item_cost(pack, level, item.kind, item.id).money for scenario, item in index)
    must = frozenset(position for position, job in enumerate(jobs) if job.id in forced and job.kind == "weak_point")
    programme = Programme(tuple(job.gain - job.as_found for job in jobs), tuple(needs), tuple(costs), must)
    return Selection(tuple(jobs), tuple(index), scenario_of, chances, programme)


def _scenarios(jobs: Sequence[PossibleJob], chances: Floats) -> tuple[tuple[int, ...], tuple[float, ...]]:
    """The scenario of each candidate engine, and the chance of each scenario."""
    known: dict[tuple[Mend, ...], int] = {}
    scenario_of = tuple(known.setdefault(tuple(job.mends[c] for job in jobs), len(known)) for c in range(len(chances)))
    totals = [0.0] * len(known)
    for scenario, share in zip(scenario_of, chances.tolist(), strict=True):
        totals[scenario] += share
    return scenario_of, tuple(totals)


def service_job(identifier: str, name: str, gain: float, mend: Mend, candidates: int) -> PossibleJob:
    """A service at an interval brought forward; it is the same on every candidate engine."""
    return PossibleJob(identifier, name, "service", gain, 0.0, (mend,) * candidates)
