"""From a case to lanes: per root combination and weak point, which parts, history and stress it has lived with.

Equal lanes are built once: an index says which lanes, with which weights, make up a weak point under a
combination of roots (several where an unstated trait decides the part; weights below 1 in sum where it decides
whether the weak point exists at all).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from riskapi.domain.case import Case, HistoryEntry
from riskapi.domain.identify import Candidate, EngineIdentity, chance, settled
from riskapi.domain.knowledge import CARES, Pack, PartRevision, Traits, WeakPoint
from riskapi.domain.renewal import Lane, PastLook, ToldRenewal
from riskapi.domain.stress import DOCUMENTS, TUNE, OilHistory, oil_history, spans_of
from riskapi.domain.timeline import Clocks, Reading, Timeline, build_timeline, effective_clocks, years_between

DEFAULT_CYLINDERS = 4


@dataclass(frozen=True, slots=True)
class Root:
    """One combination of what is unknown about the whole car, with its chance before findings and history."""

    candidate: int
    care: int
    tuned: bool
    weight: float


@dataclass(frozen=True, slots=True)
class Mix:
    """A weak point under one root combination: lanes with weights, and how often each part has to be counted."""

    lanes: tuple[tuple[int, float], ...]
    copies: int


@dataclass(frozen=True, slots=True)
class LaneSet:
    lanes: tuple[Lane, ...]
    roots: tuple[Root, ...]
    weak_points: tuple[WeakPoint, ...]
    mixes: tuple[tuple[Mix, ...], ...]  # [root][weak point]
    timeline: Timeline


def lane_set(case: Case, pack: Pack, identity: EngineIdentity, annual: float, years: float) -> LaneSet:
    """All lanes of a case for a buyer who drives `annual` [km/year] for `years`."""
    builder = _Builder(case, pack, identity, annual, years)
    weak_points = tuple(
        wp for wp in pack.weak_points if any(chance(wp.applies, c.traits, pack) > 0.0 for c in identity.candidates)
    )
    roots = root_combinations(case, pack, identity, weak_points)
    mixes = tuple(tuple(builder.mix(wp, root) for wp in weak_points) for root in roots)
    return LaneSet(tuple(builder.lanes), roots, weak_points, mixes, builder.timeline)


def root_combinations(
    case: Case, pack: Pack, identity: EngineIdentity, weak_points: Sequence[WeakPoint]
) -> tuple[Root, ...]:
    """Revision x care x tune, row-major; tune is a root only when it is unknown and some weak point feels it."""
    felt = any(stress.condition == TUNE for wp in weak_points for stress in wp.stresses)
    base = pack.defaults.tune_base_rate
    stated = case.vehicle.software_tune
    tunes = [(stated == "yes", 1.0)] if stated != "unknown" or not felt else [(False, 1.0 - base), (True, base)]
    cares = [(index, share.prior) for index, share in enumerate(pack.defaults.care)]
    return tuple(
        Root(i, care, tuned, candidate.weight * prior * rate)
        for (i, candidate), (care, prior), (tuned, rate) in product(enumerate(identity.candidates), cares, tunes)
    )


class _Builder:
    def __init__(self, case: Case, pack: Pack, identity: EngineIdentity, annual: float, years: float) -> None:
        self.case, self.pack, self.identity = case, pack, identity
        now = max(years_between(identity.built, case.as_of), 0.05)
        readings = [
            Reading(t, entry.odometer_km, entry.on.isoformat())
            for entry in case.history
            if entry.odometer_km is not None and 0.0 < (t := self._t(entry, now)) < now
        ]
        self.timeline = build_timeline(readings, now, case.vehicle.odometer_km, annual, years)
        services = [
            (self._t(entry, now), entry.odometer_km if not entry.doubtful else None)
            for entry in case.history
            if (entry.work == "oil_service" and entry.evidence in DOCUMENTS) or entry.work == "engine_replaced"
        ]
        self.oil: OilHistory = oil_history(case, pack, self.timeline, services)
        self.lanes: list[Lane] = []
        self._known: dict[tuple[object, ...], int] = {}
        self._clocks: dict[tuple[object, ...], Clocks] = {}

    def _t(self, entry: HistoryEntry, now: float) -> float:
        return min(max(years_between(self.identity.built, entry.on), 0.0), now)

    def mix(self, wp: WeakPoint, root: Root) -> Mix:
        candidate = self.identity.candidates[root.candidate]
        present = chance(wp.applies, candidate.traits, self.pack)
        traits = settled(wp.applies, candidate.traits)
        copies = wp.copies if isinstance(wp.copies, int) else int(float(traits.get("cylinders") or DEFAULT_CYLINDERS))
        variants = self._variants(wp, candidate, traits) if present > 0.0 else []
        lanes = tuple((self._lane(wp, root, *variant), present * weight) for weight, *variant in variants)
        return Mix(tuple((lane, weight) for lane, weight in lanes if weight > 0.0), copies)

    def _variants(
        self, wp: WeakPoint, candidate: Candidate, traits: Traits
    ) -> list[tuple[float, PartRevision, tuple[tuple[float, PartRevision], ...]]]:
        """(weight, part as built, supplies): one by the family's fit, else the catalogue's parts by trait."""
        fit = None
        if candidate.revision is not None and self.identity.family is not None:
            fit = self.identity.family.fit(wp.id, candidate.revision.id)
        if fit is not None:
            since = [(years_between(self.identity.built, s.since), wp.part(s.part)) for s in fit.supplies]
            works = wp.part(fit.works)
            return [(1.0, works, tuple(since) or ((0.0, works),))]
        left, found = 1.0, []
        for part in wp.parts:
            weight = left * chance(part.when, traits, self.pack)
            if weight > 0.0:
                found.append((weight, part, ((0.0, part),)))
                left -= weight
        return found

    def _lane(
        self, wp: WeakPoint, root: Root, works: PartRevision, supplies: tuple[tuple[float, PartRevision], ...]
    ) -> int:
        parts = tuple(dict.fromkeys([works, *(part for _, part in supplies)]))
        spans = spans_of(wp, self.case, self.pack, self.oil, CARES[root.care], root.tuned, self.timeline.now)
        kept = max((part.planned.kept[root.care] for part in parts if part.planned), default=0.0)
        key = (wp.id, works.id, tuple((t, part.id) for t, part in supplies), spans, kept)
        if key not in self._known:
            if spans not in self._clocks:
                self._clocks[spans] = effective_clocks(self.timeline, spans)
            clocks = self._clocks[spans]
            index = tuple((max(t, -1.0e3), parts.index(part)) for t, part in supplies)
            self.lanes.append(self._build(wp, parts, parts.index(works), index, clocks, kept))
            self._known[key] = len(self.lanes) - 1
        return self._known[key]

    def _build(
        self,
        wp: WeakPoint,
        parts: tuple[PartRevision, ...],
        works: int,
        supplies: tuple[tuple[float, int], ...],
        clocks: Clocks,
        kept: float,
    ) -> Lane:
        now = self.timeline.now
        start, part, run_km, run_years, told, never = self._events(wp, parts, works, supplies)
        edges = [float(t) for t in clocks.t if start < t < now]
        return Lane(
            timeline=self.timeline,
            clocks=clocks,
            parts=parts,
            start=start,
            start_part=part,
            run_y=run_km,
            run_z=run_years,
            supplies=supplies,
            told=told,
            look=self._look(wp, start, told),
            never_renewed=never,
            delay=wp.repair_delay_years,
            left=wp.left_unrepaired,
            pf_y=wp.pf_km,
            pf_z=wp.pf_years,
            kept=0.0 if never else kept,
            kinks=tuple(edges),
        )

    def _events(
        self, wp: WeakPoint, parts: tuple[PartRevision, ...], works: int, supplies: tuple[tuple[float, int], ...]
    ) -> tuple[float, int, float, float, ToldRenewal | None, bool]:
        """Start of the recursion with its part, what that part had run before, a told renewal, 'never renewed'."""
        start, part, run_km, run_years, never = 0.0, works, 0.0, 0.0, False
        told: ToldRenewal | None = None
        latest = self.timeline.now - 1e-3
        for entry in sorted(self.case.history, key=lambda e: e.on):
            t = min(self._t(entry, self.timeline.now), latest)
            if entry.work == "engine_replaced":
                start, told, never = t, None, False
                run_km, run_years = self._run_before(entry)
                part = works if entry.item == "used" else _on_sale(supplies, t)
            elif entry.work in ("renewed", "failed") and entry.item == wp.id:
                fitted = self._fitted(entry, parts, supplies, t)
                if entry.evidence in DOCUMENTS:
                    start, part, run_km, run_years, told, never = t, fitted, 0.0, 0.0, None, False
                elif t > start:
                    told = ToldRenewal(t, self.pack.defaults.undocumented_renewal, fitted)
            elif entry.work == "never_renewed" and entry.item == wp.id:
                never = True
        return start, part, run_km, run_years, None if never else told, never

    def _run_before(self, entry: HistoryEntry) -> tuple[float, float]:
        if entry.item != "used" or entry.engine_distance_km is None:
            return 0.0, 0.0
        return entry.engine_distance_km, entry.engine_distance_km / self.pack.defaults.annual_distance_km

    @staticmethod
    def _fitted(
        entry: HistoryEntry, parts: tuple[PartRevision, ...], supplies: tuple[tuple[float, int], ...], t: float
    ) -> int:
        named = next((i for i, part in enumerate(parts) if part.id == entry.part), None)
        return named if named is not None else _on_sale(supplies, t)

    def _look(self, wp: WeakPoint, start: float, told: ToldRenewal | None) -> PastLook | None:
        """The last past check of this weak point that found nothing (other results: see `unused_history`)."""
        look: PastLook | None = None
        for entry in self.case.history:
            t = self._t(entry, self.timeline.now)
            if not usable_look(entry, self.pack) or not start < t < self.timeline.now - 0.05:
                continue
            if told is not None and abs(t - told.t) < 0.05:
                continue
            symptom = self.pack.check(str(entry.item)).symptom
            effect = next((e for e in wp.effects if e.symptom == symptom), None)
            if effect is not None and (look is None or t > look.t):
                look = PastLook(t, (1.0, 1.0 - effect.degraded[0], 1.0 - effect.faulty[0]))
        return look


def usable_look(entry: HistoryEntry, pack: Pack) -> bool:
    """A past check enters exactly when it read 'nothing' perfectly: then every parent has its own factor."""
    if entry.work != "checked" or entry.item is None or entry.result is None:
        return False
    check = pack.check(entry.item)
    if check.symptom is None or pack.symptom(check.symptom).zone is not None:
        return False
    return check.result_index(entry.result) == 0 and all(row[0] == 0.0 for row in check.table[1:])


def _on_sale(supplies: tuple[tuple[float, int], ...], t: float) -> int:
    current = supplies[0][1]
    for since, part in supplies:
        if since <= t:
            current = part
    return current
