"""Knowledge that was recalled: what was made with it is named, in whichever account, and accounts are told."""

from __future__ import annotations

import json
from datetime import UTC, datetime

import pytest
from sqlalchemy import Engine, text

from riskapi.errors import InputError, NotFound
from riskapi.storage import Accounts, Knowledge, Repository, StoredAssessment
from riskapi.storage.recalls import recall, recalls

THEN = datetime(2026, 1, 1, tzinfo=UTC)
LATER = datetime(2026, 2, 1, tzinfo=UTC)
ONE, OTHER = "a" * 64, "a" * 10 + "b" * 54


def keep(repository: Repository, identifier: str, digest: str) -> StoredAssessment:
    made = StoredAssessment(identifier, THEN, None, digest, "1", b"{}", b"{}")
    repository.add(made, Knowledge(digest, f"v{digest[-1]}", b""), {})
    return made


def test_what_was_made_with_a_recalled_pack_is_named_and_stays(engine: Engine) -> None:
    mine = Repository(engine)
    theirs = mine.of(Accounts(engine).open("other", "dealer", THEN))
    first, _, third = keep(mine, "1", ONE), keep(mine, "2", OTHER), keep(theirs, "3", ONE)
    assert recall(engine, "a" * 12, "Hours were wrong.", LATER).digest == ONE
    assert [(each.digest, each.version, each.assessments) for each in recalls(engine)] == [(ONE, "va", ("1", "3"))]
    assert [each.assessments for each in recalls(engine, theirs.account_id)] == [("3",)]
    assert mine.recalled([first])[ONE].reason == "Hours were wrong."
    assert mine.recalled([mine.get("2")]) == {}
    assert (mine.get("1"), theirs.get("3")) == (first, third)
    with engine.connect() as connection:
        rows = connection.execute(text("SELECT account_id, payload FROM event WHERE type = 'knowledge.recalled'")).all()
    assert {account for account, _ in rows} == {mine.account_id, theirs.account_id}
    assert all(json.loads(bytes(payload))["data"]["digest"] == ONE for _, payload in rows)


def test_the_first_recall_stands(engine: Engine) -> None:
    keep(Repository(engine), "1", ONE)
    first = recall(engine, ONE, "One.", THEN)
    assert recall(engine, ONE, "Two.", LATER) == first
    with engine.connect() as connection:
        assert connection.execute(text("SELECT count(*) FROM event WHERE type = 'knowledge.recalled'")).scalar() == 1


@pytest.mark.parametrize("digest", ["c" * 64, "a" * 10, "a%%%%%%%%"])
def test_a_digest_of_no_pack_or_of_several(engine: Engine, digest: str) -> None:
    keep(Repository(engine), "1", ONE)
    keep(Repository(engine), "2", OTHER)
    with pytest.raises(NotFound):
        recall(engine, digest, "Why.", THEN)


@pytest.mark.parametrize(("digest", "reason"), [("a", "Why."), (ONE, " "), (ONE, "a\nb"), (ONE, "a" * 1001)])
def test_what_is_no_recall(engine: Engine, digest: str, reason: str) -> None:
    with pytest.raises(InputError):
        recall(engine, digest, reason, THEN)
