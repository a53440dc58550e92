"""/v1/assessments: make one, read it again, print it."""

from __future__ import annotations

from typing import Any

from flask import Response, url_for

from riskapi.desk import AUDIT, REPORT, WATCH, make_assessment, printed
from riskapi.intake import CaseSchema, read_case
from riskapi.report.language import DEFAULT, METRIC, Units
from riskapi.web.answers import ResultSchema
from riskapi.web.assessment_list import AssessmentListSchema, AssessmentQuerySchema, list_answer
from riskapi.web.body import json_body
from riskapi.web.idempotency import idempotency_key
from riskapi.web.language import WordingQuerySchema, asked_language, in_language
from riskapi.web.photos import check_photos
from riskapi.web.routes import Routes
from riskapi.web.sample import examples
from riskapi.web.state import state
from riskapi.web.versions import link_versions

routes = Routes("assessments", "Assessments: a case goes in, the result and its report come out.")
_LOCATION = {"Location": {"description": "Where the assessment can be read.", "schema": {"type": "string"}}}


@routes.post("/assessments", CaseSchema, ResultSchema, headers=_LOCATION, examples=examples())
def create_assessment() -> Response:
    """Assess a case

    The case is one car, its history and what was found on it. Every fault in it is answered at once.
    """
    key, body = idempotency_key(), json_body()
    case = read_case(body, state().pack)
    check_photos(case, state())
    made = make_assessment(case, body, state(), key)
    answer = Response(made.result_json, 201, content_type="application/json")
    answer.headers["Location"] = url_for("assessments.get_assessment", identifier=made.id)
    return answer


@routes.get("/assessments", AssessmentListSchema, query=AssessmentQuerySchema)
def list_assessments(query: dict[str, Any]) -> Any:
    """List your assessments

    Newest first.
    """
    limit, repository = query["limit"], state().repository
    return list_answer(repository.page(limit + 1, query["cursor"], query["reference"]), limit, repository)


@routes.get("/assessments/<string:identifier>", ResultSchema, errors=(404,))
def get_assessment(identifier: str) -> Response:
    """Read an assessment

    The same bytes as when it was made. The Link header leads to the latest version of the same car, and to all.
    A header Knowledge-Recalled says since when the knowledge it was made with is no longer to be relied on.
    """
    repository = state().repository
    made = repository.get(identifier)
    answer = Response(made.result_json, content_type="application/json")
    link_versions(answer, repository.standings([made])[identifier])
    if recall := repository.recalled([made]).get(made.knowledge_digest):
        answer.headers["Knowledge-Recalled"] = recall.recalled_at.isoformat()
    return answer


@routes.get(
    "/assessments/<string:identifier>/report.pdf",
    None,
    errors=(404, 409),
    query=WordingQuerySchema,
    media_type="application/pdf",
)
def get_report(query: dict[str, Any], identifier: str) -> Response:
    """Print an assessment

    A PDF of a few pages: printed when first asked for in a language and in units, then kept, so that it is the same
    bytes each time.
    """
    language = asked_language(query["language"])
    return in_language(_document(identifier, REPORT, "application/pdf", language, query["units"]), language)


@routes.get("/assessments/<string:identifier>/audit.zip", None, errors=(404, 409), media_type="application/zip")
def get_audit(identifier: str) -> Response:
    """Take an assessment away to recompute it

    The network for general libraries (BIF and XML), what was observed in it, every input resolved, and the result.
    """
    return _document(identifier, AUDIT, "application/zip")


@routes.get(
    "/assessments/<string:identifier>/watch.ics",
    None,
    errors=(404, 409),
    query=WordingQuerySchema,
    media_type="text/calendar",
)
def get_watch(query: dict[str, Any], identifier: str) -> Response:
    """Put the looks, services and questions of an assessment into a calendar

    An iCalendar file (RFC 5545), the same bytes each time.
    """
    language = asked_language(query["language"])
    answer = _document(identifier, WATCH, "text/calendar; charset=utf-8", language, query["units"])
    return in_language(answer, language)


def _document(identifier: str, name: str, media_type: str, language: str = DEFAULT, units: Units = METRIC) -> Response:
    answer = Response(printed(state(), identifier, name, language, units).content, content_type=media_type)
    answer.headers["Content-Disposition"] = f'inline; filename="{name}"'
    return answer
