"""The answer of /v1/checklists as published."""

from __future__ import annotations

from marshmallow import fields

from riskapi.domain.knowledge import CONSENTS, EQUIPMENT, HAZARDS
from riskapi.web.answer_fields import AnswerSchema, chance, count, flag, many, number, one, text, texts, word
from riskapi.web.answers import AssumptionSchema, IdentifiedSchema, KnowledgeUsedSchema
from riskapi.web.check_answers import ConditionSchema

TIERS = ("ten_minutes", "forty_five_minutes", "workshop", "whole_visit")


def amount(description: str, **kwargs: bool) -> fields.Float:
    return number(f"{description} [currency]", **kwargs)


class VisitAnswerSchema(AnswerSchema):
    place = text("Where, as stated.", allow_none=True)
    minutes = number("Minutes there are [min]; null: as long as it takes.", allow_none=True)
    equipment = word("The best equipment at hand.", EQUIPMENT)
    consent = word("The furthest consent there is.", CONSENTS)


class TierSchema(AnswerSchema):
    name = word("Which tier; each contains the one before.", TIERS)
    limit = number("Minutes of the tier [min]; null without a limit.", allow_none=True)
    added = texts("Checks that this tier adds, in the order of the visit.")
    acts = count("Checks up to this tier.")
    minutes = number("What they take, set-ups counted once [min].")
    check_cost = amount("What a workshop takes for them.")
    value = amount("How far their results together move the expected cost: standard deviation, a floor.")
    decision_value = amount("What they are worth to the decision at least; null without a price.", allow_none=True)
    method = word("Whether no other choice is better, or how it was found.", ("exact", "greedy"))
    assured = chance("Share of the best possible value that is reached for certain.")


class SpeaksToSchema(AnswerSchema):
    weak_point = text("Weak point.")
    name = text("Its name.")
    not_sound = chance("Chance that it is degraded or faulty today.")
    power = chance("By how much that lifts the chance of an unusual result.")


class LookSetUpSchema(AnswerSchema):
    id = text("Set-up, shared by checks.")
    name = text("Its name.")
    opens = flag("Whether it is made for this check; later checks find it made.")
    minutes = number("How long it takes [min].")
    cautions = texts("Cautions.")


class LookResultSchema(AnswerSchema):
    id = text("What to write as `result` of the finding.")
    name = text("The same in words.")


class ThresholdSourceSchema(AnswerSchema):
    kind = text("published, standard, common_practice, judgement or memory.")
    citation = text("Where the thresholds come from.")


class ThresholdsSchema(AnswerSchema):
    reduce = text("How several values become one: value, lowest, highest, lowest_share or low_neighbours.")
    unit = text("Unit of a measured value.")
    bounds = fields.List(fields.Float(), required=True, metadata={"description": "Bounds between the results."})
    bounds_unit = text("Unit of the bounds.")
    descending = flag("Whether the highest value gives the first result.")
    source = one(ThresholdSourceSchema, "Where the thresholds come from.")


class AlsoSchema(AnswerSchema):
    check = text("A check that the same act answers.")
    name = text("Its name.")
    results = many(LookResultSchema, "Its results, best first.")
    measure = one(ThresholdsSchema, "Thresholds; null where nothing is measured.", allow_none=True)


class VisitCheckSchema(AnswerSchema):
    position = count("Place in the visit, from 1.")
    check = text("Check.")
    name = text("Its name.")
    tier = word("The first tier it is in.", TIERS)
    core = flag("Whether a verdict needs it.")
    value_of_information = amount("What it is worth by itself.")
    basis = word("Worth for the decision, or narrower costs.", ("decision", "spread"))
    minutes = number("How long it takes without its set-up [min].")
    check_cost = amount("What a workshop takes for it.")
    set_up = one(LookSetUpSchema, "What comes first; null when nothing.", allow_none=True)
    equipment = word("Equipment it needs.", EQUIPMENT)
    consent = word("Consent it needs.", CONSENTS)
    how = text("How to do it.")
    why = many(SpeaksToSchema, "Weak points of this car that it speaks to, most first.")
    tells_of = texts("What it tells of the whole car: care or revision.")
    proves = texts("Conditions of other checks that it shows.")
    conditions = many(ConditionSchema, "Conditions that must hold for it to count.")
    results = many(LookResultSchema, "Its results, best first.")
    measure = one(ThresholdsSchema, "Thresholds; null where nothing is measured.", allow_none=True)
    also_answers = many(AlsoSchema, "Checks that the same act answers.")
    cautions = texts("Cautions.")


class QuestionSchema(AnswerSchema):
    id = text("Question.")
    why = text("Why, or empty.")
    check = text("The check that the answer is hearsay of; null for a request.", allow_none=True)
    value_of_information = amount("What the answer is worth as hearsay; null for a request.", allow_none=True)
    text = text("What to ask or to ask for.")


class PaperSchema(AnswerSchema):
    id = text("Paper or thing.")
    why = text("Why, or empty.")
    text = text("What.")


class SupplySchema(AnswerSchema):
    part = text("Part revision.")
    since = fields.String(required=True, metadata={"description": "On sale since.", "format": "date"})


class InvoiceSchema(AnswerSchema):
    weak_point = text("Weak point whose renewal matters.")
    name = text("Its name.")
    fitted = text("Part fitted at the works.")
    supplies = many(SupplySchema, "Other parts on sale later.")
    interval_km = number("Planned interval [km]; null without one.", allow_none=True)
    interval_years = number("Planned interval [years]; null without one.", allow_none=True)
    expected_cost = amount("Expected surprise cost over the ownership period.")


class UnseenSchema(AnswerSchema):
    weak_point = text("Weak point that no look can see.")
    name = text("Its name.")
    failed_means = text("What counts as failed.")
    failure_probability = chance("Chance of failing over the ownership period.")
    expected_cost = amount("Expected surprise cost over the ownership period.")
    hazard = word("Danger when it fails.", HAZARDS)


class LeftOutSchema(AnswerSchema):
    check = text("A check worth doing that the limits rule out.")
    reason = word("Which limit.", ("equipment", "consent", "time"))
    value_of_information = amount("How far it would move the expected cost by itself.")
    minutes = number("How long it takes without its set-up [min].")


class ChecklistSchema(AnswerSchema):
    """What to look at on one car, in the order of the visit."""

    as_of = fields.String(required=True, metadata={"description": "Assessment date.", "format": "date"})
    reference = text("The caller's own reference, or null.", allow_none=True)
    scope = text("What this covers: the engine only.")
    knowledge = one(KnowledgeUsedSchema, "The knowledge pack used.")
    identified = many(IdentifiedSchema, "Which revision it is.")
    currency = text("Currency of every amount (ISO 4217).")
    ownership_years = number("Ownership period [years].")
    visit = one(VisitAnswerSchema, "The limits of the visit.")
    expected_cost = amount("Expected surprise cost with what is known so far.")
    knowable = amount("How far all checks within equipment and consent would move it together.")
    tiers = many(TierSchema, "What to do with how much time.")
    core_total = count("Core checks there are.")
    checks = many(VisitCheckSchema, "The checks, in the order of the visit.")
    questions = many(QuestionSchema, "What to ask before going.")
    papers = many(PaperSchema, "Papers to see.")
    invoices = many(InvoiceSchema, "Invoices that matter for this engine.")
    bring = many(PaperSchema, "What to bring.")
    unseen = many(UnseenSchema, "What no look can see.")
    left_out = many(LeftOutSchema, "What these limits leave out, most telling first.")
    facts = texts("Facts to ask about.")
    assumptions = many(AssumptionSchema, "What was assumed.")
    cautions = texts("Cautions.")
