"""What the papers record of one part: lives that ended, with or without a failure, and which copy each failure was.

A record is one way in which what was written down can have happened. Where a weak point is one part, and all failures
have papers, there is one. A failure of one of n copies was that of any of them with the same chance, so a second one
was that of the same copy with 1/n; and a failure that is only told may be made up.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from riskapi.domain.lane import ToldRenewal

CLOSE = 0.05  # [years]: entries closer than this are of the same event


@dataclass(frozen=True, slots=True)
class Events:
    """What is recorded of one weak point: the part running since `start` [years], and what came after.

    `run_km` and `run_years` are what that part had run before it was fitted (a used engine); `before` is how the life
    before `start` ended.
    """

    start: float
    part: int
    run_km: float = 0.0
    run_years: float = 0.0
    told: ToldRenewal | None = None
    never_renewed: bool = False
    before: Ending | None = None


@dataclass(frozen=True, slots=True)
class Ending:
    """How a life ended at t [years]: with a renewal, another engine, or a failure, which may be only told.

    `work` and `pointer` are those of the entry of the history.
    """

    life: Events
    t: float
    work: str
    told: bool
    pointer: str

    @property
    def failed(self) -> bool:
        """Whether the part had failed."""
        return self.work == "failed"


@dataclass(frozen=True, slots=True)
class Record:
    """One way it can have been, with its chance: the lives of copies with failures of their own, and of the rest."""

    weight: float
    apart: tuple[Events, ...]
    rest: Events

    def each(self, change: Callable[[Events], Events]) -> Record:
        """The same with every life changed."""
        return Record(self.weight, tuple(map(change, self.apart)), change(self.rest))

    def lives(self, copies: int) -> tuple[Events, ...]:
        """The lives of one copy each, and last the one that all remaining copies have."""
        return self.apart if len(self.apart) == copies else (*self.apart, self.rest)

    @property
    def tells_a_failure(self) -> bool:
        """Whether a failure is taken to have happened: then the engine has such a part."""
        return any(ending.failed for life in self.apart for ending in endings(life))

    @property
    def told_last(self) -> bool:
        """Whether a life of today began with a failure that is only told."""
        return any(life.before is not None and life.before.told for life in self.apart)


def endings(life: Events) -> Iterator[Ending]:
    """How all earlier lives ended, the latest first."""
    ending = life.before
    while ending is not None:
        yield ending
        ending = ending.life.before


def after_failure(life: Events, ending: Ending, part: int) -> Events:
    """The life that starts with the part fitted after a failure.

    A failure right after a renewal with papers is the reason for it; one right after anything else says nothing.
    """
    last = life.before
    if ending.t - life.start >= CLOSE:
        return Events(ending.t, part, before=ending)
    if last is not None and last.work == "renewed" and last.t - last.life.start >= CLOSE:
        return replace(life, before=replace(last, work="failed", told=ending.told, pointer=ending.pointer))
    return life if ending.told else Events(ending.t, part, before=last)


def copy_failed(record: Record, copies: int, fail: Callable[[Events], Events]) -> Iterator[Record]:
    """A failure of one of the copies, which may be any of them."""
    apart, each = record.apart, record.weight / copies
    for i, life in enumerate(apart):
        yield Record(each, (*apart[:i], fail(life), *apart[i + 1 :]), record.rest)
    if len(apart) < copies:
        yield Record(each * (copies - len(apart)), (*apart, fail(record.rest)), record.rest)
