"""Checklist -> the JSON result: the body of the API's answer and of `riskapi checklist --json`.

Rounded as the result of an assessment is. A check carries everything that is needed beside the car: how, results,
thresholds with their source, conditions, consent, cautions, and why it is worth doing on this one.
"""

from __future__ import annotations

from riskapi.domain.acts import Limits
from riskapi.domain.assessment import Identification
from riskapi.domain.checklist import Barred, Checklist, Invoice, Look, Paper, Question, SpeaksTo, Thing, Tier, Unseen
from riskapi.domain.knowledge import Check, Measure, Pack
from riskapi.report.figures import Json, chance, money, rounded
from riskapi.report.language import DEFAULT, METRIC, speaking
from riskapi.report.texts import say


@speaking(DEFAULT, METRIC)
def checklist_to_json(checklist: Checklist, pack: Pack) -> Json:
    """The whole answer as plain JSON data. Raises ValueError when a figure is not a finite number."""
    return {
        "as_of": checklist.as_of.isoformat(),
        "reference": checklist.reference,
        "scope": say("scope"),
        "knowledge": {
            "version": checklist.knowledge_version,
            "digest": checklist.knowledge_digest,
            "judgement_share": chance("knowledge.judgement_share", checklist.judgement_share),
        },
        "identified": _identified(checklist.identification),
        "currency": checklist.currency,
        "ownership_years": rounded("ownership_years", checklist.years, 3),
        "visit": _visit(checklist.place, checklist.limits),
        "expected_cost": money("expected_cost", checklist.expected_cost),
        "knowable": money("knowable", checklist.knowable),
        "tiers": [_tier(tier) for tier in checklist.tiers],
        "core_total": checklist.core_total,
        "checks": [_look(place, look, pack) for place, look in enumerate(checklist.looks, 1)],
        "questions": [_question(item) for item in checklist.questions],
        "papers": [_paper(item) for item in checklist.papers],
        "invoices": [_invoice(item) for item in checklist.invoices],
        "bring": [_thing(item) for item in checklist.bring],
        "unseen": [_unseen(item) for item in checklist.unseen],
        "left_out": [_barred(item) for item in checklist.barred],
        "facts": list(checklist.facts),
        "assumptions": [{"text": item.text, "source": item.source} for item in checklist.assumptions],
        "cautions": list(checklist.cautions),
    }


def _identified(identification: Identification) -> list[Json]:
    return [
        {"revision": c.revision, "name": c.name, "probability": chance("identified", c.probability)}
        for c in identification.candidates
    ]


def _visit(place: str | None, limits: Limits) -> Json:
    return {
        "place": place,
        "minutes": None if limits.minutes is None else rounded("visit.minutes", limits.minutes, 1),
        "equipment": limits.equipment,
        "consent": limits.consent,
    }


def _tier(tier: Tier) -> Json:
    place = f"tiers.{tier.name}"
    return {
        "name": tier.name,
        "limit": None if tier.limit is None else rounded(f"{place}.limit", tier.limit, 1),
        "added": list(tier.added),
        "acts": tier.acts,
        "minutes": rounded(f"{place}.minutes", tier.minutes, 1),
        "check_cost": money(f"{place}.check_cost", tier.check_cost),
        "value": money(f"{place}.value", tier.value),
        "decision_value": None if tier.decision_value is None else money(place, tier.decision_value),
        "method": tier.method,
        "assured": chance(f"{place}.assured", tier.assured),
    }


def _look(position: int, look: Look, pack: Pack) -> Json:
    check = pack.check(look.check)
    return {
        "position": position,
        "check": check.id,
        "name": check.name,
        "tier": look.tier,
        "core": check.core,
        "value_of_information": money(f"checks.{check.id}.value", look.value),
        "basis": look.basis,
        "minutes": rounded(f"checks.{check.id}.minutes", look.minutes, 1),
        "check_cost": money(f"checks.{check.id}.check_cost", look.check_cost),
        "set_up": _set_up(look, pack),
        "equipment": check.equipment,
        "consent": check.consent,
        "how": check.how,
        "why": [_speaks_to(item) for item in look.speaks_to],
        "tells_of": list(look.roots),
        "proves": list(look.proves),
        "conditions": _conditions(check, pack),
        "results": [{"id": item.id, "name": item.name} for item in check.results],
        "measure": None if check.measure is None else measure_to_json(check.measure, pack),
        "also_answers": [_part(pack.check(name), pack) for name in look.reads[1:]],
        "cautions": list(check.cautions),
    }


def _set_up(look: Look, pack: Pack) -> Json | None:
    set_up = next((item for item in pack.set_ups if item.id == look.set_up), None)
    if set_up is None:
        return None
    return {
        "id": set_up.id,
        "name": set_up.name,
        "opens": look.opens_set_up,
        "minutes": rounded(f"set_ups.{set_up.id}.minutes", set_up.minutes, 1),
        "cautions": list(set_up.cautions),
    }


def _conditions(check: Check, pack: Pack) -> list[Json]:
    words = {word.id: word for word in pack.conditions}
    return [{"id": name, "name": words[name].name, "if_not": words[name].if_not} for name in check.needs]


def measure_to_json(measure: Measure, pack: Pack) -> Json:
    """How a measurement becomes a result: `bounds` between the results in order, ascending unless `descending`."""
    unit = {"lowest_share": "1", "low_neighbours": "count"}.get(measure.reduce, measure.unit)
    source = pack.source(measure.source)
    return {
        "reduce": measure.reduce,
        "unit": measure.unit,
        "bounds": [rounded("measure.bounds", bound, 6) for bound in measure.bounds],
        "bounds_unit": unit,
        "descending": measure.descending,
        "source": {"kind": source.kind, "citation": source.citation},
    }


def _part(check: Check, pack: Pack) -> Json:
    return {
        "check": check.id,
        "name": check.name,
        "results": [{"id": item.id, "name": item.name} for item in check.results],
        "measure": None if check.measure is None else measure_to_json(check.measure, pack),
    }


def _speaks_to(item: SpeaksTo) -> Json:
    return {
        "weak_point": item.weak_point,
        "name": item.name,
        "not_sound": chance("why.not_sound", min(max(1.0 - item.state.sound, 0.0), 1.0)),
        "power": chance("why.power", item.power),
    }


def _question(item: Question) -> Json:
    return {
        "id": item.id,
        "text": item.text,
        "why": item.why,
        "check": item.check,
        "value_of_information": None if item.value is None else money("questions.value", item.value),
    }


def _paper(item: Paper) -> Json:
    return {"id": item.id, "text": item.text, "why": item.why}


def _invoice(item: Invoice) -> Json:
    return {
        "weak_point": item.weak_point,
        "name": item.name,
        "fitted": item.fitted,
        "supplies": [{"part": part, "since": since.isoformat()} for part, since in item.supplies],
        "interval_km": item.interval_km,
        "interval_years": item.interval_years,
        "expected_cost": money("invoices.expected_cost", item.expected_cost),
    }


def _thing(item: Thing) -> Json:
    return {"id": item.id, "text": item.text, "why": item.why}


def _unseen(item: Unseen) -> Json:
    return {
        "weak_point": item.weak_point,
        "name": item.name,
        "failed_means": item.failed_means,
        "failure_probability": chance("unseen.failure_probability", item.failure_probability),
        "expected_cost": money("unseen.expected_cost", item.expected_cost),
        "hazard": item.hazard,
    }


def _barred(item: Barred) -> Json:
    return {
        "check": item.check,
        "reason": item.reason,
        "value_of_information": money("left_out.value", item.value),
        "minutes": rounded("left_out.minutes", item.minutes, 1),
    }
