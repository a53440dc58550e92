from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient

from riskapi.web import create_app
from riskapi.web.state import state_of


@pytest.fixture
def own(tmp_path: Path) -> Iterator[Flask]:
    made = create_app({"DATABASE_URL": f"sqlite:///{tmp_path / 'riskapi.sqlite'}"})
    yield made
    state_of(made).repository.engine.dispose()


def told(client: FlaskClient) -> tuple[int, dict[str, bool]]:
    answer = client.get("/readyz")
    body = answer.get_json()
    assert body["ready"] == (answer.status_code == 200)
    return answer.status_code, {each["name"]: each["well"] for each in body["checks"]}


def test_all_is_well(own: Flask) -> None:
    assert told(own.test_client()) == (200, {"database": True, "migrations": True, "pack": True, "disk": True})


def test_tables_of_another_version(own: Flask) -> None:
    with state_of(own).repository.engine.begin() as connection:
        connection.exec_driver_sql("UPDATE alembic_version SET version_num = 'm0001'")
    status, checks = told(own.test_client())
    assert (status, checks["migrations"]) == (503, False)


def test_no_room(own: Flask) -> None:
    own.config["DISK_LEAST"] = 10**12
    status, checks = told(own.test_client())
    assert (status, checks["disk"]) == (503, False)


def test_a_database_that_is_gone(own: Flask, tmp_path: Path) -> None:
    state_of(own).repository.engine.dispose()
    (tmp_path / "riskapi.sqlite").unlink()
    (tmp_path / "riskapi.sqlite").mkdir()
    status, checks = told(own.test_client())
    assert (status, checks["database"]) == (503, False)
    assert own.test_client().get("/healthz").status_code == 200  # it runs all the same
