"""One application with the shipped knowledge pack and an SQLite file of its own, for all tests of the web room."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from riskapi.domain.knowledge import Pack
from riskapi.web import create_app
from riskapi.web.sample import SAMPLE
from riskapi.web.state import state_of
from tests.german import faults_in_german
from tests.storage.databases import postgresql_url

__all__ = ["app", "client", "document", "made", "postgresql_url"]

SAMPLES = sorted((Path(__file__).parents[2] / "sample_requests").glob("*.json"))


@pytest.fixture(autouse=True)
def _every_fault_is_told_in_german(monkeypatch: pytest.MonkeyPatch, shipped: Pack) -> Iterator[None]:
    yield from faults_in_german(monkeypatch, shipped)


@pytest.fixture(scope="session")
def app(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Flask]:
    made = create_app({"DATABASE_URL": f"sqlite:///{tmp_path_factory.mktemp('web') / 'riskapi.sqlite'}"})
    yield made
    state_of(made).repository.engine.dispose()


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    """A visitor who has been here never before: no cookie is left of another test."""
    return app.test_client()


@pytest.fixture(scope="session")
def document(app: Flask) -> dict[str, Any]:
    """The published OpenAPI document."""
    read: dict[str, Any] = json.loads(app.test_client().get("/v1/openapi.json").data)
    return read


@pytest.fixture(scope="session")
def made(app: Flask) -> str:
    """The path of an assessment of the documented sample."""
    answer = app.test_client().post("/v1/assessments", json=SAMPLE)
    assert answer.status_code == 201, answer.text
    return answer.headers["Location"]
