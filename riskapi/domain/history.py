"""What the service history of a case says about the odometer, the oil, and each single weak point."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date

from riskapi.domain.case import Case, HistoryEntry
from riskapi.domain.knowledge import Pack, PartRevision, WeakPoint
from riskapi.domain.lane import Supplies, ToldRenewal, on_sale
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

    def t(self, entry: HistoryEntry) -> float:
        """When an entry was made [years since build], between 0 and now."""
        return min(max(years_between(self._built, entry.on), 0.0), self.now)

    def readings(self) -> list[Reading]:
        """Odometer readings between build date and today."""
        return [
            Reading(t, entry.odometer_km, entry.on.isoformat())
            for entry in self._entries
            if entry.odometer_km is not None and 0.0 < (t := self.t(entry)) < self.now
        ]

    def oil_services(self) -> list[float]:
        """Times [years] of documented oil services, and of another engine, which comes with fresh oil."""
        return [
            self.t(entry)
            for entry in self._entries
            if (entry.work == "oil_service" and entry.evidence in DOCUMENTS) or entry.work == "engine_replaced"
        ]

    def events(self, weak_point: WeakPoint, parts: tuple[PartRevision, ...], works: int, supplies: Supplies) -> Events:
        """What was recorded of a weak point whose part `works` left the works; `supplies` are what was on sale when."""
        found = Events(0.0, works)
        for entry in sorted(self._entries, key=lambda e: e.on):
            t = min(self.t(entry), self.now - JUST_NOW)
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


def _fitted(entry: HistoryEntry, parts: tuple[PartRevision, ...], supplies: Supplies, t: float) -> int:
    """The part named in the entry, else the one on sale then."""
    named = next((i for i, part in enumerate(parts) if part.id == entry.part), None)
    return named if named is not None else on_sale(supplies, t)
