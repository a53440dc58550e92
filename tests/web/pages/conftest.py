"""An application that every caller needs a key for, and a browser that showed one."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
from flask import Flask
from flask.testing import FlaskClient

from riskapi.web import create_app
from riskapi.web.access import BY_KEY
from riskapi.web.state import state_of
from tests.web.conftest import app, client, made

__all__ = ["app", "client", "made"]


@pytest.fixture(scope="module")
def guarded(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Flask]:
    url = f"sqlite:///{tmp_path_factory.mktemp('pages') / 'riskapi.sqlite'}"
    made = create_app({"DATABASE_URL": url, "ACCESS": BY_KEY})
    yield made
    state_of(made).repository.engine.dispose()


@pytest.fixture
def key(guarded: Flask) -> str:
    accounts, now = state_of(guarded).accounts, datetime.now(UTC)
    return accounts.make_key(accounts.open("Yard", "dealer", now).id, now)


@pytest.fixture
def browser(guarded: Flask, key: str) -> FlaskClient:
    """Signed in."""
    made = guarded.test_client()
    answer = made.post("/sign-in", data={"key": key, "next": "/engines"}, headers={"Sec-Fetch-Site": "same-origin"})
    assert answer.status_code == 303, answer.text
    return made
