from __future__ import annotations

import re
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone

import pytest
from sqlalchemy import Engine, func, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from riskapi.errors import NotFound
from riskapi.storage import Knowledge, Repository, StoredAssessment, new_id
from riskapi.storage.models import AssessmentRow, Base, DocumentRow, KnowledgeRow

KNOWLEDGE = Knowledge("d" * 64, "2026.11", b"PK\x00\xff zip")
ANY_BYTES = bytes(range(256))


def assessment(identifier: str | None = None) -> StoredAssessment:
    return StoredAssessment(
        id=identifier or new_id(),
        created_at=datetime(2026, 3, 4, 5, 6, 7, tzinfo=UTC),
        reference="order-7 ü",
        knowledge_digest=KNOWLEDGE.digest,
        program_version="0.1.0",
        case_json=ANY_BYTES,
        result_json=b'{"a": 1}',
    )


def rows(engine: Engine, table: type[Base]) -> int:
    with Session(engine) as session:
        return session.scalar(select(func.count()).select_from(table)) or 0


def test_what_is_added_is_read_back_byte_for_byte(engine: Engine) -> None:
    repository, made = Repository(engine), assessment()
    repository.add(made, KNOWLEDGE, {"report.pdf": ANY_BYTES, "audit.zip": b""})
    assert repository.get(made.id) == made
    assert repository.document(made.id, "report.pdf") == ANY_BYTES
    assert repository.document(made.id, "audit.zip") == b""
    assert repository.knowledge(KNOWLEDGE.digest) == KNOWLEDGE


def test_an_instant_of_another_zone_comes_back_as_the_same_instant(engine: Engine) -> None:
    made = replace(assessment(), created_at=datetime(2026, 3, 4, 8, tzinfo=timezone(timedelta(hours=3))))
    Repository(engine).add(made, KNOWLEDGE, {})
    assert Repository(engine).get(made.id).created_at == datetime(2026, 3, 4, 5, tzinfo=UTC)


def test_a_knowledge_pack_is_kept_once(engine: Engine) -> None:
    repository = Repository(engine)
    for _ in range(3):
        repository.add(assessment(), KNOWLEDGE, {})
    assert (rows(engine, AssessmentRow), rows(engine, KnowledgeRow)) == (3, 1)


def test_nothing_is_kept_by_halves(engine: Engine) -> None:
    with pytest.raises(IntegrityError):
        Repository(engine).add(assessment(), KNOWLEDGE, {"report.pdf": None})  # type: ignore[dict-item]
    assert [rows(engine, table) for table in (AssessmentRow, KnowledgeRow, DocumentRow)] == [0, 0, 0]


def test_nothing_is_overwritten(engine: Engine) -> None:
    repository, first = Repository(engine), assessment()
    repository.add(first, KNOWLEDGE, {"report.pdf": b"first"})
    with pytest.raises(IntegrityError):
        repository.add(replace(first, result_json=b"other"), KNOWLEDGE, {"report.pdf": b"second"})
    assert repository.get(first.id).result_json == first.result_json
    assert repository.document(first.id, "report.pdf") == b"first"


def test_what_is_not_there(engine: Engine) -> None:
    repository = Repository(engine)
    made = assessment()
    repository.add(made, KNOWLEDGE, {})
    for ask in (
        lambda: repository.get("nothing"),
        lambda: repository.document("nothing", "report.pdf"),
        lambda: repository.document(made.id, "other.pdf"),
        lambda: repository.knowledge("nothing"),
    ):
        with pytest.raises(NotFound):
            ask()


def test_many_writers_at_once(engine: Engine) -> None:
    repository = Repository(engine)
    with ThreadPoolExecutor(8) as pool:
        list(pool.map(lambda _: repository.add(assessment(), KNOWLEDGE, {"report.pdf": b"x"}), range(40)))
    assert (rows(engine, AssessmentRow), rows(engine, DocumentRow), rows(engine, KnowledgeRow)) == (40, 40, 1)


def test_ids_are_random_and_of_one_shape() -> None:
    ids = {new_id() for _ in range(1_000)}
    assert len(ids) == 1_000
    assert all(re.fullmatch("[0-9a-f]{32}", identifier) for identifier in ids)


def test_ping(engine: Engine) -> None:
    Repository(engine).ping()
