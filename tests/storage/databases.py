"""The databases that tests use: an SQLite file of its own, and a fresh schema of a PostgreSQL server.

The server is the one of RISKAPI_TEST_POSTGRESQL_URL, else one at the loopback address. Without one the tests that
need it are skipped with the reason, but fail where the variable CI is set.
"""

from __future__ import annotations

import os
import uuid
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import create_engine, make_url
from sqlalchemy.exc import SQLAlchemyError

SERVER = os.environ.get("RISKAPI_TEST_POSTGRESQL_URL", "postgresql+psycopg://postgres@127.0.0.1/test")


@pytest.fixture
def sqlite_url(tmp_path: Path) -> str:
    return f"sqlite:///{tmp_path / 'data' / 'riskapi.sqlite'}"


@pytest.fixture
def postgresql_url() -> Iterator[str]:
    """The URL of a schema that exists for one test only."""
    server = create_engine(SERVER, connect_args={"connect_timeout": 5})
    schema = f"riskapi_test_{uuid.uuid4().hex}"
    try:
        with server.begin() as connection:
            connection.exec_driver_sql(f"CREATE SCHEMA {schema}")
    except SQLAlchemyError as error:
        reason = f"no PostgreSQL at {make_url(SERVER).render_as_string(hide_password=True)}: {type(error).__name__}"
        if os.environ.get("CI"):
            pytest.fail(reason)
        pytest.skip(reason)
    yield f"{SERVER}{'&' if '?' in SERVER else '?'}options=-csearch_path%3D{schema}"
    with server.begin() as connection:
        connection.exec_driver_sql(f"DROP SCHEMA {schema} CASCADE")
    server.dispose()
