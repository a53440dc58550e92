"""From a Case to a kept assessment: compute, render, keep.

Result, report, audit and calendar are kept as they were first made, not made anew when asked for: so they stay the same
bytes even after the program or a library has changed. The case and the knowledge pack are kept beside them, so that
everything can be computed again.
"""

from __future__ import annotations

from datetime import UTC, datetime

from riskapi import __version__, service
from riskapi.domain.case import Case
from riskapi.intake import canonical, read_document
from riskapi.report.audit import audit_files, json_bytes
from riskapi.report.calendar_file import calendar_file
from riskapi.report.pdf import render_pdf
from riskapi.report.result import result_to_json
from riskapi.storage import Intent, StoredAssessment, new_id, pack_zip
from riskapi.web.state import State

REPORT, AUDIT, WATCH = "report.pdf", "audit.zip", "watch.ics"


def make_assessment(case: Case, body: bytes, state: State, key: str | None = None) -> StoredAssessment:
    """Assess the case that was read from `body` and keep it with its documents.

    `key` is the caller's for this write: sent again with the same body it gives what was made the first time. Raises
    CaseError, TooComplex, KeyReused.
    """
    content = canonical(read_document(body).value)
    intent = Intent.to(key, content)
    if intent is not None and (earlier := state.repository.made_by(intent)) is not None:
        return earlier
    identifier, now = new_id(), datetime.now(UTC).replace(microsecond=0)
    assessment = service.assess(case, state.pack)
    result = result_to_json(assessment, identifier, now)
    documents = {
        REPORT: render_pdf(assessment, case, state.pack, assessment_id=identifier, created_at=now),
        AUDIT: pack_zip(audit_files(assessment, case, state.pack, result)),
        WATCH: calendar_file(assessment, identifier),
    }
    made = StoredAssessment(
        id=identifier,
        created_at=now,
        reference=case.reference,
        knowledge_digest=state.pack.digest,
        program_version=__version__,
        case_json=content,
        result_json=json_bytes(result),
    )
    return state.repository.add(made, state.knowledge, documents, intent)
