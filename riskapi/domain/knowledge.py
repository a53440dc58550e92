"""The knowledge pack as frozen records.

Units are fixed here once: distance [km], age and delay [years], work [h], checks [min], money [pack
currency], chances [0..1], Weibull shape and factors [1]. The catalogue converts whatever a file says.
Every record carries `source`, the id of a `Source`; `Pack.figures` lists every single number read,
with its place, for readers who want to see where a figure comes from.

States are always in the order SOUND, DEGRADED, FAULTY = 0, 1, 2.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TypeVar

from riskapi.domain.knowledge_checks import (
    PLACES,
    Check,
    CheckResult,
    ConditionWord,
    Measure,
    RunDown,
    SetUp,
    Symptom,
    VisitWord,
    VisitWords,
)
from riskapi.domain.knowledge_engines import (
    AccessStep,
    Family,
    Fit,
    Generation,
    Operation,
    PartPrice,
    PlannedService,
    Revision,
    SerialRange,
    ServiceInterval,
    SpecialTool,
    Supply,
)
from riskapi.domain.knowledge_failures import (
    Effect,
    LifeMode,
    OutcomeRow,
    OutcomeTable,
    PartRevision,
    PlannedInterval,
    Raise,
    Stress,
    WeakPoint,
    Weibull,
)
from riskapi.domain.knowledge_words import (
    CARES,
    CONSENTS,
    DEGRADED,
    EQUIPMENT,
    FAULTY,
    HAZARDS,
    INSTALLATIONS,
    PARTS_CLASSES,
    SOUND,
    STATES,
    WARNINGS,
    Figure,
    Source,
    Traits,
    TraitValue,
    TraitWord,
    When,
)
from riskapi.errors import NotFound

__all__ = [
    "CARES",
    "CONSENTS",
    "DEGRADED",
    "EQUIPMENT",
    "FAULTY",
    "HAZARDS",
    "INSTALLATIONS",
    "PARTS_CLASSES",
    "PLACES",
    "SOUND",
    "STATES",
    "WARNINGS",
    "AccessStep",
    "CareShare",
    "Check",
    "CheckResult",
    "ConditionWord",
    "Defaults",
    "Effect",
    "Family",
    "Figure",
    "Fit",
    "FixedAmounts",
    "Generation",
    "LifeMode",
    "Measure",
    "Operation",
    "OutcomeRow",
    "OutcomeTable",
    "Pack",
    "PartPrice",
    "PartRevision",
    "PlannedInterval",
    "PlannedService",
    "Raise",
    "Revision",
    "RunDown",
    "SerialRange",
    "ServiceInterval",
    "SetUp",
    "Source",
    "SpecialTool",
    "Stress",
    "Supply",
    "Symptom",
    "TraitValue",
    "TraitWord",
    "Traits",
    "VisitWord",
    "VisitWords",
    "WeakPoint",
    "Weibull",
    "When",
]

_T = TypeVar("_T")


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
    special_tools: tuple[SpecialTool, ...] = ()
    visit: VisitWords = field(default_factory=VisitWords)
    languages: Mapping[str, Mapping[str, str]] = field(default_factory=dict)  # language -> English text -> text

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

    def special_tool(self, identifier: str) -> SpecialTool:
        return _lookup("special tool", {tool.id: tool for tool in self.special_tools}, identifier)

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
