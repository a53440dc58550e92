"""Which engine is it: candidate revisions with weights, the build date, and the traits of each candidate."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from datetime import date, timedelta

from riskapi.domain.case import Case
from riskapi.domain.clues import OUTSIDE_YEAR, clue_words, identity_facts, model_year_window, serial_allows
from riskapi.domain.knowledge import Family, Pack, Revision, Traits
from riskapi.domain.sentence import Kilometres, Sentence, Written, at_fault, told
from riskapi.domain.timeline import DAYS_PER_YEAR, years_between
from riskapi.errors import CaseError, Fault

OPEN_END_YEARS = 3.0  # how much longer a revision still built is taken to run, for weights only
TraitClass = tuple[tuple[str, float], ...]  # values of a trait, each with its chance


@dataclass(frozen=True, slots=True)
class Candidate:
    """A revision the engine may be (None: described by traits alone), its weight and its traits.

    `opened`: open traits with the values they may have in this engine, each with its chance.
    """

    revision: Revision | None
    weight: float
    traits: Traits
    opened: tuple[tuple[str, TraitClass], ...] = ()

    def values_of(self, trait: str, usual: TraitClass) -> TraitClass:
        """The values that a trait may have in this engine with their chances; `usual` where nothing is known."""
        stated = self.traits.get(trait)
        return dict(self.opened).get(trait) or (usual if stated is None else ((str(stated), 1.0),))


@dataclass(frozen=True, slots=True)
class OpenTrait:
    """A trait that is a root: (value, how common it is) in classes whose values nothing tells apart."""

    name: str
    classes: tuple[TraitClass, ...]


@dataclass(frozen=True, slots=True)
class EngineIdentity:
    family: Family | None
    candidates: tuple[Candidate, ...]
    built: date
    how: str
    assumed: tuple[str, ...]
    facts: tuple[str, ...] = ()  # numbers that disagree, to ask about
    open_traits: tuple[OpenTrait, ...] = ()  # see riskapi.domain.open_traits
    crowded: tuple[str, ...] = ()  # traits that would stand among the roots too, if there were room


def identify(case: Case, pack: Pack) -> EngineIdentity:
    """Candidates from whatever is given: revision, engine code, serial number, dates, model year in the VIN.

    Raises CaseError when no revision of the family fits what the case says.
    """
    stated = case.vehicle.engine.traits
    if case.vehicle.engine.family is None:
        built, assumed = _built(case, pack, None)
        return EngineIdentity(
            None,
            (Candidate(None, 1.0, stated),),
            built,
            told("described by its traits; no family of the pack"),
            assumed,
            identity_facts(case, None, None),
        )
    family = pack.family(case.vehicle.engine.family)
    weights = [(revision, _weight(case, pack, revision)) for revision in family.revisions]
    total = sum(weight for _, weight in weights)
    if total <= 0.0:
        raise CaseError([_no_revision(case, pack, family)])
    candidates = tuple(
        Candidate(revision, weight / total, revision.traits.merged(stated))
        for revision, weight in weights
        if weight > 0.0
    )
    likeliest = max(candidates, key=lambda c: c.weight).revision
    built, assumed = _built(case, pack, likeliest)
    named = likeliest if case.vehicle.engine.revision is not None else None
    return EngineIdentity(family, candidates, built, _how(case, family), assumed, identity_facts(case, family, named))


def _weight(case: Case, pack: Pack, revision: Revision) -> float:
    engine, vehicle = case.vehicle.engine, case.vehicle
    if engine.revision is not None:
        return 1.0 if engine.revision == revision.id else 0.0
    if engine.code is not None and engine.code not in revision.codes:
        return 0.0
    if not serial_allows(vehicle.serial_number, revision):
        return 0.0
    since, until = revision.since, revision.until or case.as_of
    weight, window = _span_weight(case, pack, since, until), model_year_window(case)
    if window is None:
        return weight
    first, last = max(since, window[0]), min(until, window[1])
    inside = _span_weight(case, pack, first, last) if first <= last else 0.0
    return OUTSIDE_YEAR * weight + (1.0 - OUTSIDE_YEAR) * inside


def _span_weight(case: Case, pack: Pack, since: date, until: date) -> float:
    """How well a build between these days fits the dates of the case; spans that meet add up."""
    vehicle = case.vehicle
    if vehicle.build_date is not None:
        return 1.0 if since <= vehicle.build_date <= until else 0.0
    if vehicle.first_registered is not None:
        lag = pack.defaults.registration_lag_years
        oldest = max(years_between(since, vehicle.first_registered), 0.0)
        newest = max(years_between(until, vehicle.first_registered), 0.0)
        return math.exp(-newest / lag) - math.exp(-oldest / lag)
    return max(years_between(since, min(until, case.as_of)), 0.0)


def _no_revision(case: Case, pack: Pack, family: Family) -> Fault:
    if case.vehicle.serial_number is not None:
        without = replace(case, vehicle=replace(case.vehicle, serial_number=None))
        if any(_weight(without, pack, revision) > 0.0 for revision in family.revisions):
            return _no_serial(family)
    place = "/vehicle/engine/code" if case.vehicle.engine.code else "/vehicle/build_date"
    return at_fault(
        place,
        told("No revision of {family} fits the dates and the engine code given.", family=family.name),
        told(
            "Correct the date or the code, or name the revision. Revisions: {spans}.",
            spans=tuple(_described(revision) for revision in family.revisions),
        ),
    )


def _described(revision: Revision) -> Sentence:
    """'lapwing_1a 2008-10-01 to 2010-08-31 (19T-ash)'."""
    codes = tuple(map(Written, revision.codes)) or told("no code")
    until = revision.until or told("now")
    return told(
        "{revision} {since} to {until} ({codes})",
        revision=Written(revision.id), since=revision.since, until=until, codes=codes,
    )  # fmt: skip


def _no_serial(family: Family) -> Fault:
    spans = tuple(
        told("{revision} {first} to {last}", revision=Written(each.id),
             first=Written(each.serials.first), last=Written(each.serials.last))
        for each in family.revisions
        if each.serials
    )  # fmt: skip
    return at_fault(
        "/vehicle/serial_number",
        told("No revision of {family} that fits the rest of the case has this serial number.", family=family.name),
        told("Read it again, or leave it out where the engine was exchanged. Serial numbers: {spans}.", spans=spans),
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
        text = told(
            "Build date not stated: taken as {built}, {lag:g} years before first registration.", built=built, lag=lag
        )
        return built, (text,)
    span = _span(case, revision)
    if span is not None:
        first, last, name = span
        built = first + (last - first) / 2
        text = told(
            "Neither build date nor first registration stated: the middle of {span}, {built}.", span=name, built=built
        )
        return built, (text,)
    years = max(case.vehicle.odometer_km / pack.defaults.annual_distance_km, 0.5)
    built = case.as_of - timedelta(days=years * DAYS_PER_YEAR)
    text = told(
        "Neither build date nor first registration stated: age taken as {years:.1f} years, from the odometer at {far} "
        "a year.",
        years=years,
        far=Kilometres(pack.defaults.annual_distance_km),
    )
    return built, (text,)


def _span(case: Case, revision: Revision | None) -> tuple[date, date, Sentence] | None:
    """First and last day of the revision's span, of the VIN's model year, or of what both leave; and its name."""
    window = model_year_window(case)
    first, last = window or (date.min, date.max)
    if revision is None:
        return None if window is None else (first, min(last, case.as_of), told("the VIN's model year"))
    since, until = revision.since, min(revision.until or case.as_of, case.as_of)
    if window is None or first > until or last < since:
        return since, until, told("the revision's span")
    shared = told("what the revision's span and the VIN's model year share")
    return max(first, since), min(last, until), shared


def _how(case: Case, family: Family) -> Sentence:
    if case.vehicle.engine.revision is not None:
        return told("revision as stated")
    *first, last = clue_words(case, family) or (None,)
    if last is None:
        return told("family as stated; nothing narrows the revision")
    words = told("{one} and {other}", one=tuple(first), other=last) if first else last
    return told("from {clues}", clues=words)
