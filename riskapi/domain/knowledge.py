"""The knowledge pack as frozen records.

Units are fixed here once: distance [km], age and delay [years], work [h], checks [min], money [pack
currency], chances [0..1], Weibull shape and factors [1]. The catalogue converts whatever a file says.
Every record carries `source`, the id of a `Source`; `Pack.figures` lists every single number read,
with its place, for readers who want to see where a figure comes from.

States are always in the order SOUND, DEGRADED, FAULTY = 0, 1, 2.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import TypeVar

from riskapi.errors import NotFound

SOUND, DEGRADED, FAULTY = 0, 1, 2
STATES = ("sound", "degraded", "faulty")
CARES = ("careful", "average", "neglected")
HAZARDS = ("none", "stalls", "fire", "brake_assistance", "burns")
WARNINGS = ("none", "short", "long")
EQUIPMENT = ("none", "generic_scan_tool", "maker_scan_tool", "workshop")
CONSENTS = ("none", "ask", "written")
INSTALLATIONS = ("transverse", "longitudinal")
PARTS_CLASSES = ("economy", "mid", "premium")

TraitValue = str | int | float
_T = TypeVar("_T")


@dataclass(frozen=True)
class Traits:
    """Design features of an engine; a trait that is not stated is absent, which is not the same as 'no'."""

    items: tuple[tuple[str, TraitValue], ...] = ()

    def get(self, name: str) -> TraitValue | None:
        return next((value for key, value in self.items if key == name), None)

    def merged(self, other: Traits) -> Traits:
        """These traits with those of `other` laid over them."""
        return Traits(tuple(sorted((dict(self.items) | dict(other.items)).items())))


@dataclass(frozen=True, slots=True)
class When:
    """A condition on traits: every named trait must have one of the listed values."""

    terms: tuple[tuple[str, tuple[TraitValue, ...]], ...] = ()

    def holds(self, traits: Traits) -> bool | None:
        """True or False; None when a trait that decides it is not stated."""
        unknown = False
        for name, allowed in self.terms:
            value = traits.get(name)
            if value is None:
                unknown = True
            elif value not in allowed:
                return False
        return None if unknown else True


@dataclass(frozen=True, slots=True)
class Source:
    """Where a figure comes from. kind: published | common_practice | judgement | memory | standard."""

    id: str
    kind: str
    citation: str


@dataclass(frozen=True, slots=True)
class Figure:
    """One number of the pack, as it was written."""

    path: str
    value: float
    unit: str
    source: str
    place: str


# ---- lifetimes -----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Weibull:
    """Cumulative hazard (u / scale) ** shape; scale in the unit of its clock (km or years)."""

    shape: float
    scale: float


@dataclass(frozen=True, slots=True)
class LifeMode:
    """Competing clocks of one way to fail. `spread` is the factor within which the author is 80 % sure."""

    distance: Weibull | None
    age: Weibull | None
    spread: float


@dataclass(frozen=True, slots=True)
class PlannedInterval:
    """Renewal that is part of the service: at `distance_km` or `age_years`, whichever comes first.

    `kept` is the chance that an owner of each care (careful, average, neglected) does it in time.
    """

    distance_km: float | None
    age_years: float | None
    kept: tuple[float, float, float]
    operation: str


@dataclass(frozen=True, slots=True)
class PartRevision:
    """One design of a part. A share `flaw_share` carries the flaw; every part wears out by `wear`."""

    id: str
    name: str
    when: When
    flaw_share: float
    flaw: LifeMode | None
    wear: LifeMode | None
    no_wear_because: str
    planned: PlannedInterval | None
    source: str


# ---- what a failure leads to ---------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class OutcomeRow:
    """With `chance` (0 where `when` does not hold) these operations are needed, as one job."""

    chance: float
    when: When
    operations: tuple[str, ...]
    text: str


@dataclass(frozen=True, slots=True)
class OutcomeTable:
    """Rows in order; `otherwise` (its chance is ignored) takes what they leave."""

    rows: tuple[OutcomeRow, ...]
    otherwise: OutcomeRow


@dataclass(frozen=True, slots=True)
class Effect:
    """How a weak point shows in a symptom: chance of reaching level 1, 2, .. L by itself, per state."""

    symptom: str
    when: When
    degraded: tuple[float, ...]
    faulty: tuple[float, ...]
    source: str


@dataclass(frozen=True, slots=True)
class Stress:
    """While `condition` lasts, the named clock ('distance' | 'age') runs `factor` times as fast."""

    condition: str
    clock: str
    factor: float


@dataclass(frozen=True, slots=True)
class Raise:
    """This weak point, while it is not sound, hurries another one. Told to people; not in the score."""

    weak_point: str
    why: str


@dataclass(frozen=True, slots=True)
class WeakPoint:
    """One thing that fails, on any engine whose traits match `applies`."""

    id: str
    name: str
    system: str
    applies: When
    mechanism: str
    degraded_means: str
    failed_means: str
    warning: str
    hazard: str
    copies: int | str  # a count, or 'cylinders'
    repair_delay_years: float
    left_unrepaired: float
    pf_km: float
    pf_years: float
    parts: tuple[PartRevision, ...]
    in_service: OutcomeTable
    found_faulty: OutcomeTable
    effects: tuple[Effect, ...]
    stresses: tuple[Stress, ...]
    raises: tuple[Raise, ...]
    cautions: tuple[str, ...]
    source: str

    def part(self, identifier: str) -> PartRevision:
        """The part revision with this id. Raises NotFound."""
        for part in self.parts:
            if part.id == identifier:
                return part
        raise NotFound(f"part revision of {self.id}", identifier)


# ---- what can be seen ----------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class RunDown:
    """An arc by which wetness gets from this zone to a lower one.

    `table[a - 1]` gives, for level a of this zone, the chance that the lower zone reaches level 1, 2, .. L.
    """

    to: str
    table: tuple[tuple[float, ...], ...]
    source: str


@dataclass(frozen=True, slots=True)
class Symptom:
    """Something that shows, with ordered levels; level 0 is nothing. `zone` marks a place where a fluid is seen.

    `background[l - 1]` is the chance of reaching level l for reasons outside the pack.
    """

    id: str
    name: str
    levels: tuple[str, ...]
    background: tuple[float, ...]
    zone: str | None  # the fluid: oil | coolant | fuel | soot
    runs_down: tuple[RunDown, ...]
    source: str


@dataclass(frozen=True, slots=True)
class Measure:
    """How measured values become a result.

    reduce: 'value' (one number), 'lowest_share' (lowest / highest over the cylinders), 'highest', 'lowest',
    'low_neighbours' (count of adjacent pairs both below `floor_share` of the highest).
    The value is compared with ascending `bounds`, len(results) - 1 of them; result k holds below bounds[k].
    With `descending`, results are in the opposite order (the highest value gives the first result).
    Bounds are in `unit`, but shares [0..1] for 'lowest_share' and counts for 'low_neighbours'. `low` and `high`
    [unit] enclose what a single stated value can physically be.
    """

    reduce: str
    unit: str
    bounds: tuple[float, ...]
    descending: bool
    low: float
    high: float
    floor_share: float
    source: str


@dataclass(frozen=True, slots=True)
class CheckResult:
    """One possible result of a check, in the check's own words. `codes` are generic trouble codes that give it."""

    id: str
    name: str
    codes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Check:
    """Something an inspector can do. It reads a symptom, or a root: 'care', 'revision', or a trait by its name.

    `table[level][result]` is P(result | level) for a symptom, in the order of its levels; for 'care' the rows
    are CARES, for a trait its `trait_values` (each with how common it is). For 'revision' `features` lists, per
    result, the revisions that have it.
    `part_of` names the act whose measurement also gives this check's result.
    """

    id: str
    name: str
    tier: str  # ten_minutes | forty_five_minutes | workshop
    order: int
    symptom: str | None
    root: str | None
    set_up: str | None
    equipment: str
    consent: str
    minutes: float
    price: float
    how: str
    needs: tuple[str, ...]
    results: tuple[CheckResult, ...]
    table: tuple[tuple[float, ...], ...]
    features: tuple[tuple[str, ...], ...]
    measure: Measure | None
    part_of: str | None
    from_case: str | None
    core: bool
    cautions: tuple[str, ...]
    source: str
    trait_values: tuple[tuple[str, float], ...] = ()

    def result_index(self, identifier: str) -> int:
        """Position of a result. Raises NotFound."""
        for index, result in enumerate(self.results):
            if result.id == identifier:
                return index
        raise NotFound(f"result of the check {self.id}", identifier)


@dataclass(frozen=True, slots=True)
class SetUp:
    """Preparation shared by several checks (scan tool plugged in, undertray off)."""

    id: str
    name: str
    minutes: float
    consent: str
    equipment: str
    cautions: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True)
class ConditionWord:
    """A condition under which a check was done (engine_cold, not_just_washed); `if_not` says why it matters."""

    id: str
    name: str
    if_not: str


# ---- repairs -------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class PartPrice:
    """What a part costs in the mid class: low / likely / high [pack currency, without tax]."""

    name: str
    low: float
    likely: float
    high: float


@dataclass(frozen=True, slots=True)
class AccessStep:
    """Work to reach a place, shared by jobs. `under` is the step that must be done before this one."""

    id: str
    name: str
    hours: float
    under: str | None
    transverse: float
    longitudinal: float
    one_use: tuple[PartPrice, ...]
    source: str


@dataclass(frozen=True, slots=True)
class Operation:
    """A repair. kind: repair | service | another_engine."""

    id: str
    name: str
    kind: str
    parts: tuple[PartPrice, ...]
    hours: float
    access: tuple[str, ...]
    follow_on: tuple[str, ...]
    cautions: tuple[str, ...]
    source: str


# ---- engines -------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Supply:
    """From `since` on, workshops buy this part revision."""

    part: str
    since: date


@dataclass(frozen=True, slots=True)
class Fit:
    """Which part revision of a weak point left the works in these revisions, and what is on sale when."""

    weak_point: str
    revisions: tuple[str, ...]
    works: str
    supplies: tuple[Supply, ...]
    note: str
    source: str


@dataclass(frozen=True, slots=True)
class SerialRange:
    """Engine serial numbers of a revision, both ends included, compared as texts padded with zeros on the left."""

    first: str
    last: str

    def holds(self, serial: str) -> bool:
        width = max(len(self.first), len(self.last), len(serial))
        return self.first.zfill(width) <= serial.zfill(width) <= self.last.zfill(width)


@dataclass(frozen=True, slots=True)
class Revision:
    """A span of builds that share parts. `until` None means still built; `serials` None: the serial tells nothing."""

    id: str
    name: str
    generation: str
    since: date
    until: date | None
    codes: tuple[str, ...]
    traits: Traits
    note: str
    source: str
    serials: SerialRange | None = None


@dataclass(frozen=True, slots=True)
class Generation:
    id: str
    name: str
    note: str


@dataclass(frozen=True, slots=True)
class PlannedService:
    """Service at an interval, whatever the state of the engine."""

    id: str
    name: str
    operation: str
    distance_km: float | None
    age_years: float | None
    source: str


@dataclass(frozen=True, slots=True)
class Family:
    id: str
    name: str
    maker: str
    note: str
    generations: tuple[Generation, ...]
    revisions: tuple[Revision, ...]
    fits: tuple[Fit, ...]
    services: tuple[PlannedService, ...]
    source: str

    def revision(self, identifier: str) -> Revision:
        """Raises NotFound."""
        for revision in self.revisions:
            if revision.id == identifier:
                return revision
        raise NotFound("revision", identifier)

    def fit(self, weak_point: str, revision: str) -> Fit | None:
        return next((f for f in self.fits if f.weak_point == weak_point and revision in f.revisions), None)


# ---- the pack ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class CareShare:
    """How common a care is, and over what share of the undocumented distance the oil service is stretched."""

    prior: float
    stretched_share: float


@dataclass(frozen=True, slots=True)
class FixedAmounts:
    """The thresholds a publication may show, always on the pack's default rates."""

    amounts: tuple[float, ...]
    years: float
    distance_km: float


@dataclass(frozen=True, slots=True)
class Defaults:
    """What is assumed when a case is silent; each is stated in the answer."""

    currency: str
    labour_rate: float  # [currency / h, without tax]
    parts_index: float
    tax: float
    discount_rate: float  # real, per year
    annual_distance_km: float
    ownership_years: float
    budget_hours: float  # repair budget in labour hours per 3 years
    registration_lag_years: float
    scrap_value: float
    oil_service_km: float
    oil_service_years: float
    tune_base_rate: float
    parts_class: tuple[float, float, float]  # factor for economy, mid, premium
    hearsay: tuple[tuple[str, float], ...]  # observed_by -> power rho
    undocumented_renewal: float  # chance that a renewal without papers did happen
    care: tuple[CareShare, CareShare, CareShare]
    source: str


@dataclass(frozen=True, slots=True)
class TraitWord:
    """A word of the trait vocabulary with its values and how common each is where nothing is stated.

    A numeric trait has no values but a range low..high.
    """

    name: str
    values: tuple[str, ...]
    base_rates: tuple[float, ...]
    low: float
    high: float
    unit: str
    source: str


@dataclass(frozen=True, eq=False)
class Pack:
    """A knowledge pack, checked and complete. Compared by identity, so that it can key caches."""

    version: str
    digest: str
    note: str
    defaults: Defaults
    fixed: FixedAmounts
    sources: tuple[Source, ...]
    traits: tuple[TraitWord, ...]
    conditions: tuple[ConditionWord, ...]
    stress_conditions: tuple[ConditionWord, ...]
    weak_points: tuple[WeakPoint, ...]
    symptoms: tuple[Symptom, ...]
    set_ups: tuple[SetUp, ...]
    checks: tuple[Check, ...]
    access_steps: tuple[AccessStep, ...]
    operations: tuple[Operation, ...]
    families: tuple[Family, ...]
    figures: tuple[Figure, ...]

    @cached_property
    def _weak_points(self) -> dict[str, WeakPoint]:
        return {item.id: item for item in self.weak_points}

    @cached_property
    def _symptoms(self) -> dict[str, Symptom]:
        return {item.id: item for item in self.symptoms}

    @cached_property
    def _checks(self) -> dict[str, Check]:
        return {item.id: item for item in self.checks}

    @cached_property
    def _operations(self) -> dict[str, Operation]:
        return {item.id: item for item in self.operations}

    @cached_property
    def _access_steps(self) -> dict[str, AccessStep]:
        return {item.id: item for item in self.access_steps}

    @cached_property
    def _families(self) -> dict[str, Family]:
        return {item.id: item for item in self.families}

    @cached_property
    def _sources(self) -> dict[str, Source]:
        return {item.id: item for item in self.sources}

    def weak_point(self, identifier: str) -> WeakPoint:
        return _lookup("weak point", self._weak_points, identifier)

    def symptom(self, identifier: str) -> Symptom:
        return _lookup("symptom", self._symptoms, identifier)

    def check(self, identifier: str) -> Check:
        return _lookup("check", self._checks, identifier)

    def operation(self, identifier: str) -> Operation:
        return _lookup("operation", self._operations, identifier)

    def access_step(self, identifier: str) -> AccessStep:
        return _lookup("access step", self._access_steps, identifier)

    def family(self, identifier: str) -> Family:
        return _lookup("engine family", self._families, identifier)

    def source(self, identifier: str) -> Source:
        return _lookup("source", self._sources, identifier)

    def another_engines(self) -> Iterator[Operation]:
        """Operations that replace the whole engine: they cap every repair."""
        return (operation for operation in self.operations if operation.kind == "another_engine")


def _lookup(kind: str, table: dict[str, _T], identifier: str) -> _T:
    try:
        return table[identifier]
    except KeyError:
        raise NotFound(kind, identifier) from None
