"""Cars that are known again by keyed digests, within one account alone."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime

import pytest
from sqlalchemy import Engine

from riskapi.errors import InputError, Overtaken
from riskapi.storage import Accounts, Following, Knowledge, Personal, Repository, StoredAssessment, matching_key, new_id
from riskapi.storage.erasing import erase_identity
from riskapi.storage.identities import SETTING, marks_of

THEN = datetime(2026, 1, 1, tzinfo=UTC)
VIN, OTHER = "ZZ9V19K28APUEUAF7", "ZZ9V19K28APUEUAF8"


def keep(repository: Repository, vin: str | None = None, plate: str | None = None, **more: object) -> str:
    identifier = new_id()
    assessment = StoredAssessment(identifier, THEN, None, "d", "1", b"{}", b"{}")
    personal = Personal(b"s" * 32, b"{}", repository.marks(vin, plate))
    repository.add(assessment, Knowledge("d", "1", b""), {}, personal=personal, **more)  # type: ignore[arg-type]
    return identifier


def car(repository: Repository, identifier: str) -> str:
    return repository.version(identifier).car_id


def test_the_same_vin_is_the_next_version_of_the_same_car(engine: Engine) -> None:
    mine = Repository(engine)
    first, second = keep(mine, VIN), keep(mine, VIN)
    assert [(v.number, v.previous_id, v.origin) for v in mine.versions(car(mine, first))] == [
        (1, None, "new"),
        (2, first, "new"),
    ]
    assert car(mine, second) == car(mine, first) != car(mine, keep(mine, OTHER))


def test_a_plate_is_enough_where_one_of_the_two_has_no_vin(engine: Engine) -> None:
    mine = Repository(engine)
    by_plate = keep(mine, plate="AB 123")
    both = keep(mine, VIN, "ab-123")
    assert car(mine, both) == car(mine, by_plate)
    assert car(mine, keep(mine, plate="A B123")) == car(mine, both)


def test_a_plate_that_moved_to_a_car_with_another_vin_leads_to_that_one(engine: Engine) -> None:
    mine = Repository(engine)
    first, second = keep(mine, VIN, "AB 123"), keep(mine, OTHER, "AB 123")
    assert car(mine, first) != car(mine, second)
    assert car(mine, keep(mine, plate="AB123")) == car(mine, second)
    assert car(mine, keep(mine, VIN)) == car(mine, first)


def test_another_account_knows_nothing_of_it(engine: Engine) -> None:
    mine = Repository(engine)
    others = mine.of(Accounts(engine).open("other", "dealer", THEN))
    assert car(mine, keep(mine, VIN)) != car(others, keep(others, VIN))
    assert mine.marks(VIN, None) != others.marks(VIN, None)


def test_many_at_once_are_versions_of_one_car(engine: Engine) -> None:
    mine = Repository(engine)
    with ThreadPoolExecutor(4) as pool:
        made = list(pool.map(lambda _: keep(mine, VIN, "AB 123"), range(8)))
    assert len({car(mine, each) for each in made}) == 1
    assert sorted(mine.version(each).number for each in made) == list(range(1, 9))


def test_the_key_is_made_once_and_may_be_set(engine: Engine, monkeypatch: pytest.MonkeyPatch) -> None:
    made = matching_key(engine)
    assert (len(made), matching_key(engine)) == (32, made)
    monkeypatch.setenv(SETTING, "k" * 32)
    assert matching_key(engine) == b"k" * 32
    monkeypatch.setenv(SETTING, "short")
    with pytest.raises(InputError) as caught:
        matching_key(engine)
    assert caught.value.faults[0].place == SETTING


def test_marks_do_not_tell_what_they_are_of() -> None:
    (mark,) = marks_of(b"k" * 32, "a", VIN, None)
    assert VIN not in mark.digest
    assert mark != marks_of(b"K" * 32, "a", VIN, None)[0]
    assert marks_of(b"k" * 32, "a", None, " -. ") == ()


def test_an_identity_that_was_erased_in_between_is_not_taken_over(engine: Engine) -> None:
    mine = Repository(engine)
    first = keep(mine, VIN)
    erase_identity(engine, mine.account_id, first, THEN)
    assessment = StoredAssessment(new_id(), THEN, None, "d", "1", b"{}", b"{}")
    follows = Following(first, "findings", only_latest=True)
    personal = Personal(b"s" * 32, b"{}", inherited=True)
    with pytest.raises(Overtaken):
        mine.add(assessment, Knowledge("d", "1", b""), {}, None, follows, personal)
    assert len(mine.versions(car(mine, first))) == 1
