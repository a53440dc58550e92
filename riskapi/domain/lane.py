"""One part's life up to today: which parts, clocks and recorded events it has, as the renewal recursion reads it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from riskapi.domain.knowledge import PartRevision
from riskapi.domain.timeline import Clocks, Floats, Timeline

Indices = npt.NDArray[np.intp]
Supplies = tuple[tuple[float, int], ...]  # (on sale since [years], index of the part), ascending


@dataclass(frozen=True, slots=True)
class ToldRenewal:
    """A renewal at t [years] that happened with this chance, to the part at this index."""

    t: float
    chance: float
    part: int


@dataclass(frozen=True, slots=True)
class PastLook:
    """A look at t [years] whose result has these likelihoods given the state then (sound, degraded, faulty)."""

    t: float
    likelihood: tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Lane:
    """One part's history. Times [years since build], distances [effective km], ages [effective years].

    `start` is when the part `start_part` (an index into `parts`) was fitted; `run_y`, `run_z` are what it had run
    before that (a used engine). `kept` is the chance that a planned renewal is done when due, `delay` how long
    people drive on with this fault, `left` the share of failures never repaired, `pf_y` and `pf_z` the P-F interval.
    `looks` ascend in time. With `never_renewed` nothing was renewed after `start`. `kinks` are times where a rate
    changes.

    `before` is how the life before `start` ended, where that tells something. `beside` is the life of the other copies
    of the part where one of them failed by itself. `fitted` is the chance that the engine has such a part at all, where
    a recorded failure says that it has.
    """

    timeline: Timeline
    clocks: Clocks
    parts: tuple[PartRevision, ...]
    start: float
    start_part: int
    run_y: float
    run_z: float
    supplies: Supplies
    told: ToldRenewal | None
    looks: tuple[PastLook, ...]
    never_renewed: bool
    delay: float
    left: float
    pf_y: float
    pf_z: float
    kept: float
    kinks: tuple[float, ...]
    before: EarlierLife | None = None
    beside: Lane | None = None
    fitted: float = 1.0

    def part_at(self, t: float) -> int:
        """Index of the part revision a workshop fits at time t [years]."""
        return on_sale(self.supplies, t)

    def parts_at(self, times: Floats) -> Indices:
        """The same for many times, any shape."""
        since, parts = zip(*self.supplies, strict=True)
        latest = np.searchsorted(np.array(since), times, side="right") - 1
        return np.asarray(np.array(parts)[np.maximum(latest, 0)])


@dataclass(frozen=True, slots=True)
class EarlierLife:
    """A life that ended at `lane.timeline.now`, its part having failed or not; perhaps that is only told.

    `pointer` is where in the case the failure is recorded.
    """

    lane: Lane
    failed: bool
    told: bool
    pointer: str


def on_sale(supplies: Sequence[tuple[float, int]], t: float) -> int:
    """Index of the part on sale at time t [years]; before the first supply that first one."""
    current = supplies[0][1]
    for since, part in supplies:
        if since <= t:
            current = part
    return current
