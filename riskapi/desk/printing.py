"""Report, audit and calendar of an assessment: made when first asked for, then kept.

A PDF is sealed. What was kept is handed out ever after, so its bytes stay the same even when the program or a library
changes. The name under which a document is kept carries its language.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from riskapi.desk.again import Again, again
from riskapi.desk.desk import Desk
from riskapi.report.audit import audit_files
from riskapi.report.calendar_file import calendar_file
from riskapi.report.content import build_report
from riskapi.report.language import DEFAULT
from riskapi.storage import StoredAssessment, pack_zip

REPORT, AUDIT, WATCH = "report.pdf", "audit.zip", "watch.ics"
_WITHOUT_WORDS = (AUDIT,)


@dataclass(frozen=True, slots=True)
class Printed:
    """A document under the name it is kept by."""

    name: str
    content: bytes


def printed(desk: Desk, identifier: str, kind: str, language: str = DEFAULT) -> Printed:
    """A document of an assessment; `kind` is REPORT, AUDIT or WATCH, `language` one of LANGUAGES.

    Raises NotFound; Outdated where it was never printed before and this program would print something else.
    """
    stored = desk.repository.get(identifier)
    name = kept_name(kind, language)
    kept = desk.repository.kept(identifier, name)
    if kept is None:
        kept = desk.repository.keep(identifier, name, _MAKE[kind](desk, again(desk, stored), stored, language))
    return Printed(name, kept)


def kept_name(kind: str, language: str) -> str:
    """'report.pdf' -> 'report.en.pdf'; what has no words in it has no language."""
    if kind in _WITHOUT_WORDS:
        return kind
    stem, ending = kind.split(".")
    return f"{stem}.{language}.{ending}"


def _report(desk: Desk, found: Again, stored: StoredAssessment, language: str) -> bytes:
    made = found.assessment, found.case, found.pack
    report = build_report(*made, assessment_id=stored.id, created_at=stored.created_at, language=language)
    return desk.sealer().pdf(report, stored.created_at, stored.result_json)


def _audit(_desk: Desk, found: Again, _stored: StoredAssessment, _language: str) -> bytes:
    return pack_zip(audit_files(found.assessment, found.case, found.pack, found.result))


def _watch(_desk: Desk, found: Again, stored: StoredAssessment, language: str) -> bytes:
    return calendar_file(found.assessment, found.pack, stored.id, language=language)


_MAKE: dict[str, Callable[[Desk, Again, StoredAssessment, str], bytes]] = {
    REPORT: _report,
    AUDIT: _audit,
    WATCH: _watch,
}
