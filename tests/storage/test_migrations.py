from __future__ import annotations

from datetime import UTC, datetime

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from sqlalchemy import Engine, insert, inspect, select

from riskapi.errors import NotFound
from riskapi.storage import Repository, migrate, open_database
from riskapi.storage.database import migration_config
from riskapi.storage.models import AssessmentRow, Base, KnowledgeRow, VersionRow

THEN = datetime(2026, 1, 1, tzinfo=UTC)
FIRST = {"knowledge", "assessment", "document"}
LATER = [table.name for table in reversed(Base.metadata.sorted_tables) if table.name not in FIRST]


def test_migrations_make_the_tables_of_the_models(engine: Engine) -> None:
    with engine.connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection), Base.metadata) == []
        assert set(inspect(connection).get_table_names()) == FIRST | set(LATER) | {"alembic_version"}


def test_migrating_again_changes_nothing(engine: Engine) -> None:
    migrate(engine)
    with engine.connect() as connection:
        assert connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalars().all() == ["m0004"]


def test_what_was_kept_before_there_were_accounts_belongs_to_this_installation(engine: Engine) -> None:
    with engine.execution_options(immediate=True).begin() as connection:
        config = migration_config(connection)
        for table in LATER:
            connection.exec_driver_sql(f"DROP TABLE {table}")
        command.stamp(config, "m0001")
        connection.execute(insert(KnowledgeRow).values(digest="d", version="1", content=b"", first_used_at=THEN))
        old = {"id": "old", "created_at": THEN, "knowledge_digest": "d", "program_version": "1"}
        connection.execute(insert(AssessmentRow).values(case_json=b"", result_json=b"", **old))
    migrate(engine)
    assert Repository(engine).get("old").id == "old"
    with engine.connect() as connection:
        assert connection.execute(select(VersionRow.assessment_id, VersionRow.number)).all() == [("old", 1)]
    with pytest.raises(NotFound):
        Repository(engine, "another").get("old")


def test_a_migration_that_fails_leaves_nothing(sqlite_url: str, monkeypatch: pytest.MonkeyPatch) -> None:
    engine = open_database(sqlite_url)

    def fail(*_: object, **__: object) -> None:
        raise RuntimeError("power cut")

    monkeypatch.setattr("alembic.operations.Operations.create_index", fail)
    with pytest.raises(RuntimeError, match="power cut"):
        migrate(engine)
    assert inspect(engine).get_table_names() == []
    engine.dispose()
