"""What belongs to a visit beside the checks: questions, papers, invoices, things to bring, and what no look can see."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from riskapi.domain.assessment import WeakPointResult
from riskapi.domain.checklist import Invoice, Paper, Question, Thing, Unseen
from riskapi.domain.costing import Basis
from riskapi.domain.identify import EngineIdentity
from riskapi.domain.knowledge import Check, Fit, Pack, PartRevision, Traits, VisitWord
from riskapi.domain.lanes import LaneSet
from riskapi.domain.next_checks import SMALLEST, open_checks
from riskapi.domain.posterior import Posterior
from riskapi.domain.readings import Readings

MOST_QUESTIONS = 6
MOST_INVOICES = 5
COST_SHARE = 0.02  # of all expected surprise cost, from which an invoice about a weak point is worth seeing
FOUND = 0.5  # chance of being faulty from which a weak point has been found out already
UNSEEN_CHANCE = 0.02  # of failing in the ownership period, from which a weak point without warning is named


def likeliest_traits(posterior: Posterior, lanes: LaneSet) -> tuple[int, Traits]:
    """Index and traits of the likeliest candidate engine."""
    chances = [float(posterior.root_chance[list(group.roots)].sum()) for group in posterior.groups]
    index = chances.index(max(chances))
    return index, lanes.candidates[index].traits


def apply_to(words: Iterable[VisitWord], traits: Traits) -> tuple[VisitWord, ...]:
    """The words that this engine does not rule out."""
    return tuple(word for word in words if word.when.holds(traits) is not False)


def questions(
    pack: Pack, basis: Basis, readings: Readings, dealt_with: frozenset[str], gain: float | None, traits: Traits
) -> tuple[Question, ...]:
    """The pack's requests, then checks put as questions, most telling first: each valued as hearsay of the seller."""
    asked = [replace(c, told_by="seller") for c in pack.checks if c.ask]
    valued = open_checks(replace(pack, checks=tuple(asked)), basis, readings.counted, dealt_with)
    values = valued.values(gain)
    if all(value <= SMALLEST for value in values.values()):
        values = valued.values(None)
    telling = sorted((c for c in asked if values.get(c.id, 0.0) > SMALLEST), key=lambda c: (-values[c.id], c.id))
    requests = [Question(w.id, w.text, w.why, None, None) for w in apply_to(pack.visit.requests, traits)]
    return (*requests, *(Question(c.id, c.ask, "", c.id, values[c.id]) for c in telling[:MOST_QUESTIONS]))


def papers(pack: Pack, traits: Traits) -> tuple[Paper, ...]:
    """The pack's papers for such an engine."""
    return tuple(Paper(w.id, w.text, w.why, None) for w in apply_to(pack.visit.papers, traits))


def invoices(
    pack: Pack, identity: EngineIdentity, candidate: int, results: Sequence[WeakPointResult]
) -> tuple[Invoice, ...]:
    """Weak points that matter and whose renewal changes the outlook: a better part came later, or it is due by plan."""
    total = sum(result.expected_cost for result in results)
    found = []
    for result in results:
        if result.expected_cost >= COST_SHARE * total and result.expected_cost > 0.0:
            invoice = _invoice(pack, identity, candidate, result)
            if invoice is not None:
                found.append(invoice)
    return tuple(found[:MOST_INVOICES])


def _invoice(pack: Pack, identity: EngineIdentity, candidate: int, result: WeakPointResult) -> Invoice | None:
    weak_point = pack.weak_point(result.id)
    fit = _fit(identity, candidate, result.id)
    parts = [weak_point.part(fit.works)] if fit else [p for p in weak_point.parts if p.name == result.part]
    plan = parts[0].planned if parts else None
    later = tuple((weak_point.part(s.part).name, s.since) for s in fit.supplies if s.part != fit.works) if fit else ()
    if not later and plan is None:
        return None
    fitted: PartRevision = parts[0]
    return Invoice(
        weak_point=result.id,
        name=result.name,
        fitted=fitted.name,
        supplies=later,
        interval_km=plan.distance_km if plan else None,
        interval_years=plan.age_years if plan else None,
        expected_cost=result.expected_cost,
    )


def _fit(identity: EngineIdentity, candidate: int, weak_point: str) -> Fit | None:
    revision = identity.candidates[candidate].revision
    return identity.family.fit(weak_point, revision.id) if identity.family and revision else None


def things(pack: Pack, looked: Sequence[Check], traits: Traits) -> tuple[Thing, ...]:
    """What to bring for these checks."""
    used = {name for c in looked for name in (c.id, c.set_up, c.equipment) if name is not None}
    set_ups = {item.id: item.equipment for item in pack.set_ups}
    used |= {set_ups[c.set_up] for c in looked if c.set_up is not None}
    words = apply_to(pack.visit.bring, traits)
    return tuple(Thing(w.id, w.text, w.why) for w in words if not w.uses or used & set(w.uses))


def unseen(pack: Pack, results: Sequence[WeakPointResult]) -> tuple[Unseen, ...]:
    """Weak points without warning that may well fail, costliest first."""
    return tuple(
        Unseen(r.id, r.name, pack.weak_point(r.id).failed_means, r.failure_probability, r.expected_cost, r.hazard)
        for r in results
        if r.no_look_can_see and r.failure_probability >= UNSEEN_CHANCE and r.state.faulty < FOUND
    )
