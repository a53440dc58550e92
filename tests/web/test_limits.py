"""Rates, with the headers of draft-ietf-httpapi-ratelimit-headers; and no cross-origin leave by default."""

from __future__ import annotations

import re
import shutil
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from riskapi.web import create_app
from riskapi.web.access import BY_KEY
from riskapi.web.state import state_of
from tests.web.test_access import key_for
from tests.web.test_serve import HOST, free_port

FAR = {"environ_overrides": {"REMOTE_ADDR": "192.0.2.7"}}


def limited(tmp_path: Path, **config: Any) -> Iterator[Flask]:
    url = f"sqlite:///{tmp_path / 'riskapi.sqlite'}"
    rates = {"RATE_ACCOUNT": "3 per minute", "RATE_ADDRESS": "5 per minute"}
    made = create_app({"DATABASE_URL": url, "ACCESS": BY_KEY, **rates, **config})
    yield made
    state_of(made).repository.engine.dispose()


@pytest.fixture
def guarded(tmp_path: Path) -> Iterator[Flask]:
    yield from limited(tmp_path)


def test_an_account_is_told_what_is_left_then_refused(guarded: Flask) -> None:
    client, key = guarded.test_client(), key_for(guarded, "buyer")
    left = []
    for _ in range(3):
        answer = client.get("/v1/engines", headers=key)
        assert answer.status_code == 200
        assert answer.headers["RateLimit-Policy"] == '"account";q=3;w=60'
        told = re.fullmatch(r'"account";r=(\d+);t=(\d+)', answer.headers["RateLimit"])
        assert told is not None
        left.append(int(told[1]))
        assert 0 < int(told[2]) <= 60
    assert left == [2, 1, 0]
    answer = client.get("/v1/engines", headers=key)
    assert (answer.status_code, answer.get_json()["type"]) == (429, "/v1/docs#too-often")
    assert 0 < int(answer.headers["Retry-After"]) <= 60
    assert answer.headers["Content-Type"] == "application/problem+json"
    assert client.get("/v1/engines", headers=key_for(guarded, "buyer")).status_code == 200  # another account


def test_an_address_is_limited_before_anybody_looks_at_its_key(guarded: Flask) -> None:
    client = guarded.test_client()
    seen = [client.get("/v1/engines", headers={"Authorization": "Bearer wrong"}, **FAR).status_code for _ in range(7)]
    assert seen == [401] * 5 + [429] * 2
    assert client.get("/healthz", environ_overrides={"REMOTE_ADDR": "192.0.2.8"}).status_code == 200


def test_behind_a_proxy_the_address_is_the_one_it_tells(tmp_path: Path) -> None:
    for app in limited(tmp_path, PROXIES=1):
        client = app.test_client()
        for number in range(6):
            assert client.get("/healthz", headers={"X-Forwarded-For": f"192.0.2.{number}"}).status_code == 200
        seen = [client.get("/healthz", headers={"X-Forwarded-For": "192.0.2.99"}).status_code for _ in range(6)]
        assert seen == [200] * 5 + [429]
        forged = {"X-Forwarded-For": "198.51.100.1, 192.0.2.99"}  # what the client wrote before the proxy added its own
        assert client.get("/healthz", headers=forged).status_code == 429


def test_this_machine_itself_is_not_limited(client: FlaskClient) -> None:
    assert "RateLimit" not in client.get("/v1/engines").headers


def test_a_store_that_is_away_limits_nobody(tmp_path: Path, caplog: pytest.LogCaptureFixture) -> None:
    for app in limited(tmp_path, RATE_STORE=f"redis://{HOST}:{free_port()}/0"):
        assert {app.test_client().get("/healthz", **FAR).status_code for _ in range(8)} == {200}
        assert "requests are not counted" in caplog.text


@pytest.mark.skipif(shutil.which("redis-server") is None, reason="redis-server is not installed")
def test_servers_that_share_a_store_count_together(tmp_path: Path) -> None:
    port = free_port()
    command = ["redis-server", "--port", str(port), "--bind", HOST, "--save", "", "--dir", str(tmp_path)]
    with subprocess.Popen(command, stdout=subprocess.DEVNULL) as server:
        try:
            time.sleep(0.5)
            store = f"redis://{HOST}:{port}/0"
            for folder in ("one", "two"):
                (tmp_path / folder).mkdir()
            for first in limited(tmp_path / "one", RATE_STORE=store):
                for second in limited(tmp_path / "two", RATE_STORE=store):
                    seen = [app.test_client().get("/healthz", **FAR).status_code for app in 3 * [first, second]]
                    assert seen == [200] * 5 + [429]
        finally:
            server.terminate()


@pytest.mark.parametrize("method", ["GET", "POST", "OPTIONS"])
def test_no_other_origin_gets_leave_to_read(client: FlaskClient, method: str) -> None:
    asked = {"Origin": "https://elsewhere.example", "Access-Control-Request-Method": "POST"}
    answer = client.open("/v1/assessments", method=method, headers=asked)
    assert [name for name in dict(answer.headers) if name.lower().startswith("access-control")] == []
    assert answer.headers["Cross-Origin-Resource-Policy"] == "same-origin"
