"""Browsing: a revision, or traits alone, at an odometer and an age with nothing looked at; and two side by side.

The states are those of a case that says no more than engine, build date and odometer, averaged over care and tune as
in every assessment. What lies ahead is told for the pack's fixed term and distance. There is no clock here: the date
is an argument, and `day_of_age` finds the one that suits a revision.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from riskapi.domain.assessment import StateChances
from riskapi.domain.case import Case, Engine, Market, Ownership, Usage, Vehicle, Visit
from riskapi.domain.choices import YOUNGEST
from riskapi.domain.identify import Candidate, identify
from riskapi.domain.knowledge import Family, Fit, Pack, PartRevision, Revision, Traits, TraitValue, WeakPoint
from riskapi.domain.lanes import lane_set
from riskapi.domain.lifetime import NODES
from riskapi.domain.means import likelihood_ratio
from riskapi.domain.outlook import look_ahead
from riskapi.domain.posterior import group_roots, infer
from riskapi.domain.repairs import Repair, repairs_of
from riskapi.domain.risk import annual_of
from riskapi.domain.showing import Look, Showing, looks_at, strong_showings
from riskapi.domain.timeline import DAYS_PER_YEAR, Floats, years_between
from riskapi.domain.traits import chance, settled


@dataclass(frozen=True, slots=True)
class OnSale:
    """From `since` on, workshops buy this part revision."""

    part: str
    name: str
    since: date


@dataclass(frozen=True, slots=True)
class Fitted:
    """The part revision that left the works, and what is on sale; without a family the likeliest by traits."""

    part: str
    name: str
    by_family: bool
    on_sale: tuple[OnSale, ...]
    note: str


@dataclass(frozen=True, slots=True)
class WeakPointView:
    """A weak point with nothing looked at.

    present: chance that the engine has it at all; failure: chance that it is faulty today or fails within the term;
    showings: checks that show it strongly, best first; unseen: it gives no warning, so no look can see it coming;
    repairs: what it can lead to.
    """

    id: str
    name: str
    system: str
    mechanism: str
    warning: str
    hazard: str
    present: float
    fitted: Fitted | None
    state: StateChances
    failure: float
    showings: tuple[Showing, ...]
    unseen: bool
    repairs: tuple[Repair, ...]


@dataclass(frozen=True, slots=True)
class PartChange:
    """Another part revision left the works."""

    weak_point: str
    name: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class TraitChange:
    """Another trait; None where it is not stated."""

    trait: str
    before: TraitValue | None
    after: TraitValue | None


@dataclass(frozen=True, slots=True)
class Changes:
    """What differs between two revisions; gained and lost are ids of weak points."""

    before: str
    after: str
    parts: tuple[PartChange, ...]
    traits: tuple[TraitChange, ...]
    gained: tuple[str, ...]
    lost: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class View:
    """An engine at an odometer [km] and an age [years] on `as_of`; `years` and `distance_km` are the term ahead.

    Weak points come with the highest chance of failure first; `changes` is None for the first revision of a family
    and for traits alone.
    """

    family: Family | None
    revision: Revision | None
    traits: Traits
    as_of: date
    built: date
    odometer_km: float
    age_years: float
    years: float
    distance_km: float
    weak_points: tuple[WeakPointView, ...]
    changes: Changes | None
    looks: tuple[Look, ...]


@dataclass(frozen=True, slots=True)
class Row:
    """A weak point of either of two views; None where the engine cannot have it."""

    id: str
    name: str
    first: WeakPointView | None
    second: WeakPointView | None


@dataclass(frozen=True, slots=True)
class SideBySide:
    """Two views; rows with the largest difference in the chance of failure first."""

    first: View
    second: View
    changes: Changes
    rows: tuple[Row, ...]


# ---- when ------------------------------------------------------------------------------------------------


def usual_age(revision: Revision, today: date) -> float:
    """Age today [years] of an engine from the middle of the revision's span."""
    end = max(min(revision.until or today, today), revision.since)
    return max(years_between(revision.since + (end - revision.since) / 2, today), YOUNGEST)


def day_of_age(revision: Revision, age_years: float, today: date) -> date:
    """The day nearest to today on which an engine of this revision can be so old [years]."""
    lived = _days(age_years)
    built = max(today - lived, revision.since)
    return (built if revision.until is None else min(built, revision.until)) + lived


def _days(years: float) -> timedelta:
    return timedelta(days=round(years * DAYS_PER_YEAR))


def view_at(
    pack: Pack, family: Family, revision: Revision, odometer_km: float | None, age_years: float | None, today: date
) -> View:
    """A revision at what is stated; else at its usual age today, driven the pack's default distance a year."""
    age = age_years if age_years is not None else usual_age(revision, today)
    odometer = odometer_km if odometer_km is not None else age * pack.defaults.annual_distance_km
    return view_revision(pack, family, revision, odometer, age, day_of_age(revision, age, today))


def views_against(
    pack: Pack,
    family: Family,
    revisions: tuple[Revision, Revision],
    odometer_km: float | None,
    age_years: float | None,
    today: date,
) -> SideBySide:
    """Two revisions at the same odometer and age: what is stated, else what is usual for the first."""
    first = view_at(pack, family, revisions[0], odometer_km, age_years, today)
    second = view_at(pack, family, revisions[1], first.odometer_km, first.age_years, today)
    return side_by_side(pack, first, second)


# ---- one engine ------------------------------------------------------------------------------------------


def view_revision(
    pack: Pack, family: Family, revision: Revision, odometer_km: float, age_years: float, as_of: date
) -> View:
    """A revision at this odometer [km] and age [years]. Raises NotFound when the pack has no such family."""
    return _view(pack, Engine(family.id, revision.id, None, Traits()), odometer_km, age_years, as_of)


def view_traits(pack: Pack, traits: Traits, odometer_km: float, age_years: float, as_of: date) -> View:
    """An engine that is described by its traits alone."""
    return _view(pack, Engine(None, None, None, traits), odometer_km, age_years, as_of)


def _view(pack: Pack, engine: Engine, odometer_km: float, age_years: float, as_of: date) -> View:
    case = bare_case(engine, odometer_km, as_of - _days(age_years), as_of)
    identity = identify(case, pack)
    candidate = identity.candidates[0]
    lanes = lane_set(case, pack, identity, annual_of(pack.fixed), pack.fixed.years)
    outlook = look_ahead(lanes, (pack.fixed.years,), pack.defaults.discount_rate, NODES)
    table = outlook.table
    posterior = infer(lanes, group_roots(pack, lanes, ()), (), table.masses)
    quiet = (likelihood_ratio(posterior, table) * table.quiet).sum(axis=(1, 2))
    shown = strong_showings(pack, lanes.weak_points, candidate.traits, posterior.prior)
    points = [
        _point(pack, wp, identity.family, candidate, posterior.prior[w], float(quiet[w]), shown[w])
        for w, wp in enumerate(lanes.weak_points)
    ]
    return View(
        family=identity.family,
        revision=candidate.revision,
        traits=candidate.traits,
        as_of=as_of,
        built=identity.built,
        odometer_km=odometer_km,
        age_years=age_years,
        years=pack.fixed.years,
        distance_km=pack.fixed.distance_km,
        weak_points=tuple(sorted(points, key=lambda point: (-point.failure, point.id))),
        changes=_changes_before(pack, identity.family, candidate.revision),
        looks=_looks(pack, points),
    )


def bare_case(engine: Engine, odometer_km: float, built: date, as_of: date) -> Case:
    """A case that says nothing but the engine, when it was built and how far it went."""
    return Case(
        vehicle=Vehicle(
            engine=engine,
            build_date=built,
            first_registered=None,
            odometer_km=odometer_km,
            installation=None,
            parts_class=None,
            software_tune="unknown",
            moves_under_own_power=None,
        ),
        as_of=as_of,
        seller=None,
        usage=Usage((), ()),
        history=(),
        visit=Visit(None, None, None, ()),
        findings=(),
        ownership=Ownership(None, None, None),
        market=Market(None, None, None, None, None, None),
        reference=None,
    )


def _point(
    pack: Pack,
    wp: WeakPoint,
    family: Family | None,
    candidate: Candidate,
    state: Floats,
    quiet: float,
    showings: tuple[Showing, ...],
) -> WeakPointView:
    sound, degraded, faulty = (float(x) for x in np.clip(state, 0.0, 1.0))
    return WeakPointView(
        id=wp.id,
        name=wp.name,
        system=wp.system,
        mechanism=wp.mechanism,
        warning=wp.warning,
        hazard=wp.hazard,
        present=chance(wp.applies, candidate.traits, pack),
        fitted=_fitted(pack, wp, family, candidate.revision, candidate.traits),
        state=StateChances(sound, degraded, faulty),
        failure=float(np.clip(1.0 - quiet, 0.0, 1.0)),
        showings=showings,
        unseen=wp.warning == "none",
        repairs=repairs_of(pack, wp, candidate.traits),
    )


def _looks(pack: Pack, points: list[WeakPointView]) -> tuple[Look, ...]:
    not_sound = {point.id: point.state.degraded + point.state.faulty for point in points}
    return looks_at(pack, {point.id: point.showings for point in points}, not_sound)


def _fitted(
    pack: Pack, wp: WeakPoint, family: Family | None, revision: Revision | None, traits: Traits
) -> Fitted | None:
    fit = family.fit(wp.id, revision.id) if family is not None and revision is not None else None
    if fit is not None:
        return Fitted(fit.works, wp.part(fit.works).name, True, _on_sale(wp, fit), fit.note)
    part = _default_part(pack, wp, traits)
    return Fitted(part.id, part.name, False, (), "") if part is not None else None


def _on_sale(wp: WeakPoint, fit: Fit) -> tuple[OnSale, ...]:
    return tuple(OnSale(supply.part, wp.part(supply.part).name, supply.since) for supply in fit.supplies)


def _default_part(pack: Pack, wp: WeakPoint, traits: Traits) -> PartRevision | None:
    """The likeliest of the catalogue's parts, of which the first that applies is fitted."""
    left, best, most = 1.0, None, 0.0
    for part in wp.parts:
        weight = left * chance(part.when, settled(wp.applies, traits), pack)
        left -= weight
        if weight > most:
            best, most = part, weight
    return best


# ---- two engines -----------------------------------------------------------------------------------------


def side_by_side(pack: Pack, first: View, second: View) -> SideBySide:
    """Two revisions of one family with what differs. Raises ValueError when a view is of traits alone."""
    if first.family is None or first.revision is None or second.revision is None:
        raise ValueError("only revisions of a family stand side by side")
    points = [{point.id: point for point in view.weak_points} for view in (first, second)]
    known = [wp for wp in pack.weak_points if wp.id in points[0] or wp.id in points[1]]
    rows = [Row(wp.id, wp.name, points[0].get(wp.id), points[1].get(wp.id)) for wp in known]
    return SideBySide(
        first=first,
        second=second,
        changes=changes_between(pack, first.family, first.revision, second.revision),
        rows=tuple(sorted(rows, key=lambda row: (-_gap(row), row.id))),
    )


def _gap(row: Row) -> float:
    first, second = (point.failure if point is not None else 0.0 for point in (row.first, row.second))
    return abs(first - second)


def revision_before(family: Family, revision: Revision) -> Revision | None:
    """The revision that began last before this one."""
    earlier = [other for other in family.revisions if other.since < revision.since]
    return max(earlier, key=lambda other: other.since, default=None)


def _changes_before(pack: Pack, family: Family | None, revision: Revision | None) -> Changes | None:
    if family is None or revision is None:
        return None
    before = revision_before(family, revision)
    return changes_between(pack, family, before, revision) if before is not None else None


def changes_between(pack: Pack, family: Family, before: Revision, after: Revision) -> Changes:
    """Part revisions, traits and weak points in which two revisions of a family differ."""
    had, has = _present(pack, before.traits), _present(pack, after.traits)
    both = [wp for wp in pack.weak_points if wp.id in had and wp.id in has]
    return Changes(
        before=before.id,
        after=after.id,
        parts=tuple(change for wp in both if (change := _part_change(pack, wp, family, before, after)) is not None),
        traits=_trait_changes(before.traits, after.traits),
        gained=tuple(wp for wp in has if wp not in had),
        lost=tuple(wp for wp in had if wp not in has),
    )


def _present(pack: Pack, traits: Traits) -> tuple[str, ...]:
    return tuple(wp.id for wp in pack.weak_points if chance(wp.applies, traits, pack) > 0.0)


def _part_change(pack: Pack, wp: WeakPoint, family: Family, before: Revision, after: Revision) -> PartChange | None:
    had, has = (_fitted(pack, wp, family, revision, revision.traits) for revision in (before, after))
    if had is None or has is None or had.part == has.part:
        return None
    return PartChange(wp.id, wp.name, had.name, has.name)


def _trait_changes(before: Traits, after: Traits) -> tuple[TraitChange, ...]:
    names = sorted({name for name, _ in (*before.items, *after.items)})
    pairs = ((name, before.get(name), after.get(name)) for name in names)
    return tuple(TraitChange(name, old, new) for name, old, new in pairs if old != new)
