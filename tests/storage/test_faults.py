"""A disk that fills up: a clear answer, and a database that is intact. SQLite is given a small disk by its own limit on
pages, which fails as a full disk does (SQLITE_FULL)."""

from __future__ import annotations

from pathlib import Path

import pytest
from sqlalchemy import create_engine
from sqlalchemy.exc import IntegrityError, OperationalError, ProgrammingError, SQLAlchemyError
from sqlalchemy.exc import TimeoutError as PoolTimeout

from riskapi.storage import Repository, migrate, open_database
from riskapi.storage.faults import AWAY, FULL, MISTAKE, fault_of
from tests.storage.test_repository import KNOWLEDGE, assessment


def test_a_full_disk_is_told_and_leaves_the_database_intact(sqlite_url: str) -> None:
    engine = open_database(sqlite_url)
    migrate(engine)
    repository, kept = Repository(engine), assessment()
    repository.add(kept, KNOWLEDGE, {"report.pdf": b"x"})
    with engine.connect() as connection:
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar_one()
    engine.dispose()
    full = open_database(sqlite_url)
    with full.connect() as connection:  # the only connection of the pool keeps the limit
        connection.exec_driver_sql(f"PRAGMA max_page_count = {pages}")
    with pytest.raises(SQLAlchemyError) as caught:
        Repository(full).add(assessment(), KNOWLEDGE, {"report.pdf": 10_000_000 * b"x"})
    assert fault_of(caught.value) == FULL
    full.dispose()
    again = open_database(sqlite_url)
    with again.connect() as connection:
        assert connection.exec_driver_sql("PRAGMA integrity_check").scalars().all() == ["ok"]
    assert Repository(again).get(kept.id) == kept
    assert len(Repository(again).page(9)) == 1
    again.dispose()


def test_another_writer_that_does_not_end(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path / 'x.sqlite'}"
    one, two = (create_engine(url, connect_args={"timeout": 0.1}) for _ in range(2))
    with one.connect() as first, two.connect() as second:
        first.exec_driver_sql("CREATE TABLE t (a)")
        first.commit()
        first.exec_driver_sql("BEGIN EXCLUSIVE")
        with pytest.raises(OperationalError) as caught:
            second.exec_driver_sql("BEGIN EXCLUSIVE")
    assert fault_of(caught.value) == AWAY
    one.dispose()
    two.dispose()


class Failed(Exception):
    def __init__(self, sqlstate: str | None) -> None:
        self.sqlstate = sqlstate
        super().__init__("inside")


@pytest.mark.parametrize(
    ("state", "kind"),
    [
        ("53100", FULL),  # disk_full
        ("53300", AWAY),  # too_many_connections
        ("57P01", AWAY),  # admin_shutdown
        ("57P03", AWAY),  # cannot_connect_now
        ("08006", AWAY),  # connection_failure
        ("40001", AWAY),  # serialization_failure
        ("40P01", AWAY),  # deadlock_detected
        (None, AWAY),  # the driver never got through to it
        ("42P01", MISTAKE),  # undefined_table
        ("22021", MISTAKE),  # character_not_in_repertoire
    ],
)
def test_states_of_postgresql(state: str | None, kind: str) -> None:
    """Appendix 'PostgreSQL Error Codes' of its manual."""
    assert fault_of(OperationalError("SELECT 1", {}, Failed(state))) == kind


def test_the_rest() -> None:
    assert fault_of(PoolTimeout("all connections are in use")) == AWAY
    assert fault_of(IntegrityError("INSERT", {}, Failed("23505"))) == MISTAKE
    assert fault_of(ProgrammingError("SELECT", {}, Failed(None))) == MISTAKE
    assert fault_of(SQLAlchemyError("x")) == MISTAKE
