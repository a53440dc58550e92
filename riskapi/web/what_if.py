"""/v1/assessments/{id}/what-if: other plans, prices or budget, without a new inspection. Nothing is kept of it."""

from __future__ import annotations

import json

from flask import Response
from marshmallow import fields
from marshmallow.validate import Range

from riskapi import service
from riskapi.desk.again import case_again
from riskapi.intake.what_if import WhatIfSchema, read_changes
from riskapi.report.audit import json_bytes
from riskapi.report.sensitivity import sensitivity_json
from riskapi.report.what_if import figures_json, stored_json
from riskapi.storage import StoredAssessment
from riskapi.web.answer_fields import AnswerSchema, chance, many, money, number, one, text, word
from riskapi.web.answers import ADVICE, YearCostSchema
from riskapi.web.body import json_body
from riskapi.web.routes import Routes
from riskapi.web.state import State, state

routes = Routes("what-if", "What if: other plans, prices or budget for a car that was assessed.")
SAMPLE = {
    "ownership": {"years": {"value": 5, "unit": "years"}, "annual_distance": {"value": 20000, "unit": "km"}},
    "market": {"labour_rate": {"value": 120, "unit": "EUR/h"}},
}


class WhatIfSpreadSchema(AnswerSchema):
    mean = money("Mean.")
    p10 = money("10th percentile.")
    p50 = money("Median.")
    p80 = money("80th percentile.")
    p90 = money("90th percentile.")
    p_zero = chance("Chance of nothing at all.")


class FiguresSchema(AnswerSchema):
    years = number("Ownership period [years].")
    annual_distance = number("Distance per year [km].")
    repair_budget = money("The repair budget over the ownership period.")
    score = number(
        "100 times the chance that surprise engine repairs exceed the budget [0..100].", validate=Range(0, 100)
    )
    unplanned = one(WhatIfSpreadSchema, "Surprise repairs, immediate ones included.")
    planned_mean = money("Planned work, on average.")
    by_year = many(YearCostSchema, "Surprise repairs, cumulative.")
    price_for_findings = money("Price at which the findings are paid for; null without sound_value.", allow_none=True)
    cautious_price = money("The same for a cautious buyer; null without sound_value.", allow_none=True)
    net_benefit = money(
        "Price for the findings less the asking price; null where one of them is missing.", allow_none=True
    )
    advice = word("What to do.", ADVICE)


class WhatIfAnswerSchema(AnswerSchema):
    """Figures as they were assessed, and with the changes."""

    assessment_id = text("Id of the assessment.")
    currency = text("Currency of every amount of this answer (ISO 4217).")
    stored = one(FiguresSchema, "As assessed.")
    what_if = one(FiguresSchema, "With the changes.")


@routes.ask(
    "/assessments/<string:identifier>/what-if", WhatIfSchema, WhatIfAnswerSchema, sample=SAMPLE, errors=(404, 409)
)
def ask_what_if(identifier: str) -> Response:
    """Ask what if

    Other plans, prices or budget for a car that was assessed: every figure is the one that the changed case would be
    assessed with, beside the one it was. Nothing is kept. The findings stay as they are.
    """
    stored = state().repository.get(identifier)
    base = _base(stored, state())
    changes = read_changes(json_body(), base.case, base.pack)
    result = json.loads(stored.result_json)
    answer = {
        "assessment_id": stored.id,
        "currency": base.terms.level.currency,
        "stored": stored_json(result, base.terms.years, base.terms.annual, base.case.market.asking_price),
        "what_if": figures_json(service.what_if(base, changes)),
    }
    return Response(json_bytes(answer), content_type="application/json")


class MovedToSchema(AnswerSchema):
    value = fields.Raw(
        required=True,
        allow_none=True,
        metadata={
            "description": "The value taken: a number in `unit`, or an id; null where a finding is left out.",
            "type": ["number", "string"],
        },
    )
    words = text("The same in words.")
    cost = money("Expected surprise repairs then.")


class BarSchema(AnswerSchema):
    kind = word("What kind of thing it is.", ("finding", "assumption", "knowledge"))
    what = text("What was varied.")
    id = text("The check or weak point it is about, else the same as `what`.")
    name = text("Its name.")
    unit = text("Unit of a numeric value; null without.", allow_none=True)
    low = one(MovedToSchema, "The end with the lower cost.")
    high = one(MovedToSchema, "The end with the higher cost.")
    width = money("Distance between the two.")


class SensitivitySchema(AnswerSchema):
    """What moves the expected cost most, one thing at a time."""

    assessment_id = text("Id of the assessment.")
    currency = text("Currency of every amount of this answer (ISO 4217).")
    mean = money("Expected surprise repairs as assessed.")
    bars = many(BarSchema, "What moves them, most first.")


@routes.get("/assessments/<string:identifier>/sensitivity", SensitivitySchema, errors=(404, 409))
def get_sensitivity(identifier: str) -> Response:
    """See what moves the expected cost

    Each finding left out, each assumption varied, each doubtful lifetime taken short and long, one at a time. Computed
    when asked for; nothing is kept.
    """
    stored = state().repository.get(identifier)
    base = _base(stored, state())
    told = sensitivity_json(service.sensitivity(base), base.pack, base.terms.level.currency)
    return Response(json_bytes({"assessment_id": stored.id, **told}), content_type="application/json")


def _base(stored: StoredAssessment, using: State) -> service.Base:
    """What the changes leave alone: of an assessment asked about lately it is still there, else computed again."""
    key = (stored.id, stored.knowledge_digest)
    return using.bases.get(key, lambda: service.base_of(*case_again(using, stored)))
