"""GET /v1/assessments: what an account has, newest first."""

from __future__ import annotations

from typing import Any

from marshmallow import fields
from marshmallow.validate import Length

from riskapi.storage import Repository, Standing, StoredAssessment
from riskapi.storage.recalls import Recall
from riskapi.web.answer_fields import AnswerSchema, count, many, text
from riskapi.web.knowledge_answers import next_cursor
from riskapi.web.paging import PageQuerySchema, left_out


class AssessmentQuerySchema(PageQuerySchema):
    """Which assessments."""

    reference = fields.String(
        load_default=left_out,
        validate=Length(max=200),
        metadata={"description": "Only those that carry this reference of your own."},
    )


class AssessmentItemSchema(AnswerSchema):
    """An assessment on a list."""

    assessment_id = text("Id; the assessment is at /v1/assessments/{id}.")
    created_at = text("When it was made (RFC 3339).")
    reference = fields.String(
        required=True, allow_none=True, metadata={"description": "The caller's own reference, as it was sent."}
    )
    car = text("Id of the car in this account; its versions are at /v1/assessments/{id}/versions.")
    version = count("Which assessment of its car it is, from 1.")
    latest = text("Id of the latest version of this car.")
    recalled = text(
        "Why the knowledge it was made with is no longer to be relied on; null where it is.", allow_none=True
    )


class AssessmentListSchema(AnswerSchema):
    """A page of assessments, newest first."""

    items = many(AssessmentItemSchema, "The assessments of this page.")
    next = next_cursor()


def list_answer(found: list[StoredAssessment], limit: int, repository: Repository) -> dict[str, Any]:
    """A page of `limit` from one assessment more, if there is one more."""
    page = found[:limit]
    known, recalls = repository.standings(page), repository.recalled(page)
    items = [_item(each, known[each.id], recalls.get(each.knowledge_digest)) for each in page]
    return {"items": items, "next": page[-1].id if len(found) > limit else None}


def _item(made: StoredAssessment, standing: Standing, recall: Recall | None) -> dict[str, Any]:
    return {
        "assessment_id": made.id,
        "created_at": made.created_at.isoformat(),
        "reference": made.reference,
        "car": standing.version.car_id,
        "version": standing.version.number,
        "latest": standing.latest_id,
        "recalled": None if recall is None else recall.reason,
    }
