"""Everything out, everything in again, byte for byte, between the kinds of database too."""

from __future__ import annotations

import gzip
import json
import threading
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Engine, func, insert, inspect, select

from riskapi.errors import InputError
from riskapi.storage import FINDINGS, Following, Intent, Repository, migrate, open_database
from riskapi.storage.backup import NOT_KEPT, back_up, restore
from riskapi.storage.models import Base, KnowledgeRow
from tests.storage.test_migrations import THEN
from tests.storage.test_repository import ANY_BYTES, KNOWLEDGE, assessment


def everything(engine: Engine) -> dict[str, list[dict[str, Any]]]:
    with engine.connect() as connection:
        return {
            table.name: [dict(row) for row in connection.execute(select(table).order_by(*table.primary_key)).mappings()]
            for table in Base.metadata.sorted_tables
        }


def use(engine: Engine) -> None:
    repository, first = Repository(engine), assessment()
    repository.add(first, KNOWLEDGE, {"report.pdf": ANY_BYTES}, Intent("k", "a" * 64))
    for _ in range(3):
        repository.add(assessment(), KNOWLEDGE, {"report.pdf": b""}, follows=Following(first.id, FINDINGS))


def test_every_table_is_backed_up(engine: Engine) -> None:
    kept = {table.name for table in Base.metadata.sorted_tables}
    assert set(inspect(engine).get_table_names()) - kept == {"alembic_version"}
    assert {"worker"} == NOT_KEPT


@pytest.mark.parametrize("target", ["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)])
def test_out_and_in_again_also_from_one_kind_to_the_other(
    engine: Engine, target: str, request: pytest.FixtureRequest, tmp_path: Path
) -> None:
    use(engine)
    before, file = everything(engine), tmp_path / "all.riskapi"
    rows = back_up(engine, file)
    assert rows == sum(map(len, before.values())) > 10
    assert file.stat().st_mode & 0o077 == 0
    if target == engine.dialect.name == "postgresql":
        with engine.begin() as connection:
            for table in reversed(Base.metadata.sorted_tables):
                connection.execute(table.delete())
        assert restore(engine, file) == rows
        assert everything(engine) == before
        return
    url = f"sqlite:///{tmp_path / 'other.sqlite'}" if target == "sqlite" else request.getfixturevalue("postgresql_url")
    other = open_database(url)
    assert restore(other, file) == rows
    assert everything(other) == before
    other.dispose()


def test_a_backup_is_of_one_moment_and_no_writer_waits(engine: Engine, tmp_path: Path) -> None:
    use(engine)
    stop, written = threading.Event(), []

    def write() -> None:
        while not stop.is_set():
            made = assessment()
            Repository(engine).add(made, KNOWLEDGE, {"report.pdf": 20_000 * b"x"})
            written.append(made.id)

    writer = threading.Thread(target=write)
    writer.start()
    try:
        back_up(engine, tmp_path / "all.riskapi")
    finally:
        stop.set()
        writer.join()
    assert written
    other = open_database(f"sqlite:///{tmp_path / 'other.sqlite'}")
    restore(other, tmp_path / "all.riskapi")
    rows = everything(other)
    assert len(rows["assessment"]) == len(rows["belonging"]) == len(rows["version"])
    assert len(rows["event"]) == len(rows["assessment"])
    other.dispose()


def test_what_is_used_already_is_not_written_over(engine: Engine, tmp_path: Path) -> None:
    use(engine)
    file, before = tmp_path / "all.riskapi", everything(engine)
    back_up(engine, file)
    with pytest.raises(InputError, match="not empty"):
        restore(engine, file)
    assert everything(engine) == before
    with pytest.raises(InputError, match="file of this name"):
        back_up(engine, file)


def cut(lines: list[str]) -> bytes:
    return gzip.compress("".join(lines[:-2]).encode())


BROKEN = {
    "no gzip": lambda lines: "".join(lines).encode(),
    "cut off": lambda lines: gzip.compress("".join(lines).encode())[:-20],
    "its end is missing": cut,
    "a row is missing": lambda lines: gzip.compress("".join([lines[0], *lines[2:]]).encode()),
    "of another version": lambda lines: gzip.compress(
        "".join([json.dumps({**json.loads(lines[0]), "migration": "m9999"}) + "\n", *lines[1:]]).encode()
    ),
    "something else": lambda _lines: gzip.compress(b'{"a": 1}\n'),
    "nothing": lambda _lines: gzip.compress(b""),
}


@pytest.mark.parametrize("how", BROKEN)
def test_what_is_no_whole_backup_changes_nothing(sqlite_url: str, tmp_path: Path, how: str) -> None:
    source = open_database(sqlite_url)
    migrate(source)
    use(source)
    back_up(source, tmp_path / "all.riskapi")
    source.dispose()
    with gzip.open(tmp_path / "all.riskapi", "rt") as lines:
        broken = BROKEN[how](list(lines))
    (tmp_path / "broken").write_bytes(broken)
    other = open_database(f"sqlite:///{tmp_path / 'other.sqlite'}")
    migrate(other)
    fresh = everything(other)
    with pytest.raises(InputError):
        restore(other, tmp_path / "broken")
    assert everything(other) == fresh
    other.dispose()


def test_a_database_of_another_version_is_not_backed_up(sqlite_url: str, tmp_path: Path) -> None:
    engine = open_database(sqlite_url)
    migrate(engine)
    with engine.begin() as connection:
        connection.execute(insert(KnowledgeRow).values(digest="d", version="1", content=b"", first_used_at=THEN))
        assert connection.scalar(select(func.count()).select_from(KnowledgeRow)) == 1
        connection.exec_driver_sql("UPDATE alembic_version SET version_num = 'm0001'")
    with pytest.raises(InputError, match="m0001"):
        back_up(engine, tmp_path / "all.riskapi")
    assert list(tmp_path.glob("all*")) == []
    engine.dispose()
