"""Which checks show a weak point: how often a check tells something else than its best result, with and without it.

Everything else about the engine is taken as sound, so these are figures of the check for one weak point. They rank
what to look at; they are no posterior.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from riskapi.domain.evidence import SymptomTables, symptom_tables
from riskapi.domain.knowledge import Check, Pack, Traits, WeakPoint
from riskapi.domain.timeline import Floats

STRONG = 0.25  # by how much the chances of an unusual result must differ; judgement


@dataclass(frozen=True, slots=True)
class Showing:
    """A check of one weak point: chance of an unusual result while it is not sound, and while all is sound."""

    check: str
    name: str
    if_not_sound: float
    if_sound: float

    @property
    def power(self) -> float:
        """By how much the weak point lifts the chance of an unusual result [0..1]."""
        return self.if_not_sound - self.if_sound


def strong_showings(
    pack: Pack, weak_points: Sequence[WeakPoint], traits: Traits, states: Floats
) -> tuple[tuple[Showing, ...], ...]:
    """Per weak point the checks that show it strongly, best first; `states` (W, 3) weigh degraded against faulty."""
    return showings_by(pack, symptom_tables(pack, weak_points, traits), range(len(weak_points)), states)


def showings_by(
    pack: Pack, tables: Mapping[str, SymptomTables], wanted: Sequence[int], states: Floats
) -> tuple[tuple[Showing, ...], ...]:
    """The same for the weak points at these indices, by symptom tables that are at hand."""
    readers = [(check, tables[check.symptom]) for check in pack.checks if check.symptom is not None]
    return tuple(_strong(readers, w, _shares(states[w])) for w in wanted)


def _strong(readers: Sequence[tuple[Check, SymptomTables]], w: int, shares: Floats) -> tuple[Showing, ...]:
    showings = [_showing(check, table, w, shares) for check, table in readers if w in table.parents]
    strong = (showing for showing in showings if showing.power >= STRONG)
    return tuple(sorted(strong, key=lambda s: (-s.power, s.check)))


def _shares(state: Floats) -> Floats:
    """Shares of degraded and faulty among what is not sound, (2,); equal when nothing is."""
    bad = state[1:]
    return np.asarray(bad / bad.sum()) if bad.sum() > 0.0 else np.array([0.5, 0.5])


def _showing(check: Check, table: SymptomTables, w: int, shares: Floats) -> Showing:
    best = np.array(check.table)[:, 0]
    unusual = 1.0 - np.diff(table.background * table.parents[w], axis=1, prepend=0.0) @ best
    return Showing(check.id, check.name, float(shares @ unusual[1:]), float(unusual[0]))


@dataclass(frozen=True, slots=True)
class Look:
    """A check worth doing: what it shows, and how much (power times the chance of not being sound, summed)."""

    check: str
    name: str
    minutes: float
    worth: float
    shows: tuple[str, ...]


def looks_at(pack: Pack, showings: Mapping[str, Sequence[Showing]], not_sound: Mapping[str, float]) -> tuple[Look, ...]:
    """The checks that show some weak point strongly, best first; `not_sound` is the chance per weak point."""
    looks = []
    for check in pack.checks:
        worth = {
            weak_point: showing.power * not_sound[weak_point]
            for weak_point, found in showings.items()
            for showing in found
            if showing.check == check.id
        }
        shows = sorted(worth, key=lambda weak_point: (-worth[weak_point], weak_point))
        if shows:
            looks.append(Look(check.id, check.name, check.minutes, sum(worth.values()), tuple(shows)))
    return tuple(sorted(looks, key=lambda look: (-look.worth, look.check)))
