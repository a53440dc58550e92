"""/v1/checklists: what to look at on a car, before the visit. Nothing is kept."""

from __future__ import annotations

from typing import Any

from flask import Response

from riskapi import service
from riskapi.domain.case import Case
from riskapi.domain.checklist import Checklist
from riskapi.intake import CaseSchema, read_case
from riskapi.report.audit import json_bytes
from riskapi.report.checklist_content import checklist_report
from riskapi.report.checklist_result import checklist_to_json
from riskapi.report.language import speaking
from riskapi.report.sealing import midnight
from riskapi.web.body import json_body
from riskapi.web.checklist_answers import ChecklistSchema
from riskapi.web.language import WordingQuerySchema, asked_language, in_language
from riskapi.web.routes import Routes
from riskapi.web.sample import SAMPLE
from riskapi.web.state import state

routes = Routes("checklists", "Checklists: what is worth looking at on a car known only from its listing.")


@routes.ask("/checklists", CaseSchema, ChecklistSchema, sample=SAMPLE)
def make_checklist() -> Response:
    """Make a checklist for a visit

    The same case as for an assessment; findings are not needed, and those there are count. `visit` says how many
    minutes there are, with which equipment and consents. Nothing is kept.
    """
    _, made = _made()
    return Response(json_bytes(checklist_to_json(made, state().pack)), content_type="application/json")


@routes.ask(
    "/checklists/checklist.pdf",
    CaseSchema,
    None,
    sample=SAMPLE,
    query=WordingQuerySchema,
    media_type="application/pdf",
)
def print_checklist(query: dict[str, Any]) -> Response:
    """Print a checklist for a visit

    The same as a PDF. Nothing is kept.
    """
    language = asked_language(query["language"])
    case, made = _made()
    pack = state().pack
    told = json_bytes(checklist_to_json(made, pack))
    with speaking(language, query["units"]):
        report = checklist_report(made, case, pack, language=language)
        content = state().sealer().pdf(report, midnight(case.as_of), told)
    answer = Response(content, content_type="application/pdf")
    answer.headers["Content-Disposition"] = 'inline; filename="checklist.pdf"'
    return in_language(answer, language)


def _made() -> tuple[Case, Checklist]:
    """The case in the body and its checklist. Raises CaseError, FindingsClash, TooComplex."""
    case = read_case(json_body(), state().pack)
    return case, service.checklist(case, state().pack)
