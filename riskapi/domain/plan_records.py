"""What to put right at purchase or before a sale, what to watch, and what to do after the purchase: frozen records.

Money is in the currency of the case at the assessment date, with tax unless said otherwise; hours are labour hours.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class PlanJob:
    """Something put right. kind: 'weak_point' | 'service'; why: 'danger' | 'faulty' | 'saves'."""

    id: str
    name: str
    kind: str
    why: str


@dataclass(frozen=True, slots=True)
class PlanOperation:
    """An operation of the plan by itself, without access; `times` for copies, `jobs` are ids of what needs it.

    `chance`: of it being needed, below 1 only where the engine is not settled between revisions.
    """

    id: str
    name: str
    times: int
    chance: float
    hours: float
    cost: float
    jobs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PlanAccess:
    """An access step of the plan with what it destroys, paid once for these operations."""

    id: str
    name: str
    chance: float
    hours: float
    cost: float
    operations: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Work:
    """Jobs done together. cost = sum of chance * cost of operations and access + as_found [money].

    as_found: expected difference, since a part that turns out to have failed may need more than the plain mend, or
    less; apart: what the same jobs cost if each paid its own access.
    """

    jobs: tuple[PlanJob, ...]
    operations: tuple[PlanOperation, ...]
    access: tuple[PlanAccess, ...]
    as_found: float
    cost: float
    apart: float

    @property
    def weak_points(self) -> tuple[str, ...]:
        """Ids of the weak points put right."""
        return tuple(job.id for job in self.jobs if job.kind == "weak_point")

    @property
    def hours(self) -> float:
        """Expected labour hours of the plain mends."""
        rows: tuple[PlanOperation | PlanAccess, ...] = (*self.operations, *self.access)
        return sum(row.chance * row.hours for row in rows)


@dataclass(frozen=True, slots=True)
class WatchItem:
    """A weak point that is left. Look again with `check` at this odometer [km] or on this day, whichever comes first.

    Then again every `every_km` [km] or `every_months`, whichever comes first; `chance`: of failing within the term.
    """

    weak_point: str
    name: str
    check: str
    check_name: str
    odometer_km: float
    on: date
    every_km: float
    every_months: int
    chance: float


@dataclass(frozen=True, slots=True)
class RepairPlan:
    """What to put right at purchase, and what to watch.

    saving: expected discounted cost under the scored policy less that with the plan [money]; only forced work can make
    it negative. dearer_than: 'another_engine' | 'write_off' where the work costs more than that way out.
    """

    work: Work
    saving: float
    score_after: float
    dearer_than: str | None
    watch: tuple[WatchItem, ...]
    unseen: tuple[str, ...]  # weak points left that no look shows in time
    until: date  # end of the term, to which looks go on


@dataclass(frozen=True, slots=True)
class BeforeSale:
    """What a dealer puts right before the sale: `work` at his own rates without tax, and the figures after it.

    price_rise: of the price for the findings; pays_back: that less the cost of the work [money].
    """

    work: Work
    price_rise: float
    pays_back: float
    price_after: float
    cautious_price_after: float
    score_after: float


@dataclass(frozen=True, slots=True)
class ServiceItem:
    """A line of the first service list.

    when: 'now' | 'due' (on `on` or at `odometer_km`; neither where that is beyond the term).
    why: 'plan' (with the work at purchase) | 'overdue' and 'interval' (counted from `last`, else from new) | 'no_paper'
    (no paper shows when it was last done) | 'ask' (the same for a part: ask, or have its age judged) | 'usual' (full
    intervals from new) | 'watch' (a look of the watch list).
    """

    id: str
    name: str
    when: str
    why: str
    odometer_km: float | None
    on: date | None
    last: date | None = None


@dataclass(frozen=True, slots=True)
class FollowUp:
    """A day on which to ask how it went."""

    months: int
    on: date


@dataclass(frozen=True, slots=True)
class AfterPurchase:
    """First service list, cautions and special tools of the work for the workshop, and the days to ask how it went."""

    first_service: tuple[ServiceItem, ...]
    workshop_cautions: tuple[str, ...]
    special_tools: tuple[str, ...]  # names
    one_use: tuple[str, ...]  # parts that access steps of the plan destroy
    follow_ups: tuple[FollowUp, ...]
