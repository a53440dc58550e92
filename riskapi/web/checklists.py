"""/v1/checklists: what to look at on a car, before the visit. Nothing is kept."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flask import Response

from riskapi import service
from riskapi.domain.case import Case
from riskapi.domain.checklist import Checklist
from riskapi.domain.knowledge import Pack
from riskapi.intake import CaseSchema, read_case
from riskapi.report.audit import json_bytes
from riskapi.report.checklist_content import checklist_report
from riskapi.report.checklist_result import checklist_to_json
from riskapi.report.clipboard import call_sheet, clipboard_report
from riskapi.report.language import speaking
from riskapi.report.sealing import midnight
from riskapi.report.sections import Report
from riskapi.web.body import json_body
from riskapi.web.checklist_answers import ChecklistSchema
from riskapi.web.language import WordingQuerySchema, asked_language, in_language
from riskapi.web.routes import Routes
from riskapi.web.sample import SAMPLE
from riskapi.web.state import state
from riskapi.web.visit_address import visit_address

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
    return _printed(query, "checklist.pdf", checklist_report)


@routes.ask(
    "/checklists/clipboard.pdf",
    CaseSchema,
    None,
    sample=SAMPLE,
    query=WordingQuerySchema,
    media_type="application/pdf",
)
def print_clipboard(query: dict[str, Any]) -> Response:
    """Print a checklist to be filled in by hand

    In the order of the visit, each check with its own words to ring. Its code opens the same list on a phone, where the
    public address of this service is set. Nothing is kept.
    """
    return _printed(query, "clipboard.pdf", _clipboard)


@routes.ask(
    "/checklists/call-sheet.pdf",
    CaseSchema,
    None,
    sample=SAMPLE,
    query=WordingQuerySchema,
    media_type="application/pdf",
)
def print_call_sheet(query: dict[str, Any]) -> Response:
    """Print a sheet for the telephone, before the visit

    What to ask, what to ask to be left as it is, which papers to have sent. Nothing is kept.
    """
    return _printed(query, "call-sheet.pdf", call_sheet)


def _clipboard(made: Checklist, case: Case, pack: Pack, *, language: str) -> Report:
    address = state().address
    link = visit_address(address, case) if address else ""
    return clipboard_report(made, case, pack, language=language, link=link)


def _printed(query: dict[str, Any], name: str, report: Callable[..., Report]) -> Response:
    """The report of the case in the body, in the language and units asked for, sealed."""
    language, pack = asked_language(query["language"]), state().pack
    case, made = _made()
    told = json_bytes(checklist_to_json(made, pack))
    with speaking(language, query["units"]):
        content = state().sealer().pdf(report(made, case, pack, language=language), midnight(case.as_of), told)
    answer = Response(content, content_type="application/pdf")
    answer.headers["Content-Disposition"] = f'inline; filename="{name}"'
    return in_language(answer, language)


def _made() -> tuple[Case, Checklist]:
    """The case in the body and its checklist. Raises CaseError, FindingsClash, TooComplex."""
    case = read_case(json_body(), state().pack)
    return case, service.checklist(case, state().pack)
