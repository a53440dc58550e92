"""What happened after an assessment: told once or several times, read back, and exported."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import UTC, date, datetime
from typing import Any

from flask import Response, request
from marshmallow import fields

from riskapi.intake import canonical, read_document
from riskapi.intake.outcome import OUTCOME_SAMPLE, OutcomeSchema, read_outcome
from riskapi.report.outcome_export import ndjson_line, outcome_object
from riskapi.storage import Intent
from riskapi.storage.outcomes import Outcomes, StoredOutcome
from riskapi.web.answer_fields import AnswerSchema, many, text
from riskapi.web.body import json_body
from riskapi.web.idempotency import idempotency_key
from riskapi.web.routes import Routes
from riskapi.web.state import state

routes = Routes("outcomes", "Outcomes: what happened after an assessment. Kept and exported; nothing is computed anew.")


class ToldSchema(AnswerSchema):
    """One telling, as it was sent, with its ids."""

    outcome_id = text("Id of this telling.")
    assessment_id = text("Id of the assessment.")
    created_at = text("When it was received (RFC 3339).")
    told_on = text("Date of this telling.")
    told_by = text("Who tells it.")
    bought = text("Whether the car was bought: yes, no or undecided.")
    bought_on = fields.String(metadata={"description": "When."})
    price_paid = fields.Dict(metadata={"description": "What was paid: value and unit."})
    odometer = fields.Dict(metadata={"description": "Odometer at this telling: value and unit."})
    found = fields.List(fields.Dict(), metadata={"description": "What was found since, as it was sent."})
    note = fields.String(metadata={"description": "Anything else."})


class ToldListSchema(AnswerSchema):
    """Everything told about one assessment."""

    items = many(ToldSchema, "The tellings, the first one first.")


@routes.post(
    "/assessments/<string:identifier>/outcome", OutcomeSchema, ToldSchema, sample=OUTCOME_SAMPLE, errors=(404,)
)
def tell_outcome(identifier: str) -> tuple[dict[str, Any], int]:
    """Tell what happened

    Whether the car was bought, what was paid, what was found since; an empty list of findings says that nothing was, so
    far. Tell it again when there is more: every telling is kept.
    """
    key, body = idempotency_key(), json_body()
    assessed = state().repository.get(identifier)
    result = json.loads(assessed.result_json)
    as_of = date.fromisoformat(json.loads(assessed.case_json)["as_of"])
    read_outcome(body, as_of, result["cost"]["currency"], state().pack)
    content = canonical(read_document(body).value)
    intent = Intent.to(key, content, request.path)
    return _object(_outcomes().add(identifier, content, datetime.now(UTC), intent)), 201


@routes.get("/assessments/<string:identifier>/outcome", ToldListSchema, errors=(404,))
def get_outcomes(identifier: str) -> dict[str, Any]:
    """Read what was told about an assessment"""
    return {"items": [_object(each) for each in _outcomes().of(identifier)]}


@routes.get("/outcomes.ndjson", None, media_type="application/x-ndjson")
def export_outcomes() -> Response:
    """Export everything you told

    One JSON object per line, the first telling first.
    """
    outcomes = _outcomes()

    def lines() -> Iterator[str]:
        for each in outcomes.all():
            yield ndjson_line(_object(each))

    return Response(lines(), content_type="application/x-ndjson")


def _outcomes() -> Outcomes:
    repository = state().repository
    return Outcomes(repository.engine, repository.account_id)


def _object(told: StoredOutcome) -> dict[str, Any]:
    return outcome_object(told.id, told.assessment_id, told.created_at, told.content)
