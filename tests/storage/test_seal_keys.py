from __future__ import annotations

import stat
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from sqlalchemy import Engine, select
from sqlalchemy.orm import Session

from riskapi.storage import SealKeys, open_database
from riskapi.storage.models import SealKeyRow

THEN = datetime(2026, 3, 14, 10, 5, 7, tzinfo=UTC)
LATER = THEN + timedelta(days=30)


def test_the_first_use_makes_a_key_that_stays(engine: Engine) -> None:
    keys = SealKeys(engine)
    made = keys.in_use(THEN)
    assert keys.in_use(LATER) == made
    assert (made.key.created_at, made.key.retired_at) == (THEN, None)
    public = Ed25519PrivateKey.from_private_bytes(made.private_key).public_key().public_bytes_raw()
    assert keys.all_keys() == [made.key]
    assert made.key.public_key == public


def test_a_retired_key_keeps_its_public_half_only(engine: Engine) -> None:
    keys = SealKeys(engine)
    old = keys.in_use(THEN)
    new = keys.rotate(LATER)
    assert keys.in_use(LATER).key == new
    newest, before = keys.all_keys()
    assert (newest, before.id, before.public_key, before.retired_at) == (new, old.key.id, old.key.public_key, LATER)
    with Session(engine) as session:
        kept = {row.id: row.private_key for row in session.scalars(select(SealKeyRow))}
    assert kept[old.key.id] is None
    assert kept[new.id] is not None


def test_rotating_before_the_first_use_makes_one(engine: Engine) -> None:
    keys = SealKeys(engine)
    assert keys.rotate(THEN) == keys.in_use(LATER).key


def test_workers_that_start_at_once_share_one_key(engine: Engine) -> None:
    with ThreadPoolExecutor(8) as pool:
        made = list(pool.map(lambda _: SealKeys(engine).in_use(THEN), range(24)))
    assert len({key.private_key for key in made}) == 1
    assert len(SealKeys(engine).all_keys()) == 1


def test_a_private_half_is_not_printed(engine: Engine) -> None:
    made = SealKeys(engine).in_use(THEN)
    assert str(made.private_key) not in repr(made)


def test_the_embedded_database_is_for_its_owner_only(tmp_path: Path) -> None:
    file = tmp_path / "new" / "riskapi.sqlite"
    engine = open_database(f"sqlite:///{file}")
    with engine.connect():
        pass
    engine.dispose()
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert stat.S_IMODE(file.parent.stat().st_mode) == 0o700


@pytest.mark.parametrize("mode", [0o640, 0o600])
def test_a_database_that_is_there_keeps_its_permissions(tmp_path: Path, mode: int) -> None:
    file = tmp_path / "riskapi.sqlite"
    file.touch(mode)
    file.chmod(mode)
    open_database(f"sqlite:///{file}").dispose()
    assert stat.S_IMODE(file.stat().st_mode) == mode
