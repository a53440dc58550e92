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
from riskapi.domain.identify import Candidate, EngineIdentity, OpenTrait
from riskapi.domain.knowledge import Family, Pack, PartRevision, WeakPoint
from riskapi.domain.lane import Lane, PastLook
from riskapi.domain.past_results import NO_RECORD, PastRecord, past_record
from riskapi.domain.past_ways import Looks, Products, Way
from riskapi.domain.recorded_lanes import lane_of
from riskapi.domain.roots import Root, root_combinations
from riskapi.domain.stress import Use, oil_interval, spans_of, undocumented_stretches
from riskapi.domain.timeline import Clocks, Span, Timeline, build_timeline, effective_clocks, years_between
from riskapi.domain.traits import chance, completions, settled

DEFAULT_CYLINDERS = 4
AS_IT_IS: Products = ((1.0, ()),)
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
    open_traits: tuple[OpenTrait, ...] = ()
    past: PastRecord = NO_RECORD


@dataclass(frozen=True, slots=True)
class _Fitting:
    """A part as built, and what was on sale since when [years since build]; `weight`: chance that it is this one."""

    weight: float
    works: PartRevision
    supplies: tuple[tuple[float, PartRevision], ...]


@dataclass(frozen=True, slots=True)
class _Kind:
    """A weak point on one candidate engine: copies, and what was fitted."""

    copies: int
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
    every = builder.with_what_failed(every, weak_points)
    past = past_record(case, pack, builder.history, identity.candidates, weak_points, len(every))
    roots = tuple(
        replace(root, way=k, way_weight=way.weight)
        for root in every
        if care is None or root.care == care
        for k, way in enumerate(past.ways[root.candidate])
    )
    ways = [past.ways[root.candidate][root.way] for root in roots]
    mixes = tuple(tuple(builder.mix(wp, *pair) for wp in weak_points) for pair in zip(roots, ways, strict=True))
    lanes = tuple(builder.lanes)
    return LaneSet(lanes, identity.candidates, roots, weak_points, mixes, builder.timeline, identity.open_traits, past)


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

    def mix(self, wp: WeakPoint, root: Root, way: Way) -> Mix:
        """The lanes of a weak point under a root combination, weighed by the past looks of one way."""
        kind = self._kind(wp, root.candidate)
        products = way.looks.get(wp.id, AS_IT_IS)
        lanes = [
            (lane, sign * weight)
            for f in kind.fittings
            for sign, looks in products
            for lane, weight in self._lanes(wp, root, f, kind, looks)
        ]
        if lanes and wp.id in way.explains:
            # it is there: what is missing to a weight of 1 would count as absent, so it goes to a life that cannot be
            never = (PastLook(products[0][1][0].t, (0.0, 0.0, 0.0)),)
            gap = 1.0 - sum(weight for _, weight in lanes)
            if gap > 0.0:
                index, _ = self._lanes(wp, root, kind.fittings[0], kind, never)[0]
                lanes.append((index, gap))
        return Mix(tuple(lanes), kind.copies)

    def with_what_failed(self, roots: tuple[Root, ...], weak_points: Sequence[WeakPoint]) -> tuple[Root, ...]:
        """The roots without those under which the engine has no such part as a recorded failure is about."""
        missing = [(wp, self.history.missing(wp)) for wp in weak_points if self.history.has_failed(wp)]
        if not missing:
            return roots
        likely = [prod(x for wp, x in missing if not self._kind(wp, root.candidate).fittings) for root in roots]
        total = sum(root.weight * x for root, x in zip(roots, likely, strict=True))
        if not total > 0.0:
            return roots
        return tuple(replace(r, weight=r.weight * x / total) for r, x in zip(roots, likely, strict=True))

    def _kind(self, wp: WeakPoint, index: int) -> _Kind:
        """The weak point on the candidate engine of this index."""
        key = (wp.id, index)
        if key not in self._kinds:
            self._kinds[key] = self._new_kind(wp, self.identity.candidates[index])
        return self._kinds[key]

    def _new_kind(self, wp: WeakPoint, candidate: Candidate) -> _Kind:
        traits = settled(wp.applies, candidate.traits)
        copies = wp.copies if isinstance(wp.copies, int) else int(float(traits.get("cylinders") or DEFAULT_CYLINDERS))
        return _Kind(copies, tuple(self._fittings(wp, candidate)))

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

    def _lanes(
        self, wp: WeakPoint, root: Root, fitting: _Fitting, kind: _Kind, looks: Looks
    ) -> tuple[tuple[int, float], ...]:
        """Indices and weights of its lanes, built when they are the first of their kind; several where it is not
        certain what the history recorded (see riskapi.domain.recorded)."""
        spans = spans_of(wp, self.use, root.care, root.tuned)
        parts = tuple({part.id: part for part in (fitting.works, *(part for _, part in fitting.supplies))}.values())
        kept = max((part.planned.kept[root.care] for part in parts if part.planned), default=0.0)
        fitted = sum(f.weight for f in kind.fittings) if self.history.has_failed(wp) else 1.0
        supplies = tuple((t, part.id) for t, part in fitting.supplies)
        key = (wp.id, fitting.works.id, supplies, spans, kept, kind.copies, fitted, looks)
        if key not in self._known:
            plain = self._build(wp, fitting, parts, spans, kept)
            self._known[key] = tuple(self._recorded(wp, plain, kind, fitted, looks))
        return tuple((lane, fitting.weight * weight) for lane, weight in self._known[key])

    def _recorded(
        self, wp: WeakPoint, plain: Lane, kind: _Kind, fitted: float, looks: Looks
    ) -> Iterator[tuple[int, float]]:
        """A lane for each way in which what is recorded can have happened, with its weight."""
        for record in self.history.records(wp, plain.parts, plain.start_part, plain.supplies, kind.copies):
            lane = lane_of(plain, record, kind.copies, looks)
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
            looks=(),
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
