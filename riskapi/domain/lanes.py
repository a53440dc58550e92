"""From a case to lanes: per root combination and weak point, which parts, history and stress it has lived with.

Equal lanes are built once: an index says which lanes, with which weights, make up a weak point under a
combination of roots (several where an unstated trait decides the part; weights below 1 in sum where it decides
whether the weak point exists at all).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import prod

from riskapi.domain.case import Case
from riskapi.domain.history import History
from riskapi.domain.identify import Candidate, EngineIdentity
from riskapi.domain.knowledge import Family, Pack, PartRevision, WeakPoint
from riskapi.domain.lane import Lane, PastLook
from riskapi.domain.recorded import Events
from riskapi.domain.recorded_lanes import lane_of
from riskapi.domain.roots import Root, root_combinations
from riskapi.domain.stress import Use, oil_interval, spans_of, undocumented_stretches
from riskapi.domain.timeline import Clocks, Span, Timeline, build_timeline, effective_clocks, years_between
from riskapi.domain.traits import chance, completions, settled

DEFAULT_CYLINDERS = 4
ALWAYS = -1.0e3  # [years since build]: earlier than any engine


@dataclass(frozen=True, slots=True)
class Mix:
    """A weak point under one root combination: lanes with weights, and how often each part has to be counted."""

    lanes: tuple[tuple[int, float], ...]
    copies: int


@dataclass(frozen=True, slots=True)
class LaneSet:
    """All lanes of a case, the candidates and roots they stand under, and which lanes make up which weak point."""

    lanes: tuple[Lane, ...]
    candidates: tuple[Candidate, ...]
    roots: tuple[Root, ...]
    weak_points: tuple[WeakPoint, ...]
    mixes: tuple[tuple[Mix, ...], ...]  # [root][weak point]
    timeline: Timeline


@dataclass(frozen=True, slots=True)
class _Fitting:
    """A part as built, and what was on sale since when [years since build]; `weight`: chance that it is this one."""

    weight: float
    works: PartRevision
    supplies: tuple[tuple[float, PartRevision], ...]


@dataclass(frozen=True, slots=True)
class _Kind:
    """A weak point on one candidate engine: copies, the chance that each effect applies, and what was fitted."""

    copies: int
    shows: tuple[float, ...]
    fittings: tuple[_Fitting, ...]


def lane_set(
    case: Case, pack: Pack, identity: EngineIdentity, annual: float, years: float, care: int | None = None
) -> LaneSet:
    """All lanes of a case for a buyer who drives `annual` [km/year] for `years`; under one care if one is named."""
    builder = _Builder(case, pack, identity, annual, years)
    weak_points = tuple(
        wp for wp in pack.weak_points if any(chance(wp.applies, c.traits, pack) > 0.0 for c in identity.candidates)
    )
    every = root_combinations(case, pack, identity.candidates, weak_points)
    mine = tuple(root for root in every if care is None or root.care == care)
    mixes = tuple(tuple(builder.mix(wp, root) for wp in weak_points) for root in mine)
    roots = builder.with_what_failed(mine, weak_points, mixes)
    return LaneSet(tuple(builder.lanes), identity.candidates, roots, weak_points, mixes, builder.timeline)


class _Builder:
    """Collects the lanes of one case; equal ones once."""

    def __init__(self, case: Case, pack: Pack, identity: EngineIdentity, annual: float, years: float) -> None:
        self.pack, self.identity = pack, identity
        self.history = History(case, pack, identity.built)
        now, vehicle = self.history.now, case.vehicle
        self.timeline = build_timeline(self.history.readings(), now, vehicle.odometer_km, annual, years)
        interval = oil_interval(pack, identity.family)
        gaps = undocumented_stretches(self.history.oil_services(), self.timeline, interval)
        self.use = Use(case.usage, gaps, pack.defaults.care, now)
        self.lanes: list[Lane] = []
        self._known: dict[tuple[object, ...], tuple[tuple[int, float], ...]] = {}
        self._kinds: dict[tuple[str, int], _Kind] = {}
        self._clocks: dict[tuple[Span, ...], Clocks] = {}

    def mix(self, wp: WeakPoint, root: Root) -> Mix:
        """The lanes of a weak point under a root combination."""
        key = (wp.id, root.candidate)
        if key not in self._kinds:
            self._kinds[key] = self._kind(wp, self.identity.candidates[root.candidate])
        kind = self._kinds[key]
        return Mix(tuple(pair for f in kind.fittings for pair in self._lanes(wp, root, f, kind)), kind.copies)

    def with_what_failed(
        self, roots: tuple[Root, ...], weak_points: Sequence[WeakPoint], mixes: Sequence[Sequence[Mix]]
    ) -> tuple[Root, ...]:
        """The roots without those under which the engine has no such part as a recorded failure is about."""
        missing = {w: self.history.missing(wp) for w, wp in enumerate(weak_points) if self.history.has_failed(wp)}
        if not missing:
            return roots
        likely = [prod(x for w, x in missing.items() if not row[w].lanes) for row in mixes]
        total = sum(root.weight * x for root, x in zip(roots, likely, strict=True))
        if not total > 0.0:
            return roots
        return tuple(replace(r, weight=r.weight * x / total) for r, x in zip(roots, likely, strict=True))

    def _kind(self, wp: WeakPoint, candidate: Candidate) -> _Kind:
        traits = settled(wp.applies, candidate.traits)
        copies = wp.copies if isinstance(wp.copies, int) else int(float(traits.get("cylinders") or DEFAULT_CYLINDERS))
        shows = tuple(chance(effect.when, traits, self.pack) for effect in wp.effects)
        return _Kind(copies, shows, tuple(self._fittings(wp, candidate)))

    def _fittings(self, wp: WeakPoint, candidate: Candidate) -> Iterator[_Fitting]:
        """One by the family's fit, else the catalogue's parts by trait: the first that goes with the traits.

        Unstated traits are filled in together, so that parts that exclude each other leave no gap between them.
        """
        family = self.identity.family
        if family is not None and candidate.revision is not None:
            fitted = _by_family(wp, family, candidate.revision.id, self.identity)
            if fitted is not None:
                yield replace(fitted, weight=chance(wp.applies, candidate.traits, self.pack))
                return
        weights: dict[str, float] = {}
        for share, traits in completions([wp.applies, *(p.when for p in wp.parts)], candidate.traits, self.pack):
            first = next((p for p in wp.parts if chance(p.when, traits, self.pack) > 0.0), None)
            if first is not None and chance(wp.applies, traits, self.pack) > 0.0:
                weights[first.id] = weights.get(first.id, 0.0) + share
        for name, weight in weights.items():
            if weight > 0.0:
                yield _Fitting(weight, wp.part(name), ((0.0, wp.part(name)),))

    def _lanes(self, wp: WeakPoint, root: Root, fitting: _Fitting, kind: _Kind) -> tuple[tuple[int, float], ...]:
        """Indices and weights of its lanes, built when they are the first of their kind; several where it is not
        certain what the history recorded (see riskapi.domain.recorded)."""
        spans = spans_of(wp, self.use, root.care, root.tuned)
        parts = tuple({part.id: part for part in (fitting.works, *(part for _, part in fitting.supplies))}.values())
        kept = max((part.planned.kept[root.care] for part in parts if part.planned), default=0.0)
        fitted = sum(f.weight for f in kind.fittings) if self.history.has_failed(wp) else 1.0
        supplies = tuple((t, part.id) for t, part in fitting.supplies)
        key = (wp.id, fitting.works.id, supplies, spans, kept, kind.shows, kind.copies, fitted)
        if key not in self._known:
            self._known[key] = tuple(self._recorded(wp, self._build(wp, fitting, parts, spans, kept), kind, fitted))
        return tuple((lane, fitting.weight * weight) for lane, weight in self._known[key])

    def _recorded(self, wp: WeakPoint, plain: Lane, kind: _Kind, fitted: float) -> Iterator[tuple[int, float]]:
        """A lane for each way in which what is recorded can have happened, with its weight."""

        def look(events: Events, until: float) -> PastLook | None:
            return self.history.look(wp, events, kind.shows, until)

        for record in self.history.records(wp, plain.parts, plain.start_part, plain.supplies, kind.copies):
            lane = lane_of(plain, record, kind.copies, look)
            self.lanes.append(replace(lane, fitted=fitted) if record.tells_a_failure else lane)
            yield len(self.lanes) - 1, record.weight / (fitted if record.tells_a_failure else 1.0)

    def _clocks_under(self, spans: tuple[Span, ...]) -> Clocks:
        if spans not in self._clocks:
            self._clocks[spans] = effective_clocks(self.timeline, spans)
        return self._clocks[spans]

    def _build(
        self,
        wp: WeakPoint,
        fitting: _Fitting,
        parts: tuple[PartRevision, ...],
        spans: tuple[Span, ...],
        kept: float,
    ) -> Lane:
        """The lane as if nothing had been recorded."""
        clocks = self._clocks_under(spans)
        return Lane(
            timeline=self.timeline,
            clocks=clocks,
            parts=parts,
            start=0.0,
            start_part=parts.index(fitting.works),
            run_y=0.0,
            run_z=0.0,
            supplies=tuple((max(t, ALWAYS), parts.index(part)) for t, part in fitting.supplies),
            told=None,
            look=None,
            never_renewed=False,
            delay=wp.repair_delay_years,
            left=wp.left_unrepaired,
            pf_y=wp.pf_km,
            pf_z=wp.pf_years,
            kept=kept,
            kinks=tuple(float(t) for t in clocks.t if 0.0 < t < self.timeline.now),
        )


def _by_family(wp: WeakPoint, family: Family, revision: str, identity: EngineIdentity) -> _Fitting | None:
    fit = family.fit(wp.id, revision)
    if fit is None:
        return None
    works = wp.part(fit.works)
    since = tuple((years_between(identity.built, supply.since), wp.part(supply.part)) for supply in fit.supplies)
    return _Fitting(1.0, works, since or ((0.0, works),))
