"""Recorded failures, and what else was recorded of a part before its last documented renewal, as evidence.

A failure recorded at a says that the part then in the car had failed no longer than the repair delay w before a:

    L = sum_j m_j (S_j(a - w) - S_j(a))        m: masses of the last renewal before a, given what is recorded before a

per doubt node, computed by the renewal recursion for a car as old as a. Parts that failed earlier and were given up are
not meant: nobody repairs those. A life that ended with a renewal for any other reason has the likelihood of its looks.
A new life starts at a; all of its masses are multiplied with the likelihoods of the lives before it, so they reach the
revision, the care and the doubt about the lifetime.

A failure that is only told happened with the pack's chance c as long as nothing else is known of an engine that has
such a part: it has the likelihood c L / L' against 1 - c for a tale, L' being the mean of L over roots and nodes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from riskapi.domain.lane import EarlierLife, Lane
from riskapi.domain.lanes import LaneSet
from riskapi.domain.renewal import past
from riskapi.domain.sentence import at_fault, told
from riskapi.domain.timeline import Floats
from riskapi.errors import Fault

ROUNDING = 1e-13  # chances below this are differences of survivals near 1: rounding, no evidence


def lives_beside(lanes: Sequence[Lane]) -> list[list[Lane]]:
    """Per lane the lives of its copies: its own, and those beside it."""
    found = []
    for lane in lanes:
        row = [lane]
        while row[-1].beside is not None:
            row.append(row[-1].beside)
        found.append(row)
    return found


def lives_of(lanes: LaneSet) -> list[Lane]:
    """All lives of all lanes, one lane after the other."""
    return [life for row in lives_beside(lanes.lanes) for life in row]


@dataclass(frozen=True, slots=True)
class _Ended:
    """An earlier life with its likelihood and its mass without the failure, (K,) each."""

    life: EarlierLife
    likelihood: Floats
    mass: Floats


def likelihoods(lanes: LaneSet, nodes: Floats) -> dict[int, Floats]:
    """Of lives (by the id of the lane) that have others before them, the likelihood of these (K,)."""
    every = lives_of(lanes)
    ended = _ended([life for life in every if life.before is not None], nodes)
    if not ended:
        return {}
    tales = _tales(lanes, ended)
    found = {}
    for life in every:
        if life.before is not None:
            factors = [ended[id(e)].likelihood / tales.get(id(e), 1.0) for e in _chain(life)]
            found[id(life)] = life.fitted * np.prod(factors, axis=0)
    return found


def _chain(life: Lane) -> Iterator[EarlierLife]:
    """The lives before this one, the latest first."""
    earlier = life.before
    while earlier is not None:
        yield earlier
        earlier = earlier.lane.before


def _ended(lives: Sequence[Lane], nodes: Floats) -> dict[int, _Ended]:
    """All earlier lives by their id, those of the same length played together."""
    lengths: dict[float, dict[int, EarlierLife]] = {}
    for life in lives:
        for earlier in _chain(life):
            lengths.setdefault(earlier.lane.timeline.now, {})[id(earlier)] = earlier
    found = {}
    for end, same in lengths.items():
        masses = past([e.lane for e in same.values()], nodes, np.array([end, end + 1.0]))
        for earlier, state, failed in zip(same.values(), masses.state, masses.just_failed, strict=True):
            mass = state.sum(axis=1)
            likelihood = np.where(failed > ROUNDING, failed, 0.0) if earlier.failed else mass
            found[id(earlier)] = _Ended(earlier, likelihood, mass)
    return found


def _tales(lanes: LaneSet, ended: dict[int, _Ended]) -> dict[int, float]:
    """Of failures that are only told (by id) their mean likelihood, given what was recorded before them."""
    if not any(e.life.told for e in ended.values()):
        return {}
    found: dict[int, float] = {}
    for w in range(len(lanes.weak_points)):
        told, failed, mass = [], 0.0, 0.0
        for root, mixes in zip(lanes.roots, lanes.mixes, strict=True):
            chance = root.weight * root.way_weight
            for index, weight in mixes[w].lanes:
                for e in (ended[id(e)] for life in _row(lanes, index) for e in _chain(life) if e.told):
                    before = np.prod([ended[id(b)].likelihood for b in _chain(e.life.lane)], axis=0)
                    told.append(id(e.life))
                    failed += chance * weight * float((e.likelihood * before).mean())
                    mass += chance * weight * float((e.mass * before).mean())
        found.update(dict.fromkeys(told, failed / mass if failed > 0.0 and mass > 0.0 else 1.0))
    return found


def _row(lanes: LaneSet, index: int) -> list[Lane]:
    return lives_beside([lanes.lanes[index]])[0]


def impossible_failures(lanes: LaneSet, masses: Floats) -> list[Fault]:
    """Faults of recorded failures that some engine cannot have had; `masses` (W, 3, R) with the history."""
    places: dict[str, str] = {}
    for w, r in np.argwhere(masses.sum(axis=1) <= 0.0).tolist():
        for index, _ in lanes.mixes[r][w].lanes:
            for life in _row(lanes, index):
                places.update({e.pointer: lanes.weak_points[w].name for e in _chain(life) if e.failed and e.pointer})
    return [
        at_fault(
            place,
            told("As the knowledge pack describes it, this cannot have failed then: {name}.", name=name),
            told("Mend the date or the weak point; leave the entry out if the part was renewed for another reason."),
        )
        for place, name in sorted(places.items())
    ]
