"""Assessment -> the JSON result: the body of the API's answer and of `riskapi assess`.

Money is rounded to 0.01, probabilities to 6 digits, score and weights of evidence to 2 digits. Nothing that is not a
finite number gets out: NaN is an error of the computation and raises ValueError with its place; a weight of
evidence without bound (the finding settles the matter) is written as plus or minus `DECIBAN_LIMIT`.
"""

from __future__ import annotations

from datetime import datetime

from riskapi.domain.assessment import (
    Assessment,
    BestSet,
    Checked,
    Cost,
    Coverage,
    Evidence,
    Identification,
    PriceLine,
    Risk,
    RootEvidence,
    Spread,
    StateChances,
    Threshold,
    TraitChances,
    Uncounted,
    WeakPointResult,
)
from riskapi.report.contract import contract_json
from riskapi.report.figures import DECIBAN_LIMIT, Json, chance, decibans, money, optional_money, rounded
from riskapi.report.format import adding_up, instant
from riskapi.report.language import DEFAULT, METRIC, speaking
from riskapi.report.plan_result import after_purchase, before_sale, repair_plan
from riskapi.report.texts import say
from riskapi.report.verdicts import verdict
from riskapi.report.words import reason_sentence, weight_words

__all__ = ["DECIBAN_LIMIT", "result_to_json"]


@speaking(DEFAULT, METRIC)
def result_to_json(
    assessment: Assessment, assessment_id: str, created_at: datetime, identity_commitment: str | None = None
) -> Json:
    """The whole answer as plain JSON data (dict, list, str, int, float, bool, None).

    `identity_commitment` is the digest that commits to the identity, None without one. A `created_at` without a zone
    is read as UTC. Raises ValueError when a figure is not a finite number.
    """
    return {
        "assessment_id": assessment_id,
        "created_at": instant(created_at),
        "as_of": assessment.as_of.isoformat(),
        "reference": assessment.reference,
        "identity_commitment": identity_commitment,
        "scope": say("scope"),
        "knowledge": {
            "version": assessment.knowledge_version,
            "digest": assessment.knowledge_digest,
            "judgement_share": chance("knowledge.judgement_share", assessment.judgement_share),
        },
        "identified": _identified(assessment.identification),
        "identification": _identification(assessment.identification),
        "care": {
            name: chance(f"care.{name}", getattr(assessment.care, name)) for name in ("careful", "average", "neglected")
        },
        "care_says": [_says("care", entry) for entry in assessment.care_says],
        "tune": None if assessment.tune is None else chance("tune", assessment.tune),
        "tune_says": [_says("tune", entry) for entry in assessment.tune_says],
        "traits": [_trait(item) for item in assessment.traits],
        "risk": _risk(assessment.risk),
        "weak_points": [_weak_point(item) for item in assessment.weak_points],
        "cost": _cost(assessment.cost),
        "decision": _decision(assessment),
        "contract": None if assessment.contract is None else contract_json(assessment.contract),
        "after_purchase": after_purchase(assessment),
        "coverage": _coverage(assessment.coverage),
        "facts": list(assessment.facts),
        "assumptions": [{"text": item.text, "source": item.source} for item in assessment.assumptions],
        "cautions": list(assessment.cautions),
    }


# ---- parts ---------------------------------------------------------------------------------------------------------


def _identified(identification: Identification) -> list[Json]:
    return [
        {
            "revision": item.revision,
            "name": item.name,
            "probability": chance("identified.probability", item.probability),
        }
        for item in identification.candidates
    ]


def _identification(identification: Identification) -> Json:
    return {
        "generic": identification.generic,
        "family": identification.family,
        "how": identification.how,
        "settled_by": list(identification.settled_by),
        "says": [_says("revision", entry) for entry in identification.says],
    }


def _trait(item: TraitChances) -> Json:
    place = f"traits.{item.trait}"
    return {
        "trait": item.trait,
        "values": [
            {"value": value.value}
            | {name: chance(f"{place}.{name}", getattr(value, name)) for name in ("probability", "before", "usual")}
            for value in item.values
        ],
        "says": [_says(place, entry) for entry in item.says],
        "settled_by": list(item.settled_by),
    }


def _says(place: str, item: RootEvidence) -> Json:
    """What one finding says about the revision, the care, the tune or a trait."""
    return {
        "check": item.check,
        "result": item.result,
        "value": item.value,
        "decibans": decibans(f"{place}.says.{item.check}.decibans", item.alone),
        "words": weight_words(item.alone),
    }


def _risk(risk: Risk) -> Json:
    return {
        "score": rounded("risk.score", risk.score, 2),
        "band": [rounded("risk.band", bound, 2) for bound in risk.band],
        "band_sample_size": rounded("risk.band_sample_size", risk.band_sample_size, 1),
        "repair_budget": money("risk.repair_budget", risk.repair_budget),
        "budget_origin": risk.budget_origin,
        "after_work": {
            "score": rounded("risk.after_work.score", risk.after_work_score, 2),
            "weak_points": list(risk.work),
        },
        "fixed": [
            {
                "amount": money("risk.fixed.amount", item.amount),
                "years": rounded("risk.fixed.years", item.years, 3),
                "probability": chance("risk.fixed.probability", item.probability),
            }
            for item in risk.fixed
        ],
    }


def _weak_point(item: WeakPointResult) -> Json:
    place = f"weak_points.{item.id}"
    return {
        "id": item.id,
        "name": item.name,
        "part": item.part,
        "prior": _states(f"{place}.prior", item.prior),
        "state": _states(f"{place}.state", item.state),
        "failure_probability": chance(f"{place}.failure_probability", item.failure_probability),
        "expected_cost": money(f"{place}.expected_cost", item.expected_cost),
        "expected_immediate_cost": money(f"{place}.expected_immediate_cost", item.expected_immediate_cost),
        "hazard": item.hazard,
        "warning": item.warning,
        "no_look_can_see": item.no_look_can_see,
        "explanation": verdict(item),
        "evidence": [_evidence(place, entry) for entry in item.evidence],
        "cautions": list(item.cautions),
    }


def _states(place: str, states: StateChances) -> Json:
    return {name: chance(f"{place}.{name}", getattr(states, name)) for name in ("sound", "degraded", "faulty")}


def _evidence(place: str, item: Evidence) -> Json:
    return {
        "check": item.check,
        "result": item.result,
        "decibans": decibans(f"{place}.evidence.{item.check}.decibans", item.alone),
        "last_in": decibans(f"{place}.evidence.{item.check}.last_in", item.last_in),
        "words": weight_words(item.alone),
    }


def _cost(cost: Cost) -> Json:
    return {
        "currency": cost.currency,
        "unplanned": _spread("unplanned", cost.unplanned),
        "planned": _spread("planned", cost.planned),
        "immediate": _spread("immediate", cost.immediate),
        "shared_access_saving": money("cost.shared_access_saving", cost.shared_access_saving),
        "by_year": [
            {"year": rounded("cost.by_year.year", item.year, 3)}
            | {name: money(f"cost.by_year.{name}", getattr(item, name)) for name in ("mean", "p10", "p50", "p90")}
            for item in cost.by_year
        ],
        "planned_items": [
            {
                "id": item.id,
                "name": item.name,
                "times": rounded("cost.planned_items.times", item.times, 3),
                "cost": money("cost.planned_items.cost", item.cost),
            }
            for item in cost.planned_items
        ],
        "step": rounded("cost.step", cost.step, 6),
    }


def _spread(name: str, spread: Spread) -> Json:
    place = f"cost.{name}"
    figures: Json = {
        key: money(f"{place}.{key}", getattr(spread, key))
        for key in ("mean", "discounted_mean", "p10", "p50", "p80", "p90")
    }
    figures["p_zero"] = chance(f"{place}.p_zero", spread.p_zero)
    figures["typical_if_any"] = optional_money(f"{place}.typical_if_any", spread.typical_if_any)
    return figures


def _decision(assessment: Assessment) -> Json:
    decision = assessment.decision
    named = {item.id for item in assessment.weak_points}
    return {
        "advice": decision.advice,
        "hazards": list(decision.hazards),
        "reasons": [reason_sentence(assessment, reason) for reason in decision.reasons],
        "reason_weak_points": [reason for reason in decision.reasons if reason in named],
        "price_for_findings": optional_money("decision.price_for_findings", decision.price_for_findings),
        "cautious_price": optional_money("decision.cautious_price", decision.cautious_price),
        "items": _price_lines(decision.items),
        "next_checks": [
            {
                "check": item.check,
                "set_up": item.set_up,
                "value_of_information": money("decision.next_checks.value_of_information", item.value),
                "basis": item.basis,
                "check_cost": money("decision.next_checks.check_cost", item.check_cost),
                "minutes": rounded("decision.next_checks.minutes", item.minutes, 1),
                "set_up_value": optional_money("decision.next_checks.set_up_value", item.set_up_value),
                "set_up_minutes": rounded("decision.next_checks.set_up_minutes", item.set_up_minutes, 1),
            }
            for item in decision.next_checks
        ],
        "best_set": _best_set(decision.best_set),
        "repair_plan": repair_plan(decision.repair_plan, assessment.risk.work),
        "before_sale": before_sale(decision.before_sale),
    }


def _price_lines(items: tuple[PriceLine, ...]) -> list[Json]:
    """Rounded so that the lines add up to the rounded cautious price."""
    exact = tuple(rounded("decision.items.amount", item.amount, 9) for item in items)
    return [
        {
            "label": item.label,
            "amount": amount,
            "part": item.part,
            "weak_point": item.weak_point,
            "chance": None if item.chance is None else chance("decision.items.chance", item.chance),
        }
        for item, amount in zip(items, adding_up(exact, 2), strict=True)
    ]


def _best_set(best: BestSet | None) -> Json | None:
    if best is None:
        return None
    place = "decision.best_set"
    return {
        "checks": list(best.checks),
        "minutes": rounded(f"{place}.minutes", best.minutes, 1),
        "check_cost": money(f"{place}.check_cost", best.check_cost),
        "value": money(f"{place}.value", best.value),
        "decision_value": optional_money(f"{place}.decision_value", best.decision_value),
        "method": best.method,
        "bound": chance(f"{place}.bound", best.assured),
        "candidates": best.candidates,
    }


def _coverage(coverage: Coverage) -> Json:
    return {
        "checked": [_checked(item) for item in coverage.checked],
        "not_checked": _uncounted(coverage.not_checked),
        "void": _uncounted(coverage.void),
        "core_done": coverage.core_done,
        "core_total": coverage.core_total,
    }


def _checked(item: Checked) -> Json:
    return {
        "check": item.check,
        "result": item.result,
        "reading": item.reading,
        "observed_by": item.observed_by,
        "threshold": _threshold(f"coverage.checked.{item.check}.threshold", item.threshold),
        "cylinders": list(item.cylinders),
    }


def _threshold(place: str, limit: Threshold | None) -> Json | None:
    if limit is None:
        return None
    lower, upper = (None if bound is None else rounded(place, bound, 6) for bound in (limit.lower, limit.upper))
    return {"from": lower, "below": upper, "unit": limit.unit, "source": limit.source, "source_kind": limit.source_kind}


def _uncounted(items: tuple[Uncounted, ...]) -> list[Json]:
    return [{"check": item.check, "reason": item.reason} for item in items]
