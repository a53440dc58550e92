"""/metrics, read back by the reader of the library that Prometheus publishes."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient
from prometheus_client.parser import text_string_to_metric_families
from sqlalchemy.orm import Session

from riskapi.storage import LOCAL, append_event
from riskapi.storage.webhooks import Webhooks
from riskapi.web import create_app
from riskapi.web.access import BY_KEY
from riskapi.web.state import state_of
from tests.web.test_access import key_for

TOKEN = "a-token-for-the-tests"  # noqa: S105


@pytest.fixture
def guarded(tmp_path: Path) -> Iterator[Flask]:
    url = f"sqlite:///{tmp_path / 'riskapi.sqlite'}"
    made = create_app({"DATABASE_URL": url, "ACCESS": BY_KEY, "METRICS_TOKEN": TOKEN})
    yield made
    state_of(made).repository.engine.dispose()


def read(client: FlaskClient, **headers: str) -> dict[tuple[str, str], float]:
    """(name of a sample, its route or nothing) -> value, summed over the other labels."""
    answer = client.get("/metrics", headers=headers)
    assert answer.status_code == 200
    found: dict[tuple[str, str], float] = {}
    for family in text_string_to_metric_families(answer.text):
        for sample in family.samples:
            key = (sample.name, sample.labels.get("route", ""))
            found[key] = found.get(key, 0.0) + sample.value
    return found


def test_requests_are_counted_by_route_and_never_by_path(guarded: Flask) -> None:
    client, key = guarded.test_client(), key_for(guarded, "buyer")
    for path in ("/v1/engines/lapwing", "/v1/engines/pepper", "/v1/pepper"):
        client.get(path, headers=key, buffered=True)
    told = read(client, Authorization=f"Bearer {TOKEN}")
    assert told["riskapi_requests_total", "/v1/engines/<string:family>"] == 2
    assert told["riskapi_request_seconds_count", "-"] == 1
    assert "pepper" not in client.get("/metrics", headers={"Authorization": f"Bearer {TOKEN}"}).text


def test_what_waits_is_told(guarded: Flask) -> None:
    engine = state_of(guarded).repository.engine
    Webhooks(engine, LOCAL).add("https://hook.invalid/", ("outcome.told",), datetime.now(UTC))
    with Session(engine) as session, session.begin():
        append_event(session, LOCAL, "outcome.told", {})
    told = read(guarded.test_client(), Authorization=f"Bearer {TOKEN}")
    assert told["riskapi_deliveries_waiting", ""] == 1
    assert told["riskapi_oldest_delivery_seconds", ""] >= 0
    assert (told["riskapi_workers", ""], told["riskapi_database_up", ""], told["riskapi_info", ""]) == (0, 1, 1)


def test_it_is_for_curators_and_for_whoever_shows_the_token(guarded: Flask, client: FlaskClient) -> None:
    shown = guarded.test_client()
    assert shown.get("/metrics").status_code == 401
    assert shown.get("/metrics", headers={"Authorization": f"Bearer {TOKEN}x"}).status_code == 401
    assert shown.get("/metrics", headers=key_for(guarded, "buyer")).status_code == 403
    assert shown.get("/metrics", headers=key_for(guarded, "curator")).status_code == 200
    assert shown.get("/v1/engines", headers={"Authorization": f"Bearer {TOKEN}"}).status_code == 401  # nothing else
    assert client.get("/metrics").status_code == 200  # a single user's machine itself
    assert client.get("/metrics", environ_overrides={"REMOTE_ADDR": "192.0.2.7"}).status_code == 401
