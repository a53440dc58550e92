"""Personal data from end to end: apart when kept, printed where it may be, gone everywhere once erased."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from pypdf import PdfReader
from sqlalchemy import Engine, inspect, text

from riskapi.desk import AUDIT, REPORT, WATCH, Desk, add_findings, again, make_assessment, printed
from riskapi.desk.personal import commitment_in
from riskapi.errors import KeyReused
from riskapi.intake import read_case
from riskapi.intake.identity import commitment
from riskapi.storage import StoredAssessment
from riskapi.storage.erasing import all_erased, compact, erase_identity
from riskapi.storage.retention import DEFAULT_DAYS, retain
from tests.desk.conftest import BODY

VIN = "ZZ9V19K28APUEUAF7"
SUMP = b'{"findings": [{"check": "look_sump", "result": "dry"}]}'
PERSONAL = (VIN, "AF7", "XY 4711", "Zebulon Quartermaine", "7 Nowhere Lane", "Xanthippe Trade Co")
NOW = datetime.now(UTC)


def body() -> bytes:
    case = json.loads(BODY)
    case["vehicle"] |= {"vin": VIN, "vin_seen": {"control_unit": VIN}}
    case["identity"] = {
        "plate": "XY 4711",
        "client": {"name": "Zebulon Quartermaine", "address": "7 Nowhere Lane"},
        "seller": {"name": "Xanthippe Trade Co"},
    }
    return json.dumps(case).encode()


def made(desk: Desk, key: str | None = None) -> StoredAssessment:
    sent = body()
    return make_assessment(read_case(sent, desk.pack), sent, desk, key)


def pdf_text(content: bytes) -> str:
    """All that is printed, each line's end as one space where words part; a word that is cut keeps its break."""
    told = "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(content)).pages)
    return re.sub(r" +\n", " ", told)


def cells(engine: Engine) -> Iterator[tuple[str, str]]:
    """(table, value as text) of every cell of the database; of a PDF its text."""
    with engine.connect() as connection:
        for table in inspect(engine).get_table_names():
            for row in connection.exec_driver_sql(f"SELECT * FROM {table}"):  # noqa: S608 (our own tables)
                for value in row:
                    raw = bytes(value) if isinstance(value, bytes | memoryview) else str(value).encode()
                    yield table, pdf_text(raw) if raw.startswith(b"%PDF-") else raw.decode("utf-8", "replace")


def where(engine: Engine, words: tuple[str, ...]) -> set[str]:
    return {table for table, value in cells(engine) for word in words if word in value}


def test_it_is_kept_apart_and_in_the_report_alone(desk: Desk) -> None:
    stored = made(desk)
    assert where(desk.repository.engine, PERSONAL[:1] + PERSONAL[2:]) == {"identity"}
    for kind in (REPORT, AUDIT, WATCH):
        printed(desk, stored.id, kind)
    assert where(desk.repository.engine, (VIN,)) == {"identity"}
    assert where(desk.repository.engine, PERSONAL[2:]) == {"identity", "document"}
    told = pdf_text(printed(desk, stored.id, REPORT).content)
    assert "ends in UAF7" in told
    assert [word for word in PERSONAL[2:] if word not in told.replace("\n", " ")] == []
    assert VIN not in told


def test_the_commitment_is_in_what_is_kept_and_opens(desk: Desk) -> None:
    stored = made(desk)
    known = desk.repository.identity(stored.id)
    assert known is not None
    assert known.salt is not None
    assert known.content is not None
    digest = commitment(known.salt, known.content)
    assert commitment_in(stored) == digest == json.loads(stored.result_json)["identity_commitment"]
    assert digest in pdf_text(printed(desk, stored.id, REPORT).content).replace("\n", "")
    assert json.loads(known.content)["vehicle"]["vin"] == VIN


def test_the_result_is_that_of_a_case_without_anything_personal(desk: Desk) -> None:
    plain = make_assessment(read_case(BODY, desk.pack), BODY, desk)
    names = ("risk", "cost", "decision", "weak_points", "identified")
    one, other = (json.loads(each.result_json) for each in (plain, made(desk)))
    assert [one[name] for name in names] == [other[name] for name in names]
    assert one["identity_commitment"] is None


def test_once_erased_it_is_gone_and_everything_else_verifies(desk: Desk) -> None:
    first = made(desk, "k")
    second = add_findings(desk, first.id, SUMP)
    kept = {kind: printed(desk, second.id, kind) for kind in (REPORT, AUDIT, WATCH)}
    assert "ends in UAF7" in pdf_text(kept[REPORT].content)
    erased = erase_identity(desk.repository.engine, desk.repository.account_id, first.id, NOW)
    assert set(erased.assessments) == {first.id, second.id} == {name for name, _ in all_erased(desk.repository.engine)}
    assert where(desk.repository.engine, PERSONAL) == set()
    for stored in (first, second):
        assert desk.repository.get(stored.id) == stored
        assert again(desk, stored).result == json.loads(stored.result_json)
        told = printed(desk, stored.id, REPORT)
        assert told.name == "report.en.erased.pdf"
        assert "identity removed" in pdf_text(told.content)
        assert str(commitment_in(stored)) in pdf_text(told.content).replace("\n", "")
    assert printed(desk, second.id, AUDIT) == kept[AUDIT]
    assert printed(desk, second.id, WATCH) == kept[WATCH]
    with pytest.raises(KeyReused):
        made(desk, "k")
    assert erase_identity(desk.repository.engine, desk.repository.account_id, first.id, NOW).assessments == ()


def test_an_erased_car_is_not_known_again_and_what_follows_has_no_identity(desk: Desk) -> None:
    first = made(desk)
    erase_identity(desk.repository.engine, desk.repository.account_id, first.id, NOW)
    follower = add_findings(desk, first.id, SUMP)
    assert desk.repository.identity(follower.id) is None
    assert commitment_in(follower) is None
    assert desk.repository.version(made(desk).id).number == 1


def test_a_report_that_is_printed_while_the_identity_is_erased_leaves_nothing(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    stored, keep = made(desk), type(desk.repository).keep

    def late(*given: object, **more: object) -> object:
        erase_identity(desk.repository.engine, desk.repository.account_id, stored.id, NOW)
        return keep(*given, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(type(desk.repository), "keep", late)
    assert printed(desk, stored.id, REPORT).name == "report.en.erased.pdf"
    assert where(desk.repository.engine, PERSONAL) == set()


def test_webhooks_are_told_and_of_nothing_personal(desk: Desk) -> None:
    stored = made(desk)
    erase_identity(desk.repository.engine, desk.repository.account_id, stored.id, NOW)
    with desk.repository.engine.connect() as connection:
        payloads = connection.execute(text("SELECT payload FROM event WHERE type = 'identity.erased'")).scalars().all()
    (told,) = [json.loads(bytes(payload)) for payload in payloads]
    assert told["data"] == {"car_id": desk.repository.version(stored.id).car_id, "assessment_ids": [stored.id]}


def test_what_is_old_is_erased_and_what_is_not_stays(desk: Desk) -> None:
    stored, engine = made(desk), desk.repository.engine
    assert retain(engine, stored.created_at + timedelta(days=DEFAULT_DAYS)).assessments == ()
    assert retain(engine, stored.created_at + timedelta(days=DEFAULT_DAYS, seconds=1)).assessments == (stored.id,)
    assert where(engine, PERSONAL) == set()


def test_the_files_of_the_database_hold_nothing_of_it_any_more(desk: Desk) -> None:
    """SQLite, byte by byte, its log included; on PostgreSQL the server reuses the space in its own time."""
    if desk.repository.engine.dialect.name != "sqlite":
        return
    engine = desk.repository.engine
    others = [make_assessment(read_case(BODY, desk.pack), BODY, desk).id for _ in range(3)]
    stored = made(desk)
    for identifier in (*others, stored.id):
        printed(desk, identifier, REPORT)
    file = Path(str(engine.url.database))

    def found() -> set[str]:
        data = b"".join(path.read_bytes() for path in (file, file.with_name(file.name + "-wal")) if path.exists())
        return {word for word in PERSONAL if word != "AF7" and word.encode() in data}

    assert VIN in found()
    erase_identity(engine, desk.repository.account_id, stored.id, NOW)
    compact(engine)
    assert found() == set()
    compact(engine, whole=True)
    assert found() == set()
    assert printed(desk, others[0], REPORT).content.startswith(b"%PDF-")
