from __future__ import annotations

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from sqlalchemy import Engine, inspect

from riskapi.storage import migrate, open_database
from riskapi.storage.models import Base

TABLES = {"knowledge", "assessment", "document"}


def test_migrations_make_the_tables_of_the_models(engine: Engine) -> None:
    with engine.connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection), Base.metadata) == []
        assert set(inspect(connection).get_table_names()) == TABLES | {"alembic_version"}


def test_migrating_again_changes_nothing(engine: Engine) -> None:
    migrate(engine)
    with engine.connect() as connection:
        assert connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalars().all() == ["m0001"]


def test_a_migration_that_fails_leaves_nothing(sqlite_url: str, monkeypatch: pytest.MonkeyPatch) -> None:
    engine = open_database(sqlite_url)

    def fail(*_: object, **__: object) -> None:
        raise RuntimeError("power cut")

    monkeypatch.setattr("alembic.operations.Operations.create_index", fail)
    with pytest.raises(RuntimeError, match="power cut"):
        migrate(engine)
    assert inspect(engine).get_table_names() == []
    engine.dispose()
