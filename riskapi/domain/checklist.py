"""The checklist before a visit: what is worth looking at on this car, in the order of the visit, as frozen records.

Chances 0..1, money in `currency` at the assessment date, minutes [min].
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from riskapi.domain.acts import Limits
from riskapi.domain.assessment import Assumption, Identification, StateChances


@dataclass(frozen=True, slots=True)
class Tier:
    """What is done with so much time, tiers before included: name ten_minutes | forty_five_minutes | workshop |
    whole_visit.

    `added` are the acts (ids of checks) that this tier adds, in visit order; `minutes` of all acts up to here with
    set-ups once; `limit` [min], None without one. `value`, `decision_value`, `method`, `assured`: as of a BestSet.
    """

    name: str
    limit: float | None
    added: tuple[str, ...]
    acts: int
    minutes: float
    check_cost: float
    value: float
    decision_value: float | None
    method: str
    assured: float


@dataclass(frozen=True, slots=True)
class SpeaksTo:
    """A weak point that a check shows: its state today before the look, and by how much being worn or failed lifts the
    chance of an unusual result."""

    weak_point: str
    name: str
    state: StateChances
    power: float


@dataclass(frozen=True, slots=True)
class Look:
    """One act of the visit. `reads` are all checks it answers, its own first; `value` is that of the act by itself
    [money], by `basis` spread | decision. `roots`: what it tells of the whole car (care | revision); `proves`:
    conditions of other checks that it shows."""

    check: str
    tier: str
    set_up: str | None
    opens_set_up: bool
    reads: tuple[str, ...]
    minutes: float
    check_cost: float
    value: float
    basis: str
    speaks_to: tuple[SpeaksTo, ...]
    roots: tuple[str, ...]
    proves: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Question:
    """What to ask before going: a request of the pack (no check), or a check put as a question with what the answer is
    worth as hearsay [money]."""

    id: str
    text: str
    why: str
    check: str | None
    value: float | None


@dataclass(frozen=True, slots=True)
class Paper:
    """A paper to see; `weak_point` where it is about one."""

    id: str
    text: str
    why: str
    weak_point: str | None


@dataclass(frozen=True, slots=True)
class Invoice:
    """An invoice worth seeing for a weak point that matters: `fitted` at the works and what is on sale since when, and
    the planned interval of its renewal [km, years]."""

    weak_point: str
    name: str
    fitted: str
    supplies: tuple[tuple[str, date], ...]
    interval_km: float | None
    interval_years: float | None
    expected_cost: float


@dataclass(frozen=True, slots=True)
class Thing:
    """Something to bring, and why."""

    id: str
    text: str
    why: str


@dataclass(frozen=True, slots=True)
class Unseen:
    """A weak point that no look can see coming, with its chance of failing in the ownership period."""

    weak_point: str
    name: str
    failed_means: str
    failure_probability: float
    expected_cost: float
    hazard: str


@dataclass(frozen=True, slots=True)
class Barred:
    """A check worth doing that the limits rule out; reason: equipment | consent | time."""

    check: str
    reason: str
    value: float
    minutes: float


@dataclass(frozen=True, slots=True)
class Checklist:
    """Everything for one visit to one car."""

    as_of: date
    reference: str | None
    knowledge_version: str
    knowledge_digest: str
    judgement_share: float
    identification: Identification
    currency: str
    years: float
    place: str | None
    limits: Limits
    expected_cost: float
    knowable: float  # standard deviation of the expected cost that all allowed acts explain together [money]
    tiers: tuple[Tier, ...]
    looks: tuple[Look, ...]
    core_total: int
    questions: tuple[Question, ...]
    papers: tuple[Paper, ...]
    invoices: tuple[Invoice, ...]
    bring: tuple[Thing, ...]
    unseen: tuple[Unseen, ...]
    barred: tuple[Barred, ...]
    facts: tuple[str, ...]
    assumptions: tuple[Assumption, ...]
    cautions: tuple[str, ...]
