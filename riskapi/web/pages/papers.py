"""What the papers of a car can name: its weak points by system, each with the part revisions it can have been given."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from riskapi.domain.case import EVIDENCE
from riskapi.domain.knowledge import Family, Pack, Traits, WeakPoint
from riskapi.intake.schemas import ENGINES

FIRST_WORKS = ("oil_service", "renewed", "failed")  # a button each
MORE_WORKS = ("reading", "checked", "never_renewed", "engine_replaced")
SHOWN_BY = tuple(word for word in EVIDENCE if word != "none")
FITTED = ENGINES


@dataclass(frozen=True, slots=True)
class Item:
    """A weak point that a line can be about; `parts` are (id, name) of its part revisions, where there is a choice."""

    id: str
    name: str
    parts: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class System:
    """The weak points of one system."""

    name: str
    items: tuple[Item, ...]


def systems_of(pack: Pack, engines: Sequence[Traits], family: Family | None) -> tuple[System, ...]:
    """What a line of this car's history can be about, in alphabetical order."""
    can_be = [wp for wp in pack.weak_points if any(wp.applies.holds(traits) is not False for traits in engines)]
    ordered = sorted(can_be, key=lambda wp: (wp.system, wp.name))
    return tuple(
        System(name, tuple(Item(wp.id, wp.name, _parts(wp, family)) for wp in found))
        for name, found in groupby(ordered, key=lambda wp: wp.system)
    )


def _parts(wp: WeakPoint, family: Family | None) -> tuple[tuple[str, str], ...]:
    """The part revisions that the family names for a weak point; none where there is nothing to choose."""
    fits = [fit for fit in family.fits if fit.weak_point == wp.id] if family is not None else []
    named = dict.fromkeys(part for fit in fits for part in (fit.works, *(supply.part for supply in fit.supplies)))
    return tuple((part, wp.part(part).name) for part in named) if len(named) > 1 else ()
