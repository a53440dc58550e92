"""Report, audit and calendar of an assessment: made when first asked for, then kept.

A PDF is sealed. What was kept is handed out ever after, so its bytes stay the same even when the program or a library
changes. The name under which a document is kept carries its edition and language, and its units where they are not the
usual ones. A report on somebody's letterhead is kept nowhere.
A report from which the identity was removed, or whose knowledge was recalled, is another document with another name;
the one that was kept before stays, unless the identity is in it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from riskapi import service
from riskapi.desk.again import Again, again
from riskapi.desk.desk import Desk
from riskapi.desk.personal import identity_of
from riskapi.domain.identity import Identity
from riskapi.report.audit import audit_files
from riskapi.report.calendar_file import calendar_file
from riskapi.report.content import build_report
from riskapi.report.edition import BUYER, AtHand, Edition
from riskapi.report.language import DEFAULT, METRIC, Units, speaking
from riskapi.storage import StoredAssessment, pack_zip
from riskapi.storage.photos import Photos

REPORT, AUDIT, WATCH = "report.pdf", "audit.zip", "watch.ics"


@dataclass(frozen=True, slots=True)
class Printed:
    """A document under the name it is kept by."""

    name: str
    content: bytes


@dataclass(frozen=True, slots=True)
class Wording:
    """What a document says beside the computation: in which language and units, about whom, and whether the pack was
    recalled."""

    language: str
    units: Units
    identity: Identity
    recalled: str
    edition: Edition = BUYER


def printed(
    desk: Desk,
    identifier: str,
    kind: str,
    language: str = DEFAULT,
    units: Units = METRIC,
    *,
    edition: Edition = BUYER,
    unmarked: bool = False,
) -> Printed:
    """A document of an assessment; `kind` is REPORT, AUDIT or WATCH, `language` one of LANGUAGES, `edition` that of a
    report, without a letterhead. `unmarked`: as it was before its knowledge was recalled.

    Raises NotFound; Outdated where it was never printed before and this program would print something else.
    """
    stored, found = desk.repository.get(identifier), None
    while True:
        recalled = "" if unmarked else _recalled(desk, stored)
        wording = Wording(language, units, identity_of(desk, stored), recalled, edition)
        name = kept_name(kind, wording)
        kept = desk.repository.kept(identifier, name)
        if kept is None:
            found = found or again(desk, stored)
            with speaking(language, units):
                content = _MAKE[kind](desk, found, stored, wording)
            kept = desk.repository.keep(identifier, name, content, personal=_tells_of(kind, wording.identity))
        if kept is not None:  # else the identity was erased in between: print it anew, without
            return Printed(name, kept)


def printed_for(desk: Desk, identifier: str, language: str, units: Units, edition: Edition) -> bytes:
    """A report on a letterhead. Raises NotFound, Outdated."""
    stored = desk.repository.get(identifier)
    wording = Wording(language, units, identity_of(desk, stored), _recalled(desk, stored), edition)
    with speaking(language, units):
        return _report(desk, again(desk, stored), stored, wording)


def kept_name(kind: str, wording: Wording) -> str:
    """'report.pdf' -> 'report.en.pdf', 'report.inspector.de.mi.psi.pdf', 'report.en.erased.pdf'; what has no words in
    it has neither language nor units."""
    stem, ending = kind.split(".")
    language = () if kind == AUDIT else (wording.language, *wording.units.unusual)
    edition = wording.edition
    first = ((edition.kind, edition.kind != BUYER.kind), ("no_price", not edition.price))
    last = (("erased", wording.identity.erased), ("recalled", bool(wording.recalled)))
    before, after = ([mark for mark, holds in marks if holds and kind == REPORT] for marks in (first, last))
    return ".".join((stem, *before, *language, *after, ending))


def _recalled(desk: Desk, stored: StoredAssessment) -> str:
    found = desk.repository.recalled([stored]).get(stored.knowledge_digest)
    return "" if found is None else found.reason


def _tells_of(kind: str, identity: Identity) -> bool:
    return kind == REPORT and not identity.erased


def _report(desk: Desk, found: Again, stored: StoredAssessment, wording: Wording) -> bytes:
    named = {name for finding in found.case.findings for name in finding.photos}
    photos = Photos(desk.repository.engine, desk.repository.account_id).some(named) if named else {}
    moves = service.sensitivity(found.base)
    report = build_report(
        found.assessment,
        found.case,
        found.pack,
        assessment_id=stored.id,
        created_at=stored.created_at,
        language=wording.language,
        identity=wording.identity,
        recalled=wording.recalled,
        edition=wording.edition,
        at_hand=AtHand(photos, moves),
    )
    return desk.sealer().pdf(report, stored.created_at, stored.result_json)


def _audit(_desk: Desk, found: Again, _stored: StoredAssessment, _wording: Wording) -> bytes:
    return pack_zip(audit_files(found.assessment, found.case, found.pack, found.result))


def _watch(_desk: Desk, found: Again, stored: StoredAssessment, wording: Wording) -> bytes:
    return calendar_file(found.assessment, found.pack, stored.id, language=wording.language)


_MAKE: dict[str, Callable[[Desk, Again, StoredAssessment, Wording], bytes]] = {
    REPORT: _report,
    AUDIT: _audit,
    WATCH: _watch,
}
