"""The checklist of a visit for a clipboard: the same query as its page."""

from __future__ import annotations

from datetime import UTC, datetime

from flask import Response, request

from riskapi import service
from riskapi.errors import CaseError
from riskapi.intake import canonical, read_case
from riskapi.report.audit import json_bytes
from riskapi.report.checklist_content import checklist_report
from riskapi.report.checklist_result import checklist_to_json
from riskapi.report.language import spoken
from riskapi.report.sealing import midnight
from riskapi.web.pages import form
from riskapi.web.pages.routes import routes
from riskapi.web.pages.start import start_page
from riskapi.web.state import state


@routes.get("/visit/checklist.pdf")
def visit_pdf() -> Response:
    """A PDF in the reader's language; back to the first page with the faults if there are any."""
    asked, pack = form.asked_from(request.args), state().pack
    try:
        case = read_case(canonical(form.case_of(asked, pack, datetime.now(UTC).date())), pack)
        made = service.checklist(case, pack)
    except CaseError as error:
        return start_page(asked, error.faults, 422)
    report, told = checklist_report(made, case, pack, language=spoken()), json_bytes(checklist_to_json(made, pack))
    answer = Response(state().sealer().pdf(report, midnight(case.as_of), told), content_type="application/pdf")
    answer.headers["Content-Disposition"] = 'inline; filename="checklist.pdf"'
    return answer
