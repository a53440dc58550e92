from __future__ import annotations

import re
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone

import pytest
from sqlalchemy import Engine, func, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from riskapi.errors import KeyReused, NotFound
from riskapi.storage import Accounts, Intent, Knowledge, Repository, StoredAssessment, new_id
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


def test_an_intent_sent_again_makes_nothing_new(engine: Engine) -> None:
    repository, intent, first = Repository(engine), Intent("order-7", "a" * 64), assessment()
    assert repository.made_by(intent) is None
    assert repository.add(first, KNOWLEDGE, {"report.pdf": b"x"}, intent) == first
    assert repository.add(assessment(), KNOWLEDGE, {}, intent) == first
    assert repository.made_by(intent) == first
    assert (rows(engine, AssessmentRow), rows(engine, DocumentRow)) == (1, 1)


def test_the_key_of_an_intent_belongs_to_one_body_and_one_account(engine: Engine) -> None:
    repository, intent = Repository(engine), Intent("order-7", "a" * 64)
    repository.add(assessment(), KNOWLEDGE, {}, intent)
    other = replace(intent, body_digest="b" * 64)
    for ask in (lambda: repository.made_by(other), lambda: repository.add(assessment(), KNOWLEDGE, {}, other)):
        with pytest.raises(KeyReused):
            ask()
    accounts = Accounts(engine)
    elsewhere = repository.of(accounts.open("other", "buyer", datetime(2026, 1, 1, tzinfo=UTC)))
    made = assessment()
    assert elsewhere.add(made, KNOWLEDGE, {}, other) == made
    assert rows(engine, AssessmentRow) == 2


def test_an_intent_sent_many_times_at_once_makes_one(engine: Engine) -> None:
    repository, intent = Repository(engine), Intent("order-7", "a" * 64)
    with ThreadPoolExecutor(8) as pool:
        made = list(pool.map(lambda _: repository.add(assessment(), KNOWLEDGE, {}, intent).id, range(24)))
    assert len(set(made)) == 1
    assert rows(engine, AssessmentRow) == 1


def test_pages_go_from_the_newest_to_the_oldest_and_miss_none(engine: Engine) -> None:
    repository, start = Repository(engine), datetime(2026, 3, 4, tzinfo=UTC)
    made = [replace(assessment(), created_at=start + timedelta(hours=i // 2)) for i in range(7)]
    for each in made:
        repository.add(each, KNOWLEDGE, {})
    seen: list[str] = []
    while page := repository.page(3, seen[-1] if seen else None):
        seen += [each.id for each in page]
    assert seen == [each.id for each in sorted(made, key=lambda a: (a.created_at, a.id), reverse=True)]


def test_a_page_is_of_one_account_and_of_one_reference(engine: Engine) -> None:
    repository, one = Repository(engine), replace(assessment(), reference="one")
    for each in (one, assessment()):
        repository.add(each, KNOWLEDGE, {})
    assert [each.id for each in repository.page(9, reference="one")] == [one.id]
    assert repository.page(9, "unknown") == []
    assert Repository(engine, "another").page(9) == []
    assert Repository(engine, "another").page(9, one.id) == []


def test_what_belongs_to_another_account_does_not_exist(engine: Engine) -> None:
    made, repository = assessment(), Repository(engine)
    repository.add(made, KNOWLEDGE, {"report.pdf": b"x"})
    elsewhere = Repository(engine, "another")
    for ask in (lambda: elsewhere.get(made.id), lambda: elsewhere.document(made.id, "report.pdf")):
        with pytest.raises(NotFound):
            ask()


def test_ids_are_random_and_of_one_shape() -> None:
    ids = {new_id() for _ in range(1_000)}
    assert len(ids) == 1_000
    assert all(re.fullmatch("[0-9a-f]{32}", identifier) for identifier in ids)
