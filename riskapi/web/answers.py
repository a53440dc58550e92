"""Schemas of the result of an assessment, as riskapi/report/result.py writes it. They only describe it: the result
is sent byte for byte as it is kept.
"""

from __future__ import annotations

from typing import Any

from marshmallow import fields
from marshmallow.validate import Range

from riskapi.domain.case import NOT_CHECKED, OBSERVED_BY
from riskapi.domain.knowledge import HAZARDS, WARNINGS
from riskapi.web.answer_fields import (
    AnswerSchema,
    chance,
    count,
    flag,
    many,
    money,
    number,
    numbers,
    one,
    text,
    texts,
    word,
)
from riskapi.web.plan_answers import AfterPurchaseSchema, BeforeSaleSchema, RepairPlanSchema

ADVICE = ("do_not_drive", "repair_first", "look_closer", "price_it_in", "nothing_stands_out")

PRICE_PARTS = ("usual_price", "needed_now", "later", "planned", "shared_access", "scrap", "bad_run")


class KnowledgeUsedSchema(AnswerSchema):
    version = text("Version of the knowledge pack.")
    digest = text("SHA-256 of the knowledge pack's files.")
    judgement_share = chance("Share of the lifetimes used that is the authors' judgement.")


class IdentifiedSchema(AnswerSchema):
    revision = text("Revision; null when the engine is generic.", allow_none=True)
    name = text("Its name.")
    probability = chance("How probable it is.")


class RootEvidenceSchema(AnswerSchema):
    check = text("The check.")
    result = text("Its result.")
    value = text("The value that it speaks about most.")
    decibans = number("10 log10 of the odds ratio of this value, this finding alone [decibans].")
    words = text("The same in words.")


class TraitValueSchema(AnswerSchema):
    value = text("A value of the trait.")
    probability = chance("How probable it is.")
    before = chance("The same before the findings, given the history.")
    usual = chance("How common it is where nothing is known.")


class TraitChancesSchema(AnswerSchema):
    trait = text("A trait that nobody stated and that matters in more than one place.")
    values = many(TraitValueSchema, "Its values.")
    says = many(RootEvidenceSchema, "Findings that speak for or against a value, the most telling first.")
    settled_by = texts("Checks not done yet that read it.")


class IdentificationSchema(AnswerSchema):
    generic = flag("Whether the engine is known by its traits only.")
    family = text("Engine family; null when the engine is generic.", allow_none=True)
    how = text("How the engine was established.")
    settled_by = texts("Checks not done yet that tell the revisions apart, the most telling first.")
    says = many(RootEvidenceSchema, "Findings that speak for or against a revision, the most telling first.")


class CareSchema(AnswerSchema):
    careful = chance("Undocumented years with careful service.")
    average = chance("Undocumented years with average service.")
    neglected = chance("Undocumented years with neglected service.")


class AfterWorkSchema(AnswerSchema):
    score = number("The score after the work listed [0..100].", validate=Range(0, 100))
    weak_points = texts("Weak points put right for it.")


class FixedChanceSchema(AnswerSchema):
    amount = money("A fixed amount.")
    years = number("Within so many years [years].")
    probability = chance("Chance that surprise engine repairs exceed it, on the pack's default prices.")


class RiskSchema(AnswerSchema):
    score = number(
        "100 times the chance that surprise engine repairs exceed the repair budget [0..100].", validate=Range(0, 100)
    )
    band = fields.List(
        fields.Float(),
        required=True,
        metadata={
            "description": "10th and 90th percentile of the score over the doubt about lifetimes.",
            "minItems": 2,
            "maxItems": 2,
        },
    )
    band_sample_size = number("Effective number of parameter combinations behind the band.")
    repair_budget = money("The repair budget over the ownership period.")
    budget_origin = text("Where the budget comes from.")
    after_work = one(AfterWorkSchema, "The same after the work listed.")
    fixed = many(FixedChanceSchema, "Chances at fixed amounts; the thresholds a publication may show.")


class StatesSchema(AnswerSchema):
    sound = chance("Chance of the state sound.")
    degraded = chance("Chance of the state degraded.")
    faulty = chance("Chance of the state faulty.")


class EvidenceSchema(AnswerSchema):
    check = text("The check.")
    result = text("Its result.")
    decibans = number("10 log10 of the odds ratio of 'not sound', this finding alone [decibans].")
    last_in = number("The same, added to all other findings [decibans].")
    words = text("The same in words.")


class WeakPointAnswerSchema(AnswerSchema):
    id = text("Weak point.")
    name = text("Its name.")
    part = text("Part revision thought to be fitted.")
    prior = one(StatesSchema, "Chances of its states before the findings.")
    state = one(StatesSchema, "Chances of its states today.")
    failure_probability = chance("Chance that it fails in the ownership period, immediate faults included.")
    expected_cost = money("Expected unplanned cost in the ownership period.")
    expected_immediate_cost = money("Expected cost of what has to be repaired at once.")
    hazard = word("What a failure can do.", HAZARDS)
    warning = word("How much warning it gives.", WARNINGS)
    no_look_can_see = flag("Whether no check can see it coming.")
    explanation = text("What a technician would say about it, made from these numbers.")
    evidence = many(EvidenceSchema, "What the findings said about it.")
    cautions = texts("Cautions.")


class SpreadSchema(AnswerSchema):
    mean = money("Mean.")
    discounted_mean = money("Mean, discounted at the real rate.")
    p10 = money("10th percentile.")
    p50 = money("Median.")
    p80 = money("80th percentile.")
    p90 = money("90th percentile.")
    p_zero = chance("Chance of nothing at all.")
    typical_if_any = money("Median of what is not zero; null when there is never anything.", allow_none=True)


class YearCostSchema(AnswerSchema):
    year = number("Up to the end of this year of ownership [years].")
    mean = money("Mean so far.")
    p10 = money("10th percentile so far.")
    p50 = money("Median so far.")
    p90 = money("90th percentile so far.")


class PlannedItemSchema(AnswerSchema):
    id = text("The work.")
    name = text("Its name.")
    times = number("Expected number of times.")
    cost = money("Expected cost.")


class CostSchema(AnswerSchema):
    currency = text("Currency of every amount of this answer (ISO 4217).")
    unplanned = one(SpreadSchema, "Surprise repairs, immediate ones included.")
    planned = one(SpreadSchema, "Planned work.")
    immediate = one(SpreadSchema, "What has to be repaired at once.")
    shared_access_saving = money("Mean saving because immediate jobs share access.")
    by_year = many(YearCostSchema, "Surprise repairs, cumulative.")
    planned_items = many(PlannedItemSchema, "Planned work falling due.")
    step = number("Step of the cost lattice [cost.currency].")


class PriceLineSchema(AnswerSchema):
    label = text("What the amount is for.")
    amount = money("Signed amount.")
    part = text("Part of the price: " + ", ".join(PRICE_PARTS) + ".")
    weak_point = text("The weak point it is about; null on other lines.", allow_none=True)
    chance = chance("Chance that the repair is needed now; null on other lines.", allow_none=True)


class NextCheckSchema(AnswerSchema):
    check = text("The check.")
    set_up = text("The set-up it needs, shared with other checks; null when none.", allow_none=True)
    value_of_information = money("What knowing its result is worth.")
    basis = word("Worth for the decision, or narrower costs where no price is stated.", ("decision", "spread"))
    check_cost = money("What the check costs.")
    minutes = number("How long it takes [min].")
    set_up_value = money("What the checks of its set-up are worth together; null without a set-up.", allow_none=True)
    set_up_minutes = number("How long its set-up takes, once for all its checks [min].")


class BestSetSchema(AnswerSchema):
    checks = texts("Checks that the minutes left of the visit are best spent on, in the order of the pack.")
    minutes = number("What they take, set-ups counted once [min].")
    check_cost = money("What a workshop takes for them.")
    value = money("How far their results together move the expected cost: standard deviation, a floor.")
    decision_value = money("What they are worth to the decision at least; null without a price.", allow_none=True)
    method = word("Whether no other choice is better, or how it was found.", ("exact", "greedy"))
    bound = chance("Share of the best possible value that is reached for certain.")
    candidates = count("How many it was chosen from: those that tell most by themselves.")


class DecisionSchema(AnswerSchema):
    advice = word("What to do.", ADVICE)
    hazards = texts("Weak points whose hazard forbids driving.")
    reasons = texts("Why, in sentences.")
    reason_weak_points = texts("Those of the reasons that are weak points.")
    price_for_findings = money("Price at which the findings are paid for; null without sound_value.", allow_none=True)
    cautious_price = money("The same for a cautious buyer; null without sound_value.", allow_none=True)
    items = many(PriceLineSchema, "From the value as usually sold to the cautious price; the amounts add up to it.")
    next_checks = many(NextCheckSchema, "What to look at next, best value first.")
    best_set = one(
        BestSetSchema,
        "The best checks within the minutes left of the visit; null where none are stated or nothing fits.",
        allow_none=True,
    )
    repair_plan = one(RepairPlanSchema, "What to put right at purchase, and what to watch.")
    before_sale = one(
        BeforeSaleSchema, "Work before the sale; null unless a workshop rate and a value are stated.", allow_none=True
    )


class ThresholdSchema(AnswerSchema):
    """From a value up to but not including another the result holds [unit]."""

    from_ = number("The least value with this result; null without bound.", data_key="from", allow_none=True)
    below = number("The value from which the next result holds; null without bound.", allow_none=True)
    unit = text("Unit of both, or what was compared.")
    source = text("Where the bounds come from.")
    source_kind = text("Kind of that source.")


def _between(description: str) -> fields.List[Any]:
    told = {
        "description": f"{description} [0..1]: lowest and highest, equal where exact.",
        "minItems": 2,
        "maxItems": 2,
    }
    return fields.List(fields.Float(validate=Range(0, 1)), required=True, metadata=told)


class ContractFiguresSchema(AnswerSchema):
    price = money("What the contract costs.")
    years = number("Time in which both contract and ownership run; the figures are for it [years].")
    waiting = number("Time after the purchase in which it pays for no failure [years].")
    covered = texts("Weak points of this engine that it covers.")
    existing_faults = flag("Whether it pays for what is faulty already at the purchase.")
    excess = money("What the owner pays of every claim.")
    limit_per_claim = money("The most paid for one claim; null without.", allow_none=True)
    limit_total = money("The most paid for all claims together; null without.", allow_none=True)
    covered_repairs = number("Expected number of repairs that are a claim.")
    expected_repairs = money("Surprise repairs, on average.")
    expected_payout = money("What it pays of them, on average.")
    expected_left = money("What is left of them to the owner, on average.")
    exceeds_without = chance("Chance that surprise repairs exceed the repair budget.")
    exceeds_with = _between("Chance that what is left of them to the owner does")
    exceeds_with_price = _between("The same with the price of the contract")


class CheckedSchema(AnswerSchema):
    check = text("The check.")
    result = text("Its result.")
    reading = text("The measured value with its unit, or empty.")
    observed_by = word("Who observed it.", OBSERVED_BY)
    threshold = one(ThresholdSchema, "What a measured value was held against; null where none was.", allow_none=True)
    cylinders = numbers("Cylinders that stood out, from 1 in the order stated.")


class UncountedSchema(AnswerSchema):
    check = text("The check.")
    reason = text("Why it has no weight: " + ", ".join(NOT_CHECKED) + ", or the conditions that were not met.")


class CoverageSchema(AnswerSchema):
    checked = many(CheckedSchema, "Findings that counted.")
    not_checked = many(UncountedSchema, "Checks not done.")
    void = many(UncountedSchema, "Findings without weight because their conditions were not met.")
    core_done = count("Core checks done.")
    core_total = count("Core checks there are.")


class AssumptionSchema(AnswerSchema):
    source = text("Where it comes from.")
    text = text("What was assumed.")


class ResultSchema(AnswerSchema):
    """The result of an assessment."""

    assessment_id = text("Id of the assessment.")
    created_at = fields.String(required=True, metadata={"description": "When it was made.", "format": "date-time"})
    as_of = fields.String(required=True, metadata={"description": "Assessment date.", "format": "date"})
    reference = text("The caller's own reference, or null.", allow_none=True)
    identity_commitment = text(
        "SHA-256 over a salt and the personal data that is kept apart; null where there is none.", allow_none=True
    )
    scope = text("What this covers: the engine only.")
    knowledge = one(KnowledgeUsedSchema, "The knowledge pack used.")
    identified = many(IdentifiedSchema, "Which revision it is.")
    identification = one(IdentificationSchema, "How that was established.")
    care = one(CareSchema, "Care in the undocumented years.")
    care_says = many(RootEvidenceSchema, "Findings that speak for or against a care, the most telling first.")
    tune = chance("Chance of a software tune nobody mentioned; null when stated.", allow_none=True)
    tune_says = many(RootEvidenceSchema, "Findings that speak for or against a tune.")
    traits = many(TraitChancesSchema, "Traits that nobody stated and that matter in more than one place.")
    risk = one(RiskSchema, "The score and what belongs to it.")
    weak_points = many(WeakPointAnswerSchema, "Weak points, highest expected cost first.")
    cost = one(CostSchema, "What the engine will cost.")
    decision = one(DecisionSchema, "What to do.")
    contract = one(ContractFiguresSchema, "A repair contract as offered; null without one.", allow_none=True)
    after_purchase = one(AfterPurchaseSchema, "After the purchase; null where it was not computed.", allow_none=True)
    coverage = one(CoverageSchema, "What was looked at.")
    facts = texts("Facts to ask about, such as disagreeing odometer readings.")
    assumptions = many(AssumptionSchema, "What was assumed.")
    cautions = texts("Cautions.")
