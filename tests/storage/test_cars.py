from __future__ import annotations

from datetime import UTC, datetime

import pytest
from sqlalchemy import Engine

from riskapi.errors import NotFound
from riskapi.storage import FINDINGS, Accounts, Following, Knowledge, Repository, StoredAssessment, Version
from riskapi.storage.cars import NOTHING

THEN = datetime(2026, 1, 1, tzinfo=UTC)
MADE = ((True, "a"), (False, "b"))


def _keep(repository: Repository, identifier: str, follows: Following = NOTHING) -> Version:
    assessment = StoredAssessment(identifier, THEN, None, "d", "1", b"{}", b"{}")
    repository.add(assessment, Knowledge("d", "1", b""), {}, follows=follows)
    return repository.version(identifier)


def test_what_follows_an_assessment_is_the_next_version_of_the_same_car(engine: Engine) -> None:
    repository = Repository(engine)
    first = _keep(repository, "a")
    later = [_keep(repository, name, Following("a", FINDINGS)) for name in ("b", "c")]
    assert (first.number, first.previous_id, first.origin) == (1, None, "new")
    assert [(v.number, v.previous_id, v.car_id) for v in later] == [(2, "a", first.car_id), (3, "a", first.car_id)]
    assert repository.versions(first.car_id) == [first, *later]


def test_what_follows_nothing_is_a_car_of_its_own(engine: Engine) -> None:
    repository = Repository(engine)
    assert _keep(repository, "a").car_id != _keep(repository, "b").car_id


def test_nothing_follows_what_belongs_to_another_account(engine: Engine) -> None:
    first = _keep(Repository(engine), "a")
    stranger = Repository(engine, "nobody")
    with pytest.raises(NotFound):
        stranger.version("a")
    assert stranger.versions(first.car_id) == []


def test_what_an_account_for_trials_makes_is_marked(engine: Engine) -> None:
    accounts = Accounts(engine)
    versions = [
        _keep(Repository(engine).of(accounts.open("yard", "dealer", THEN, trial)), name) for trial, name in MADE
    ]
    assert [version.trial for version in versions] == [True, False]
