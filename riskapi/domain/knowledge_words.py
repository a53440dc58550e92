"""Words of the knowledge pack that its other records are made of: traits and conditions on them, sources, figures."""

from __future__ import annotations

from dataclasses import dataclass

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
