"""What is kept prints again, byte for byte, also where the pack on disk, or the program, has moved on."""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from datetime import UTC, datetime

import pytest
from pypdf import PdfReader
from sqlalchemy import update
from sqlalchemy.orm import Session

from riskapi import __version__, service
from riskapi.desk import AUDIT, REPORT, WATCH, Desk, again, make_assessment, printed
from riskapi.desk.again import case_again
from riskapi.desk.printing import Wording, kept_name
from riskapi.domain.identity import Identity
from riskapi.errors import NotFound, Outdated
from riskapi.intake import read_case
from riskapi.report.audit import audit_files
from riskapi.report.calendar_file import calendar_file
from riskapi.report.content import build_report
from riskapi.report.edition import AtHand
from riskapi.report.language import units_of
from riskapi.report.sections import Report, Section
from riskapi.storage import StoredAssessment, pack_zip, unpack_zip
from riskapi.storage.models import AssessmentRow, KnowledgeRow
from riskapi.storage.recalls import recall
from tests.desk.conftest import BODY


def made(desk: Desk) -> StoredAssessment:
    return make_assessment(read_case(BODY, desk.pack), BODY, desk)


def at_hand(desk: Desk) -> AtHand:
    """What the report is printed with beside the assessment: no photos, and what moves the cost."""
    return AtHand(moves=service.sensitivity(service.base_of(read_case(BODY, desk.pack), desk.pack)))


def expected(desk: Desk, stored: StoredAssessment) -> dict[str, bytes]:
    """What a program prints that holds the case as it was sent and the pack as it was on disk."""
    case = read_case(BODY, desk.pack)
    found = service.assess(case, desk.pack)
    files = audit_files(found, case, desk.pack, json.loads(stored.result_json))
    made_at = {"assessment_id": stored.id, "created_at": stored.created_at}
    report = build_report(found, case, desk.pack, **made_at, at_hand=at_hand(desk))  # type: ignore[arg-type]
    return {
        REPORT: desk.sealer().pdf(report, stored.created_at, stored.result_json),
        AUDIT: pack_zip(files),
        WATCH: calendar_file(found, desk.pack, stored.id),
    }


def test_every_document_prints_byte_for_byte_after_the_pack_on_disk_has_moved_on(desk: Desk, newer_desk: Desk) -> None:
    assert newer_desk.pack.digest != desk.pack.digest
    stored = made(desk)
    wanted = expected(desk, stored)
    assert {kind: printed(newer_desk, stored.id, kind).content for kind in wanted} == wanted
    assert {kind: printed(desk, stored.id, kind).content for kind in wanted} == wanted


def test_a_german_report_prints_byte_for_byte_too(desk: Desk, newer_desk: Desk) -> None:
    """Its words travel with the kept pack."""
    stored, case = made(desk), read_case(BODY, desk.pack)
    found = service.assess(case, desk.pack)
    made_at = {"assessment_id": stored.id, "created_at": stored.created_at}
    report = build_report(found, case, desk.pack, **made_at, language="de", at_hand=at_hand(desk))  # type: ignore[arg-type]
    told = printed(newer_desk, stored.id, REPORT, "de")
    assert (told.name, told.content) == (
        "report.de.pdf",
        desk.sealer().pdf(report, stored.created_at, stored.result_json),
    )
    assert told.content != printed(newer_desk, stored.id, REPORT).content


def test_the_result_is_computed_again_byte_for_byte(desk: Desk, newer_desk: Desk) -> None:
    stored = made(desk)
    assert again(newer_desk, stored).pack.digest == desk.pack.digest
    assert json.loads(stored.result_json) == again(newer_desk, stored).result


def test_what_was_printed_is_kept_though_the_program_draws_otherwise(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    stored = made(desk)
    first = printed(desk, stored.id, REPORT)
    other = Report("Other", "", "", "en", "", (Section("one", "One", ()),))
    monkeypatch.setattr("riskapi.desk.printing.build_report", lambda *_, **__: other)
    assert printed(desk, stored.id, REPORT) == first
    drawn = printed(desk, made(desk).id, REPORT).content
    assert "Other" in PdfReader(io.BytesIO(drawn)).pages[0].extract_text()


def test_what_was_kept_before_a_recall_stays(desk: Desk) -> None:
    stored = made(desk)
    first = printed(desk, stored.id, REPORT)
    recall(desk.repository.engine, stored.knowledge_digest, "Hours were wrong.", datetime.now(UTC))
    marked = printed(desk, stored.id, REPORT)
    assert (first.name, marked.name) == ("report.en.pdf", "report.en.recalled.pdf")
    assert marked.content != first.content
    assert printed(desk, stored.id, REPORT, unmarked=True) == first
    assert printed(desk, stored.id, AUDIT).name == AUDIT


def test_two_who_ask_first_get_the_same(desk: Desk) -> None:
    stored = made(desk)
    assert [desk.repository.keep(stored.id, "x.pdf", content) for content in (b"1", b"2")] == [b"1", b"1"]


def _unreadable(session: Session, stored: StoredAssessment) -> None:
    row = session.get_one(KnowledgeRow, stored.knowledge_digest)
    files = unpack_zip(row.content)
    row.content = pack_zip({**files, "pack.yaml": files["pack.yaml"] + b"novelty: 1 x\n"})


def _half_there(session: Session, stored: StoredAssessment) -> None:
    row = session.get_one(KnowledgeRow, stored.knowledge_digest)
    row.content = pack_zip({name: data for name, data in unpack_zip(row.content).items() if name != "checks.yaml"})


def _another_pack(session: Session, stored: StoredAssessment) -> None:
    row = session.get_one(KnowledgeRow, stored.knowledge_digest)
    files = unpack_zip(row.content)
    row.content = pack_zip({**files, "pack.yaml": files["pack.yaml"] + b"# a remark\n"})


@pytest.mark.parametrize("harm", [_unreadable, _half_there, _another_pack])
def test_a_kept_pack_that_cannot_be_read_prints_nothing(
    newer_desk: Desk, desk: Desk, harm: Callable[[Session, StoredAssessment], None]
) -> None:
    stored = made(desk)
    with Session(desk.repository.engine) as session, session.begin():
        harm(session, stored)
    with pytest.raises(Outdated, match=f"version {__version__}"):
        printed(newer_desk, stored.id, REPORT)
    assert newer_desk.repository.kept(stored.id, "report.en.pdf") is None


def test_a_program_that_comes_to_another_result_prints_nothing(desk: Desk) -> None:
    stored = made(desk)
    changed = stored.result_json.replace(b'"score": ', b'"score": 1', 1)
    assert changed != stored.result_json
    with Session(desk.repository.engine) as session, session.begin():
        wanted = update(AssessmentRow).where(AssessmentRow.id == stored.id)
        session.execute(wanted.values(result_json=changed, program_version="0.0.9"))
    for ask in (lambda: printed(desk, stored.id, REPORT), lambda: case_again(desk, desk.repository.get(stored.id))):
        with pytest.raises(Outdated, match=r"version 0\.0\.9"):
            ask()


def test_nothing_is_printed_of_what_is_not_there(desk: Desk) -> None:
    with pytest.raises(NotFound):
        printed(desk, "0" * 32, REPORT)


@pytest.mark.parametrize(
    ("units", "kind", "name"),
    [
        ("", REPORT, "report.de.pdf"),
        ("km,bar,L", REPORT, "report.de.pdf"),
        ("psi,mi", REPORT, "report.de.mi.psi.pdf"),
        ("qt", WATCH, "watch.de.qt.ics"),
        ("mi", AUDIT, "audit.zip"),
    ],
)
def test_unusual_units_stand_in_the_name(units: str, kind: str, name: str) -> None:
    assert kept_name(kind, Wording("de", units_of(units), Identity(), "")) == name


def test_what_was_kept_before_units_were_asked_for_is_found_again(desk: Desk) -> None:
    stored = made(desk)
    first = printed(desk, stored.id, REPORT)
    other = printed(desk, stored.id, REPORT, units=units_of("mi"))
    assert (first.name, other.name) == ("report.en.pdf", "report.en.mi.pdf")
    assert first.content != other.content
    assert printed(desk, stored.id, REPORT, units=units_of("km")) == first
