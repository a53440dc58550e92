"""A real server: gunicorn in a process of its own, on a free port of the loopback address."""

from __future__ import annotations

import http.client
import json
import os
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from riskapi.storage import open_database
from riskapi.storage.deliveries import Pulse
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


def own_server(tmp_path: Path, **environment: str) -> tuple[subprocess.Popen[bytes], int, Path]:
    """A server of the test's own, as the command starts it; its port and its log."""
    number, log = free_port(), tmp_path / "log"
    command = [sys.executable, "-m", "riskapi", "serve", "--port", str(number), "--workers", "2"]
    own = {**os.environ, "RISKAPI_DATABASE_URL": f"sqlite:///{tmp_path / 'riskapi.sqlite'}", **environment}
    with log.open("wb") as out:
        server = subprocess.Popen(command, env=own, cwd=Path(__file__).parents[2], stderr=out, stdout=out)
    wait_for(number, server, log)
    return server, number, log


def test_told_to_stop_it_finishes_what_is_being_answered(tmp_path: Path) -> None:
    """The signal comes while workers compute: every answer arrives whole, then nothing listens any more."""
    server, number, log = own_server(tmp_path)
    answers: list[tuple[int, dict[str, str], bytes]] = []

    def assess() -> None:
        answers.append(ask(number, "POST", "/v1/assessments", json.dumps(SAMPLE), JSON))

    try:
        ask(number, "POST", "/v1/assessments", json.dumps(SAMPLE), JSON)
        clients = [threading.Thread(target=assess) for _ in range(2)]
        for client in clients:
            client.start()
        time.sleep(0.15)  # they are being answered now
        assert answers == []
        server.send_signal(signal.SIGTERM)
        for client in clients:
            client.join()
        assert server.wait(STOP_LIMIT) == 0
    finally:
        server.kill()
        server.wait()
    assert [status for status, _, _ in answers] == [201, 201]
    with pytest.raises(OSError, match="refused"):
        ask(number, "GET", "/healthz")
    lines = [json.loads(line) for line in log.read_text().splitlines()]  # nothing but JSON
    assert lines[0]["message"] == "starting"
    assert [line["status"] for line in lines if line.get("route") == "/v1/assessments"] == [201, 201, 201]


def test_a_worker_runs_beside_it_is_replaced_and_ends_with_it(tmp_path: Path) -> None:
    server, number, _ = own_server(tmp_path)
    engine = open_database(f"sqlite:///{tmp_path / 'riskapi.sqlite'}")

    def alive() -> list[str]:
        return Pulse(engine).alive(datetime.now(UTC))

    def until(holds: Callable[[], bool]) -> None:
        deadline = time.monotonic() + START_LIMIT
        while not holds():
            assert time.monotonic() < deadline
            time.sleep(0.2)

    try:
        until(lambda: len(alive()) == 1)
        first = int(alive()[0].rpartition(":")[2])
        os.kill(first, signal.SIGKILL)
        until(lambda: len(alive()) == 2)  # the killed one had no time to go
        second = next(int(name.rpartition(":")[2]) for name in alive() if not name.endswith(f":{first}"))
        assert ask(number, "GET", "/healthz")[0] == 200
        server.kill()  # without a word to anybody
        until(lambda: not Path(f"/proc/{second}").exists())
    finally:
        server.kill()
        server.wait()
        engine.dispose()


def test_metrics_add_up_over_the_processes(port: int) -> None:
    """An answer is counted when it has gone out, so the last one may be on its way into the sum."""

    def counted() -> list[float]:
        lines = ask(port, "GET", "/metrics")[2].decode().splitlines()
        mine = [line for line in lines if "riskapi_requests_total" in line and 'route="/v1/checks"' in line]
        return [float(line.rpartition(" ")[2]) for line in mine]

    for _ in range(12):
        ask(port, "GET", "/v1/checks")
    deadline = time.monotonic() + 10
    while counted() != [12.0] and time.monotonic() < deadline:
        time.sleep(0.1)
    assert counted() == [12.0]
