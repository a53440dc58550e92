"""The answer: everything that is known about one car after an assessment, as frozen records.

Probabilities 0..1, score and band 0..100, money in `Cost.currency` at the assessment date. Rendering
(JSON, sentences, PDF) is riskapi/report/'s job; the names here are those of the JSON result.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from riskapi.domain.jobs import Severity
from riskapi.domain.lanes import LaneSet
from riskapi.domain.network import Network
from riskapi.domain.plan_records import AfterPurchase, BeforeSale, RepairPlan
from riskapi.domain.terms import Terms


@dataclass(frozen=True, slots=True)
class StateChances:
    """Chances of the three states today; they sum to 1."""

    sound: float
    degraded: float
    faulty: float


@dataclass(frozen=True, slots=True)
class Evidence:
    """What one finding did to one weak point: 10 log10 of the odds ratio of 'not sound' [decibans].

    `alone`: this finding by itself against none; `last_in`: added to all the others; `said`: check and result in words.
    """

    check: str
    result: str
    alone: float
    last_in: float
    said: str = ""


@dataclass(frozen=True, slots=True)
class WeakPointResult:
    id: str
    name: str
    part: str  # part revision thought to be fitted as built or renewed
    prior: StateChances
    state: StateChances
    failure_probability: float  # over the ownership period, immediate faults included
    expected_cost: float  # unplanned, over the ownership period
    expected_immediate_cost: float
    hazard: str
    warning: str
    no_look_can_see: bool
    evidence: tuple[Evidence, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Spread:
    """A cost distribution in figures."""

    mean: float
    discounted_mean: float
    p10: float
    p50: float
    p80: float
    p90: float
    p_zero: float
    typical_if_any: float | None = None  # median of what is not zero; None: not computed, or never anything


@dataclass(frozen=True, slots=True)
class YearCost:
    """Cumulative unplanned cost up to the end of this year of ownership."""

    year: float
    mean: float
    p10: float
    p50: float
    p90: float


@dataclass(frozen=True, slots=True)
class Cost:
    currency: str
    unplanned: Spread
    planned: Spread
    immediate: Spread
    shared_access_saving: float
    by_year: tuple[YearCost, ...]
    planned_items: tuple[PlannedItem, ...]
    step: float  # lattice step


@dataclass(frozen=True, slots=True)
class PlannedItem:
    """Planned work falling due in the ownership period: expected number of times and cost."""

    id: str
    name: str
    times: float
    cost: float


@dataclass(frozen=True, slots=True)
class FixedChance:
    """Chance of exceeding a fixed amount within a fixed term, on the pack's default rates."""

    amount: float
    years: float
    probability: float


@dataclass(frozen=True, slots=True)
class Risk:
    score: float
    band: tuple[float, float]
    band_sample_size: float
    repair_budget: float
    budget_origin: str
    after_work_score: float
    work: tuple[str, ...]  # weak points put right in the 'after work' figure
    fixed: tuple[FixedChance, ...]


@dataclass(frozen=True, slots=True)
class Identified:
    revision: str | None
    name: str
    probability: float


@dataclass(frozen=True, slots=True)
class Identification:
    """How the engine was established; `generic` when the case names no family of the pack.

    `settled_by`: checks not done yet that tell the candidates apart, best first; `says`: findings that spoke for one.
    """

    generic: bool
    family: str | None
    how: str
    candidates: tuple[Identified, ...]
    settled_by: tuple[str, ...] = ()
    says: tuple[RootEvidence, ...] = ()


@dataclass(frozen=True, slots=True)
class RootEvidence:
    """What one finding by itself says about the revision, the care, the tune or an open trait: the value whose odds it
    moves most, and by how much [decibans]."""

    check: str
    result: str
    value: str
    alone: float


@dataclass(frozen=True, slots=True)
class TraitValueChance:
    """`usual`: how common the value is; `before`: its chance given the history; `probability`: given everything."""

    value: str
    usual: float
    before: float
    probability: float


@dataclass(frozen=True, slots=True)
class TraitChances:
    """An open trait: one that nobody stated and that is a root. `settled_by`: checks not done yet that read it."""

    trait: str
    values: tuple[TraitValueChance, ...]
    says: tuple[RootEvidence, ...]
    settled_by: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CareChances:
    careful: float
    average: float
    neglected: float


@dataclass(frozen=True, slots=True)
class NextCheck:
    """Value of information: expected gain of the decision (with a price) or drop in cost deviation (without)."""

    check: str
    set_up: str | None
    value: float
    basis: str  # decision | spread
    check_cost: float
    minutes: float
    set_up_value: float | None = None  # of the set-up's checks together, the value the order goes by
    set_up_minutes: float = 0.0


@dataclass(frozen=True, slots=True)
class BestSet:
    """The best checks within the limits of a visit: `value` is how far their results together move the expected cost
    (standard deviation explained by adding up the results, a floor) [money], `decision_value` a floor of the value of
    sample information (None without a price), `assured` the share of the best possible value reached for certain.

    `minutes` count every set-up once; method: exact | greedy; `candidates`: acts chosen from.
    """

    checks: tuple[str, ...]
    minutes: float
    check_cost: float
    value: float
    decision_value: float | None
    method: str
    assured: float
    candidates: int


@dataclass(frozen=True, slots=True)
class PriceLine:
    """One line of how a price comes about; amounts are signed.

    `part`: usual_price | needed_now | later | planned | shared_access | scrap | bad_run; `weak_point`: its id where
    the line is about one; `chance`: that the repair is needed now, on lines of that part.
    """

    label: str
    amount: float
    part: str = ""
    weak_point: str | None = None
    chance: float | None = None


@dataclass(frozen=True, slots=True)
class Decision:
    """advice: do_not_drive | repair_first | look_closer | price_it_in | nothing_stands_out.

    `before_sale`: only for a dealer who states his workshop rate and the value of the car as usually sold.
    """

    advice: str
    hazards: tuple[str, ...]  # weak points whose hazard forbids driving
    reasons: tuple[str, ...]
    price_for_findings: float | None
    cautious_price: float | None
    items: tuple[PriceLine, ...]
    next_checks: tuple[NextCheck, ...]
    repair_plan: RepairPlan | None = None
    before_sale: BeforeSale | None = None
    best_set: BestSet | None = None  # only where the visit states its minutes and something fits


@dataclass(frozen=True, slots=True)
class Threshold:
    """From `lower` up to but not including `upper` a value gives the result; None is without bound [unit].

    `unit` is that of the check, or tells what was compared: a share 'of the highest', a number of 'neighbouring pairs'.
    """

    lower: float | None
    upper: float | None
    unit: str
    source: str
    source_kind: str


@dataclass(frozen=True, slots=True)
class Checked:
    """A finding that counted, with what was read from it; `cylinders` are those that stood out, from 1."""

    check: str
    result: str
    reading: str  # the value with its unit where something was measured, else ''
    observed_by: str
    threshold: Threshold | None = None
    cylinders: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Uncounted:
    """A check without weight: not done, or void because its conditions were not met."""

    check: str
    reason: str


@dataclass(frozen=True, slots=True)
class Coverage:
    checked: tuple[Checked, ...]
    not_checked: tuple[Uncounted, ...]
    void: tuple[Uncounted, ...]
    core_done: int
    core_total: int


@dataclass(frozen=True, slots=True)
class Assumption:
    """Something assumed because the case was silent, with where the assumption comes from."""

    text: str
    source: str


@dataclass(frozen=True, slots=True)
class WeakPointInputs:
    """Money of one weak point under one candidate engine: what a failure, or finding it faulty, can cost."""

    weak_point: str
    candidate: str
    copies: int
    in_service: Severity
    found_faulty: Severity
    planned: Severity | None


@dataclass(frozen=True, slots=True)
class Inputs:
    """All resolved inputs of the computation: lanes with their clocks and lifetimes, mixtures, prices, terms."""

    lanes: LaneSet
    doubt_nodes: tuple[float, ...]
    weak_points: tuple[WeakPointInputs, ...]
    terms: Terms
    discount_rate: float


@dataclass(frozen=True, slots=True)
class Bounds:
    """A chance known exactly (low = high) or to lie between two values."""

    low: float
    high: float


@dataclass(frozen=True, slots=True)
class ContractFigures:
    """Figures for the years in which both the contract and the ownership run; money, chances 0..1.

    waiting: nothing is paid for failures in so many years after the purchase;
    covered: ids of weak points of this engine; covered_repairs: expected number of repairs that are a claim;
    expected_repairs: of all surprise repairs; exceeds_without: that these exceed the repair budget; exceeds_with: that
    what is left of them to the owner does; exceeds_with_price: that and the price of the contract together.
    """

    price: float
    years: float
    waiting: float
    covered: tuple[str, ...]
    existing_faults: bool
    excess: float
    limit_per_claim: float | None
    limit_total: float | None
    covered_repairs: float
    expected_payout: float
    expected_repairs: float
    exceeds_without: float
    exceeds_with: Bounds
    exceeds_with_price: Bounds

    @property
    def expected_left(self) -> float:
        """What is left of the repairs to the owner, on average."""
        return self.expected_repairs - self.expected_payout


@dataclass(frozen=True, slots=True)
class Assessment:
    """The whole answer, except for id and time of creation, which storage adds."""

    as_of: date
    reference: str | None
    knowledge_version: str
    knowledge_digest: str
    judgement_share: float
    identification: Identification
    care: CareChances
    tune: float | None  # chance of an undisclosed software tune, None when stated
    risk: Risk
    weak_points: tuple[WeakPointResult, ...]  # by expected cost, highest first
    cost: Cost
    decision: Decision
    coverage: Coverage
    facts: tuple[str, ...]  # for instance disagreeing odometer readings
    assumptions: tuple[Assumption, ...]
    cautions: tuple[str, ...]
    network: Network  # what --audit exports
    inputs: Inputs | None = None  # everything resolved, for --audit
    traits: tuple[TraitChances, ...] = ()  # those that nobody stated and that matter in more than one place
    care_says: tuple[RootEvidence, ...] = ()
    tune_says: tuple[RootEvidence, ...] = ()
    after_purchase: AfterPurchase | None = None
    contract: ContractFigures | None = None  # where a repair contract is offered
