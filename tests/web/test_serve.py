"""A real server: gunicorn in a process of its own, on a free port of the loopback address."""

from __future__ import annotations

import http.client
import json
import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from riskapi.web.sample import SAMPLE

HOST = "127.0.0.1"
START_LIMIT, STOP_LIMIT, ANSWER_LIMIT = 60.0, 40.0, 120.0  # [s]
JSON = {"Content-Type": "application/json"}


@pytest.fixture(scope="module")
def port(tmp_path_factory: pytest.TempPathFactory) -> Iterator[int]:
    """The port of a server with two workers; it must stop on SIGTERM with exit status 0."""
    folder = tmp_path_factory.mktemp("serve")
    number = free_port()
    code = f"from riskapi.web.serve import run; run({HOST!r}, {number}, 2)"
    environment = {**os.environ, "RISKAPI_DATABASE_URL": f"sqlite:///{folder / 'riskapi.sqlite'}"}
    with (folder / "log").open("wb") as log:
        server = subprocess.Popen(
            [sys.executable, "-c", code], env=environment, cwd=Path(__file__).parents[2], stderr=log, stdout=log
        )
    try:
        wait_for(number, server, folder / "log")
        yield number
        server.send_signal(signal.SIGTERM)
        assert server.wait(STOP_LIMIT) == 0
    finally:
        server.kill()
        server.wait()


def free_port() -> int:
    with closing(socket.socket()) as probe:
        probe.bind((HOST, 0))
        port: int = probe.getsockname()[1]
        return port


def wait_for(port: int, server: subprocess.Popen[bytes], log: Path) -> None:
    deadline = time.monotonic() + START_LIMIT
    while time.monotonic() < deadline and server.poll() is None:
        try:
            if ask(port, "GET", "/healthz")[0] == 200:
                return
        except OSError:
            time.sleep(0.2)
    pytest.fail(f"the server did not start:\n{log.read_text()}")


def ask(
    port: int,
    method: str,
    path: str,
    body: object = None,
    headers: dict[str, str] | None = None,
    *,
    chunked: bool = False,
) -> tuple[int, dict[str, str], bytes]:
    with closing(http.client.HTTPConnection(HOST, port, timeout=ANSWER_LIMIT)) as connection:
        connection.request(method, path, body, headers or {}, encode_chunked=chunked)  # type: ignore[arg-type]
        answer = connection.getresponse()
        return answer.status, dict(answer.getheaders()), answer.read()


def test_the_main_job(port: int) -> None:
    status, headers, body = ask(port, "POST", "/v1/assessments", json.dumps(SAMPLE), JSON)
    assert status == 201
    again = ask(port, "GET", headers["Location"])
    assert again[0] == 200
    assert again[2] == body
    reports = {ask(port, "GET", headers["Location"] + "/report.pdf")[2] for _ in range(4)}  # whichever worker answers
    assert len(reports) == 1
    assert reports.pop().startswith(b"%PDF-")


@pytest.mark.parametrize("size", [1_000_001, 5_000_000])
def test_a_long_body_gets_its_answer(port: int, size: int) -> None:
    status, headers, body = ask(port, "POST", "/v1/assessments", b" " * size, JSON)
    assert status == 413
    assert headers["Content-Type"] == "application/problem+json"
    assert json.loads(body)["status"] == 413


def test_a_long_body_in_chunks_gets_its_answer(port: int) -> None:
    pieces = (b" " * 50_000 for _ in range(100))
    headers = {**JSON, "Transfer-Encoding": "chunked"}
    status, _, body = ask(port, "POST", "/v1/assessments", pieces, headers, chunked=True)
    assert status == 413
    assert json.loads(body)["status"] == 413


def test_a_short_body_in_chunks_is_read(port: int) -> None:
    headers = {**JSON, "Transfer-Encoding": "chunked"}
    status, _, body = ask(port, "POST", "/v1/assessments", iter([b'{"as_of": ', b"5}"]), headers, chunked=True)
    assert status == 422
    assert "/as_of" in {fault["pointer"] for fault in json.loads(body)["faults"]}
