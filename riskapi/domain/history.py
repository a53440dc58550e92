"""What the service history of a case says about the odometer, the oil, and each single weak point."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date
from functools import partial

from riskapi.domain.case import Case, HistoryEntry
from riskapi.domain.knowledge import Pack, PartRevision, WeakPoint
from riskapi.domain.lane import Supplies, ToldRenewal, on_sale
from riskapi.domain.recorded import CLOSE, Ending, Events, Record, after_failure, copy_failed
from riskapi.domain.sentence import told
from riskapi.domain.timeline import Reading, years_between

DOCUMENTS = ("invoice", "stamp")
OF_A_PART = ("renewed", "failed", "never_renewed")
YOUNGEST = 0.05  # [years]: no car is computed as younger than this
JUST_NOW = 1e-3  # [years]: events are kept this far from the assessment
MOST_APART = 3  # failures that are told apart by copy; of more the last ones


class History:
    """The history of a case on the car's own clock; `now` is its age at the assessment [years]."""

    def __init__(self, case: Case, pack: Pack, built: date) -> None:
        self.now = max(years_between(built, case.as_of), YOUNGEST)
        self._pack, self._built = pack, built
        self._entries = case.history
        self._failed_points = {entry.item for entry in case.history if entry.work == "failed"}

    def t(self, entry: HistoryEntry) -> float:
        """When an entry was made [years since build], between 0 and now."""
        return min(max(years_between(self._built, entry.on), 0.0), self.now)

    def readings(self) -> list[Reading]:
        """Odometer readings between build date and today."""
        return [
            Reading(t, entry.odometer_km, told("{day}", day=entry.on))
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

    def records(
        self, weak_point: WeakPoint, parts: tuple[PartRevision, ...], works: int, supplies: Supplies, copies: int = 1
    ) -> tuple[Record, ...]:
        """The ways in which what was recorded of a weak point can have happened; their chances sum to 1.

        `works`: the part that left the works, `supplies`: what was on sale when.
        """
        ways = [Record(1.0, (), Events(0.0, works))]
        for entry in self._about(weak_point, copies):
            t = min(self.t(entry), self.now - JUST_NOW)
            part = _fitted(entry, parts, supplies, t)
            if entry.work == "failed":
                ways = [after for way in ways for after in self._failed(way, entry, t, part, copies)]
            elif entry.work == "engine_replaced":
                other = works if entry.item == "used" else on_sale(supplies, t)
                ways = [way.each(partial(self._other_engine, entry=entry, t=t, part=other)) for way in ways]
            elif entry.work == "renewed":
                ways = [way.each(partial(self._renewed, entry=entry, t=t, part=part)) for way in ways]
            else:
                ways = [way.each(partial(replace, never_renewed=True)) for way in _without_told(ways)]
        return tuple(way.each(_settled) for way in ways)

    def has_failed(self, weak_point: WeakPoint) -> bool:
        """Whether a failure of this weak point is recorded."""
        return weak_point.id in self._failed_points

    def missing(self, weak_point: WeakPoint) -> float:
        """Likelihood of the recorded failures for an engine that has no such part: 0, or that of a tale."""
        failures = [e for e in self._entries if e.work == "failed" and e.item == weak_point.id]
        if any(entry.evidence in DOCUMENTS for entry in failures):
            return 0.0
        return 1.0 - self._pack.defaults.undocumented_renewal if failures else 1.0

    def _about(self, weak_point: WeakPoint, copies: int) -> list[HistoryEntry]:
        """Entries about a weak point and about another engine, in order; failures that say something of their own."""
        entries = sorted(self._entries, key=lambda e: (e.on, e.work != "failed"))
        mine = [e for e in entries if e.work == "engine_replaced" or (e.item == weak_point.id and e.work in OF_A_PART)]
        failures = [e for e in mine if e.work == "failed"]
        telling = self._telling(failures, copies)
        said_twice = {id(e) for e in failures} - {id(e) for e in telling}
        return [e for e in mine if id(e) not in said_twice and not self._same_tale(e, telling)]

    def _telling(self, failures: Sequence[HistoryEntry], copies: int) -> list[HistoryEntry]:
        """All with papers that are not of one event, and the last one that is only told."""
        kept: list[HistoryEntry] = []
        for entry in sorted(failures, key=lambda e: e.evidence not in DOCUMENTS):
            if all(abs(self.t(entry) - self.t(other)) >= CLOSE for other in kept):
                kept.append(entry)
        tales = [e for e in kept if e.evidence not in DOCUMENTS]
        kept = sorted([*(e for e in kept if e.evidence in DOCUMENTS), *tales[-1:]], key=lambda e: e.on)
        return kept[-MOST_APART:] if copies > 1 else kept

    def _same_tale(self, entry: HistoryEntry, failures: Sequence[HistoryEntry]) -> bool:
        """A renewal that is only told of when a failure was recorded is the repair of that failure."""
        if entry.work != "renewed" or entry.evidence in DOCUMENTS:
            return False
        return any(abs(self.t(entry) - self.t(failure)) < CLOSE for failure in failures)

    def _other_engine(self, before: Events, entry: HistoryEntry, t: float, part: int) -> Events:
        """Another engine resets everything; a used one brings along what it has run, its age from its distance.

        What the engine before it went through still tells of the care and of the engine that the car was built with.
        """
        ending = Ending(_settled(before), t, entry.work, False, entry.pointer)
        if entry.item != "used" or entry.engine_distance_km is None:
            return Events(t, part, before=ending)
        years = entry.engine_distance_km / self._pack.defaults.annual_distance_km
        return Events(t, part, entry.engine_distance_km, years, before=ending)

    def _renewed(self, before: Events, entry: HistoryEntry, t: float, part: int) -> Events:
        """A renewal with papers starts the life anew; one without is only told."""
        if entry.evidence in DOCUMENTS:
            return Events(t, part, before=Ending(_settled(before), t, entry.work, False, entry.pointer))
        if t > before.start:
            return replace(before, told=ToldRenewal(t, self._pack.defaults.undocumented_renewal, part))
        return before

    def _failed(self, way: Record, entry: HistoryEntry, t: float, part: int, copies: int) -> Iterator[Record]:
        """A failure, after which the part was renewed; one without papers may be made up."""
        told = entry.evidence not in DOCUMENTS
        chance = self._pack.defaults.undocumented_renewal if told else 1.0
        if told:
            yield replace(way, weight=way.weight * (1.0 - chance))
        yield from copy_failed(
            replace(way, weight=way.weight * chance),
            copies,
            lambda life: after_failure(life, Ending(_settled(life), t, entry.work, told, entry.pointer), part),
        )


def _fitted(entry: HistoryEntry, parts: tuple[PartRevision, ...], supplies: Supplies, t: float) -> int:
    """The part named in the entry, else the one on sale then."""
    named = next((i for i, part in enumerate(parts) if part.id == entry.part), None)
    return named if named is not None else on_sale(supplies, t)


def _settled(life: Events) -> Events:
    """What was never renewed was not renewed as told."""
    return replace(life, told=None) if life.never_renewed else life


def _without_told(ways: Sequence[Record]) -> list[Record]:
    """What was never renewed did not fail as told."""
    left = [way for way in ways if not way.told_last]
    total = sum(way.weight for way in left)
    return [replace(way, weight=way.weight / total) for way in left]
