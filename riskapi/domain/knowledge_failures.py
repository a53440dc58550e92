"""Weak points of the knowledge pack: how parts live, what a failure leads to, where it shows."""

from __future__ import annotations

from dataclasses import dataclass

from riskapi.domain.knowledge_words import When
from riskapi.errors import NotFound


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
