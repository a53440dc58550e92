"""/v1/assessments: make one, read it again, print it."""

from __future__ import annotations

from typing import Any

from flask import Response, url_for
from marshmallow import fields
from marshmallow.validate import OneOf

from riskapi.desk import AUDIT, REPORT, WATCH, make_assessment, printed, printed_for
from riskapi.domain.choices import EDITIONS
from riskapi.intake import CaseSchema, read_case
from riskapi.intake.paper import PAPER_SAMPLE, OnPaperSchema, Paper, read_paper
from riskapi.report.edition import BUYER, Edition
from riskapi.report.language import DEFAULT, METRIC, Units
from riskapi.report.sections import Letterhead
from riskapi.web.answers import ResultSchema
from riskapi.web.assessment_list import AssessmentListSchema, AssessmentQuerySchema, list_answer
from riskapi.web.body import json_body
from riskapi.web.idempotency import idempotency_key
from riskapi.web.language import WordingQuerySchema, asked_language, in_language
from riskapi.web.photos import check_photos, photos
from riskapi.web.routes import Routes
from riskapi.web.sample import examples
from riskapi.web.state import state
from riskapi.web.versions import link_versions

routes = Routes("assessments", "Assessments: a case goes in, the result and its report come out.")


class EditionQuerySchema(WordingQuerySchema):
    """Which edition, in which language and units."""

    edition = fields.String(
        load_default=BUYER.kind, validate=OneOf(EDITIONS), metadata={"description": "For whom it is printed."}
    )
    price = fields.String(
        load_default="yes",
        validate=OneOf(("yes", "no")),
        metadata={"description": "With advice and price, or without."},
    )


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
    query=EditionQuerySchema,
    media_type="application/pdf",
)
def get_report(query: dict[str, Any], identifier: str) -> Response:
    """Print an assessment

    A PDF of a few pages: an edition is printed when first asked for in a language and in units, then kept, so that it
    is the same bytes each time. The buyer's begins with what to do, the inspector's with what was ordered and seen.
    """
    language, edition = asked_language(query["language"]), Edition(query["edition"], query["price"] == "yes")
    answer = _document(identifier, REPORT, "application/pdf", language, query["units"], edition)
    return in_language(answer, language)


@routes.ask(
    "/assessments/<string:identifier>/report.pdf",
    OnPaperSchema,
    None,
    sample=PAPER_SAMPLE,
    errors=(404, 409),
    query=WordingQuerySchema,
    media_type="application/pdf",
)
def print_on_paper(query: dict[str, Any], identifier: str) -> Response:
    """Print an assessment on your own letterhead

    The letterhead and this PDF are not kept.
    """
    language, paper = asked_language(query["language"]), read_paper(json_body())
    edition = Edition(paper.edition, paper.price, _letterhead(paper))
    content = printed_for(state(), identifier, language, query["units"], edition)
    answer = Response(content, content_type="application/pdf")
    answer.headers["Content-Disposition"] = f'inline; filename="{REPORT}"'
    return in_language(answer, language)


def _letterhead(paper: Paper) -> Letterhead | None:
    """With the logo from the photos of the account. Raises NotFound."""
    logo = None if paper.logo is None else photos().get(paper.logo).content
    return None if paper.name is None else Letterhead(paper.name, paper.lines, logo)


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


def _document(
    identifier: str,
    name: str,
    media_type: str,
    language: str = DEFAULT,
    units: Units = METRIC,
    edition: Edition = BUYER,
) -> Response:
    found = printed(state(), identifier, name, language, units, edition=edition)
    answer = Response(found.content, content_type=media_type)
    answer.headers["Content-Disposition"] = f'inline; filename="{name}"'
    return answer
