"""Repairs with their access, and engine families with their generations, revisions and services."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from riskapi.domain.knowledge_words import Traits
from riskapi.errors import NotFound

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
class SpecialTool:
    """A tool that not every workshop has to hand; `purpose`: what it is for, in one line."""

    id: str
    name: str
    purpose: str
    source: str


@dataclass(frozen=True, slots=True)
class Operation:
    """A repair. kind: repair | service | another_engine; `special_tools`: what it needs, its access included."""

    id: str
    name: str
    kind: str
    parts: tuple[PartPrice, ...]
    hours: float
    access: tuple[str, ...]
    follow_on: tuple[str, ...]
    cautions: tuple[str, ...]
    source: str
    special_tools: tuple[str, ...] = ()


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
class ServiceInterval:
    """Due at `distance_km` or at `age_years`, whichever comes first."""

    distance_km: float
    age_years: float
    source: str


@dataclass(frozen=True, slots=True)
class PlannedService:
    """Service at the maker's interval, whatever the state of the engine; `careful` is that of careful practice.

    `oil` marks the family's oil service, whose stretching the engine does not forgive.
    """

    id: str
    name: str
    operation: str
    distance_km: float | None
    age_years: float | None
    source: str
    careful: ServiceInterval | None = None
    oil: bool = False


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
