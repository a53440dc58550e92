"""What the service history of a case says about the odometer, the oil, and each single weak point."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import prod

from riskapi.domain.case import Case, HistoryEntry
from riskapi.domain.knowledge import STATES, Pack, PartRevision, WeakPoint
from riskapi.domain.lane import PastLook, Supplies, ToldRenewal, on_sale
from riskapi.domain.timeline import Reading, years_between

DOCUMENTS = ("invoice", "stamp")
YOUNGEST = 0.05  # [years]: no car is computed as younger than this
JUST_NOW = 1e-3  # [years]: events are kept this far from the assessment
CLOSE = 0.05  # [years]: a look closer than this to today or to a told renewal says nothing of its own


@dataclass(frozen=True, slots=True)
class Events:
    """What is recorded of one weak point: the part running since `start` [years], and what came after.

    `run_km` and `run_years` are what that part had run before it was fitted (a used engine).
    """

    start: float
    part: int
    run_km: float = 0.0
    run_years: float = 0.0
    told: ToldRenewal | None = None
    never_renewed: bool = False


class History:
    """The history of a case on the car's own clock; `now` is its age at the assessment [years]."""

    def __init__(self, case: Case, pack: Pack, built: date) -> None:
        self.now = max(years_between(built, case.as_of), YOUNGEST)
        self._pack, self._built = pack, built
        self._entries = case.history

    def _t(self, entry: HistoryEntry) -> float:
        return min(max(years_between(self._built, entry.on), 0.0), self.now)

    def readings(self) -> list[Reading]:
        """Odometer readings between build date and today."""
        return [
            Reading(t, entry.odometer_km, entry.on.isoformat())
            for entry in self._entries
            if entry.odometer_km is not None and 0.0 < (t := self._t(entry)) < self.now
        ]

    def oil_services(self) -> list[float]:
        """Times [years] of documented oil services, and of another engine, which comes with fresh oil."""
        return [
            self._t(entry)
            for entry in self._entries
            if (entry.work == "oil_service" and entry.evidence in DOCUMENTS) or entry.work == "engine_replaced"
        ]

    def events(self, weak_point: WeakPoint, parts: tuple[PartRevision, ...], works: int, supplies: Supplies) -> Events:
        """What was recorded of a weak point whose part `works` left the works; `supplies` are what was on sale when."""
        found = Events(0.0, works)
        for entry in sorted(self._entries, key=lambda e: e.on):
            t = min(self._t(entry), self.now - JUST_NOW)
            if entry.work == "engine_replaced":
                found = self._other_engine(entry, t, works if entry.item == "used" else on_sale(supplies, t))
            elif entry.item != weak_point.id:
                continue
            elif entry.work in ("renewed", "failed"):
                found = self._renewed(found, entry, t, _fitted(entry, parts, supplies, t))
            elif entry.work == "never_renewed":
                found = replace(found, never_renewed=True)
        return replace(found, told=None) if found.never_renewed else found

    def _other_engine(self, entry: HistoryEntry, t: float, part: int) -> Events:
        """Another engine resets everything; a used one brings along what it has run, its age from its distance."""
        if entry.item != "used" or entry.engine_distance_km is None:
            return Events(t, part)
        years = entry.engine_distance_km / self._pack.defaults.annual_distance_km
        return Events(t, part, entry.engine_distance_km, years)

    def _renewed(self, before: Events, entry: HistoryEntry, t: float, part: int) -> Events:
        """A renewal with papers starts the life anew; one without is only told."""
        if entry.evidence in DOCUMENTS:
            return Events(t, part)
        if t > before.start:
            return replace(before, told=ToldRenewal(t, self._pack.defaults.undocumented_renewal, part))
        return before

    def look(self, weak_point: WeakPoint, events: Events, shows: Sequence[float]) -> PastLook | None:
        """The last past check of this weak point that found nothing (other results: see `usable_look`).

        `shows`: per effect of the weak point the chance that it applies to this engine.
        """
        found: PastLook | None = None
        for entry in self._entries:
            t = self._t(entry)
            if usable_look(entry, self._pack) and self._tells(t, events) and (found is None or t > found.t):
                seen = _clean(weak_point, self._pack.check(str(entry.item)).symptom, shows)
                found = found if seen is None else PastLook(t, seen)
        return found

    def _tells(self, t: float, events: Events) -> bool:
        apart = events.told is None or abs(t - events.told.t) >= CLOSE
        return events.start < t < self.now - CLOSE and apart


def _clean(weak_point: WeakPoint, symptom: str | None, shows: Sequence[float]) -> tuple[float, float, float] | None:
    """Chance per state that this weak point leaves the symptom at 'nothing'; None when it has no effect there."""
    mine = [(e, share) for e, share in zip(weak_point.effects, shows, strict=True) if e.symptom == symptom]
    if not any(share > 0.0 for _, share in mine):
        return None
    degraded, faulty = (prod(1.0 - share * getattr(e, state)[0] for e, share in mine) for state in STATES[1:])
    return 1.0, degraded, faulty


def usable_look(entry: HistoryEntry, pack: Pack) -> bool:
    """A past check enters exactly when it read 'nothing' perfectly: then every parent has its own factor."""
    if entry.work != "checked" or entry.item is None or entry.result is None:
        return False
    check = pack.check(entry.item)
    if check.symptom is None or pack.symptom(check.symptom).zone is not None:
        return False
    return check.result_index(entry.result) == 0 and all(row[0] == 0.0 for row in check.table[1:])


def _fitted(entry: HistoryEntry, parts: tuple[PartRevision, ...], supplies: Supplies, t: float) -> int:
    """The part named in the entry, else the one on sale then."""
    named = next((i for i, part in enumerate(parts) if part.id == entry.part), None)
    return named if named is not None else on_sale(supplies, t)
