from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import event

from riskapi.web import create_app
from riskapi.web.sample import SAMPLE
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


def test_a_full_disk_is_answered_plainly_and_harms_nothing(own: Flask) -> None:
    """The file may not grow any more, as on a full disk (SQLITE_FULL), then it may again."""
    client, engine = own.test_client(), state_of(own).repository.engine
    kept = client.post("/v1/assessments", json=SAMPLE)
    assert kept.status_code == 201
    with engine.connect() as connection:
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar_one()

    def hem_in(connection: Any, _record: Any) -> None:
        connection.execute(f"PRAGMA max_page_count = {pages}")

    engine.dispose()
    event.listen(engine, "connect", hem_in)
    seen = [client.post("/v1/assessments", json=SAMPLE) for _ in range(4)]
    assert seen[-1].status_code == 507
    assert seen[-1].get_json()["type"] == "/v1/docs#storage-full"
    assert {answer.status_code for answer in seen} <= {201, 507}  # a few may still fit into free pages
    event.remove(engine, "connect", hem_in)
    engine.dispose()
    assert client.post("/v1/assessments", json=SAMPLE).status_code == 201
    assert client.get(kept.headers["Location"]).data == kept.data
    made = 2 + sum(answer.status_code == 201 for answer in seen)
    assert len(client.get("/v1/assessments").get_json()["items"]) == made
    with engine.connect() as connection:
        assert connection.exec_driver_sql("PRAGMA integrity_check").scalars().all() == ["ok"]
