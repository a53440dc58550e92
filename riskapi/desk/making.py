"""From a Case to a kept assessment: compute and keep. Nothing is printed here; see printing.py."""

from __future__ import annotations

import hashlib
from datetime import UTC, datetime

from riskapi import __version__, service
from riskapi.desk.desk import Desk
from riskapi.domain.case import Case
from riskapi.domain.knowledge import Pack
from riskapi.intake import canonical, read_document
from riskapi.report.audit import json_bytes
from riskapi.report.result import result_to_json
from riskapi.storage import Intent, StoredAssessment, new_id


def make_assessment(case: Case, body: bytes, desk: Desk, key: str | None = None) -> StoredAssessment:
    """Assess the case that was read from `body` and keep it.

    `key` is the caller's for this write: sent again with the same body it gives what was made the first time. Raises
    CaseError, TooComplex, KeyReused.
    """
    content = canonical(read_document(body).value)
    intent = Intent.to(key, content)
    if intent is not None and (earlier := desk.repository.made_by(intent)) is not None:
        return earlier
    return desk.repository.add(assessed(case, content, desk.pack), desk.knowledge, {}, intent)


def assessed(case: Case, content: bytes, pack: Pack) -> StoredAssessment:
    """A new assessment of the case that is kept as `content`, not kept yet. Raises CaseError, TooComplex."""
    identifier, now = new_id(), datetime.now(UTC).replace(microsecond=0)
    result = result_to_json(service.assess(case, pack), identifier, now)
    return StoredAssessment(
        id=identifier,
        created_at=now,
        reference=case.reference,
        knowledge_digest=pack.digest,
        program_version=__version__,
        case_json=content,
        result_json=json_bytes(result),
    )


def assess_only(case: Case, body: bytes, desk: Desk) -> bytes:
    """The result of the case that was read from `body`, kept nowhere; its id is made from what was asked. Raises
    CaseError, TooComplex."""
    content = canonical(read_document(body).value)
    identifier = hashlib.sha256(content + desk.pack.digest.encode() + __version__.encode()).hexdigest()[:16]
    now = datetime.now(UTC).replace(microsecond=0)
    return json_bytes(result_to_json(service.assess(case, desk.pack), identifier, now))
