from __future__ import annotations

from datetime import UTC, datetime

import pytest
from sqlalchemy import Engine

from riskapi.errors import KeyReused, NotFound
from riskapi.intake.photo import Photo
from riskapi.storage import Intent
from riskapi.storage.photos import Photos

THEN = datetime(2026, 1, 1, tzinfo=UTC)
PICTURE, OTHER = Photo(b"\xff\xd8 a picture", 4, 3), Photo(b"\xff\xd8 another", 4, 3)


def test_a_photo_is_kept_once_and_read_back(engine: Engine) -> None:
    photos = Photos(engine)
    first = photos.add(PICTURE, THEN)
    assert photos.add(PICTURE, THEN) == first == photos.get(first.id)
    assert (first.content, first.width, first.height, first.digest) == (PICTURE.content, 4, 3, PICTURE.digest)
    assert photos.add(OTHER, THEN).id != first.id
    assert photos.some([first.id, "none"]) == {first.id: PICTURE.content}
    assert photos.unknown([first.id, "none"]) == {"none"}
    assert photos.unknown([]) == set()


def test_another_account_has_its_own(engine: Engine) -> None:
    mine, others = Photos(engine), Photos(engine, "other")
    first = mine.add(PICTURE, THEN)
    for ask in (lambda: others.get(first.id), lambda: others.erase(first.id, THEN)):
        with pytest.raises(NotFound):
            ask()
    assert others.unknown([first.id]) == {first.id}
    assert others.some([first.id]) == {}


def test_a_photo_that_was_erased_is_gone(engine: Engine) -> None:
    photos = Photos(engine)
    first = photos.add(PICTURE, THEN)
    photos.erase(first.id, THEN)
    for ask in (lambda: photos.get(first.id), lambda: photos.erase(first.id, THEN)):
        with pytest.raises(NotFound):
            ask()
    other = photos.add(PICTURE, THEN)
    assert other.id != first.id
    assert photos.at_hand([first.id, other.id, "none"]) == {other.id}
    assert Photos(engine, "other").at_hand([other.id]) == set()


def test_a_key_makes_one_photo(engine: Engine) -> None:
    photos = Photos(engine)
    first = photos.add(PICTURE, THEN, Intent("k", "a" * 64))
    assert photos.add(PICTURE, THEN, Intent("k", "a" * 64)) == first
    with pytest.raises(KeyReused):
        photos.add(OTHER, THEN, Intent("k", "b" * 64))
