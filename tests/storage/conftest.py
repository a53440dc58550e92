from __future__ import annotations

from collections.abc import Iterator

import pytest
from sqlalchemy import Engine

from riskapi.storage import migrate, open_database
from tests.storage.databases import postgresql_url, sqlite_url

__all__ = ["engine", "postgresql_url", "sqlite_url"]


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)])
def engine(request: pytest.FixtureRequest) -> Iterator[Engine]:
    """A migrated database of each kind."""
    opened = open_database(request.getfixturevalue(f"{request.param}_url"))
    migrate(opened)
    yield opened
    opened.dispose()
