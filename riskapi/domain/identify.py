"""Which engine is it: candidate revisions with weights, the build date, and the traits of each candidate."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, timedelta

from riskapi.domain.case import Case
from riskapi.domain.knowledge import Family, Pack, Revision, Traits
from riskapi.domain.timeline import DAYS_PER_YEAR, years_between
from riskapi.errors import CaseError, Fault

OPEN_END_YEARS = 3.0  # how much longer a revision still built is taken to run, for weights only


@dataclass(frozen=True, slots=True)
class Candidate:
    """A revision the engine may be (None: described by traits alone), its weight and its traits."""

    revision: Revision | None
    weight: float
    traits: Traits


@dataclass(frozen=True, slots=True)
class EngineIdentity:
    family: Family | None
    candidates: tuple[Candidate, ...]
    built: date
    how: str
    assumed: tuple[str, ...]


def identify(case: Case, pack: Pack) -> EngineIdentity:
    """Candidates from revision, engine code, build date and first registration, whichever is given.

    Raises CaseError when no revision of the family fits what the case says.
    """
    stated = case.vehicle.engine.traits
    if case.vehicle.engine.family is None:
        built, assumed = _built(case, pack, None)
        return EngineIdentity(
            None, (Candidate(None, 1.0, stated),), built, "described by its traits; no family of the pack", assumed
        )
    family = pack.family(case.vehicle.engine.family)
    weights = [(revision, _weight(case, pack, revision)) for revision in family.revisions]
    total = sum(weight for _, weight in weights)
    if total <= 0.0:
        raise CaseError([_no_revision(case, family)])
    candidates = tuple(
        Candidate(revision, weight / total, revision.traits.merged(stated))
        for revision, weight in weights
        if weight > 0.0
    )
    likeliest = max(candidates, key=lambda c: c.weight).revision
    built, assumed = _built(case, pack, likeliest)
    return EngineIdentity(family, candidates, built, _how(case), assumed)


def _weight(case: Case, pack: Pack, revision: Revision) -> float:
    engine, vehicle = case.vehicle.engine, case.vehicle
    if engine.revision is not None:
        return 1.0 if engine.revision == revision.id else 0.0
    if engine.code is not None and engine.code not in revision.codes:
        return 0.0
    until = revision.until or case.as_of
    if vehicle.build_date is not None:
        return 1.0 if revision.since <= vehicle.build_date <= until else 0.0
    if vehicle.first_registered is not None:
        lag = pack.defaults.registration_lag_years
        oldest = max(years_between(revision.since, vehicle.first_registered), 0.0)
        newest = max(years_between(until, vehicle.first_registered), 0.0)
        return math.exp(-newest / lag) - math.exp(-oldest / lag)
    return max(years_between(revision.since, min(until, case.as_of)), 0.0)


def _no_revision(case: Case, family: Family) -> Fault:
    spans = "; ".join(
        f"{r.id} {r.since} to {r.until or 'now'} ({', '.join(r.codes) or 'no code'})" for r in family.revisions
    )
    place = "/vehicle/engine/code" if case.vehicle.engine.code else "/vehicle/build_date"
    return Fault(
        place,
        f"No revision of {family.name} fits the dates and the engine code given.",
        f"Correct the date or the code, or name the revision. Revisions: {spans}.",
    )


def _built(case: Case, pack: Pack, revision: Revision | None) -> tuple[date, tuple[str, ...]]:
    vehicle = case.vehicle
    if vehicle.build_date is not None:
        return vehicle.build_date, ()
    lag = pack.defaults.registration_lag_years
    if vehicle.first_registered is not None:
        built = vehicle.first_registered - timedelta(days=lag * DAYS_PER_YEAR)
        if revision is not None:
            built = max(min(built, revision.until or built), min(revision.since, vehicle.first_registered))
        return built, (f"Build date not stated: taken as {built}, {lag:g} years before first registration.",)
    if revision is not None:
        end = min(revision.until or case.as_of, case.as_of)
        built = revision.since + (end - revision.since) / 2
        text = f"Neither build date nor first registration stated: the middle of the revision's span, {built}."
        return built, (text,)
    years = max(case.vehicle.odometer_km / pack.defaults.annual_distance_km, 0.5)
    built = case.as_of - timedelta(days=years * DAYS_PER_YEAR)
    text = (
        f"Neither build date nor first registration stated: age taken as {years:.1f} years, "
        f"from the odometer at {pack.defaults.annual_distance_km:,.0f} km a year."
    )
    return built, (text,)


def _how(case: Case) -> str:
    engine, vehicle = case.vehicle.engine, case.vehicle
    if engine.revision is not None:
        return "revision as stated"
    clues = [
        word
        for word, given in (
            ("engine code", engine.code),
            ("build date", vehicle.build_date),
            ("first registration", vehicle.first_registered if vehicle.build_date is None else None),
        )
        if given is not None
    ]
    return "from " + " and ".join(clues) if clues else "family as stated; nothing narrows the revision"
