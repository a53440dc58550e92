"""From a Case to a kept assessment: compute and keep. Nothing is printed here; see printing.py."""

from __future__ import annotations

import hashlib
from datetime import UTC, datetime
from typing import Any

from riskapi import __version__, service
from riskapi.desk.desk import Desk
from riskapi.desk.personal import Parted, part
from riskapi.domain.case import Case
from riskapi.domain.knowledge import Pack
from riskapi.intake import canonical, read_case, read_document
from riskapi.intake.identity import set_apart
from riskapi.intake.prices import fill
from riskapi.report.audit import json_bytes
from riskapi.report.result import result_to_json
from riskapi.storage import Intent, StoredAssessment, new_id


def make_assessment(case: Case, body: bytes, desk: Desk, key: str | None = None) -> StoredAssessment:
    """Assess the case that was read from `body` and keep it.

    `key` is the caller's for this write: sent again with the same body it gives what was made the first time. Raises
    CaseError, TooComplex, KeyReused.
    """
    value = read_document(body).value
    intent = Intent.to(key, canonical(value))
    if intent is not None and (earlier := desk.repository.made_by(intent)) is not None:
        return earlier
    case, filled = _priced(case, value, desk, datetime.now(UTC))
    parted = part(desk, filled)
    made = assessed(case, parted, desk.pack, desk)
    return desk.repository.add(made, desk.knowledge, {}, intent, personal=parted.personal)


def assessed(case: Case, parted: Parted, pack: Pack, desk: Desk) -> StoredAssessment:
    """A new assessment of a case, not kept yet; this process stays ready for questions of what if about it. Raises
    CaseError, TooComplex."""
    identifier, now = new_id(), datetime.now(UTC).replace(microsecond=0)
    base = service.base_of(case, pack)
    result = result_to_json(service.assess_from(base), identifier, now, parted.commitment)
    desk.bases.put((identifier, pack.digest), base)
    return StoredAssessment(
        id=identifier,
        created_at=now,
        reference=case.reference,
        knowledge_digest=pack.digest,
        program_version=__version__,
        case_json=parted.content,
        result_json=json_bytes(result),
    )


def assess_only(case: Case, body: bytes, desk: Desk) -> bytes:
    """The result of the case that was read from `body`, kept nowhere; its id is made from what was asked. Raises
    CaseError, TooComplex."""
    now = datetime.now(UTC).replace(microsecond=0)
    case, filled = _priced(case, read_document(body).value, desk, now)
    content = canonical(set_apart(filled)[0])
    identifier = hashlib.sha256(content + desk.pack.digest.encode() + __version__.encode()).hexdigest()[:16]
    return json_bytes(result_to_json(service.assess(case, desk.pack), identifier, now))


def _priced(case: Case, value: Any, desk: Desk, now: datetime) -> tuple[Case, Any]:
    """The case and its JSON, with the prices of the feed where it states none: what was used is kept."""
    feed = None if desk.feed is None else desk.feed.prices(now)
    filled = value if feed is None else fill(value, feed.content, feed.checked_at.date(), now.date(), desk.pack)
    return (case if filled is value else read_case(canonical(filled), desk.pack)), filled
