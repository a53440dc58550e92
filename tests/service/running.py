"""A service in processes of its own, as an operator runs it: gunicorn with its workers, a port, a real database."""

from __future__ import annotations

import http.client
import json
import os
import signal
import socket
import subprocess
import sys
import time
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
HOST = "127.0.0.1"
START_LIMIT, STOP_LIMIT, ANSWER_LIMIT = 90.0, 60.0, 180.0  # [s]
AWAY = (OSError, http.client.HTTPException)  # what a client meets when a server goes away


@dataclass(frozen=True, slots=True)
class Answer:
    status: int
    headers: dict[str, str]
    body: bytes = field(repr=False)

    @property
    def json(self) -> Any:
        return json.loads(self.body)


class Service:
    """One service: started, asked, and stopped or killed by the test."""

    def __init__(
        self, folder: Path, database_url: str, workers: int = 2, access: str = "alone", **environment: str
    ) -> None:
        self.folder, self.workers, self.access = folder, workers, access
        self.port = free_port()
        self.environment = {**os.environ, "RISKAPI_DATABASE_URL": database_url, **environment}
        self.log = folder / "service.log"
        self.process: subprocess.Popen[bytes] | None = None

    def start(self) -> Service:
        command = [sys.executable, "-m", "riskapi", "serve", "--host", HOST]
        command += ["--port", str(self.port), "--workers", str(self.workers), "--access", self.access]
        with self.log.open("ab") as log:
            self.process = subprocess.Popen(
                command, env=self.environment, cwd=ROOT, stdout=log, stderr=log, start_new_session=True
            )
        self.wait()
        return self

    def key(self, role: str) -> str:
        """A key of a new account, made on the command line."""
        command = [sys.executable, "-m", "riskapi", "keys", "create", "--role", role, "--name", role]
        made = subprocess.run(command, env=self.environment, cwd=ROOT, capture_output=True, text=True, check=True)
        return made.stdout.strip()

    def wait(self) -> None:
        """Until it answers."""
        deadline = time.monotonic() + START_LIMIT
        while time.monotonic() < deadline:
            if self.process is not None and self.process.poll() is not None:
                break
            try:
                if self.ask("GET", "/healthz").status == 200:
                    return
            except AWAY:
                time.sleep(0.2)
        raise AssertionError(f"the service did not start:\n{self.log.read_text()}")

    def ask(
        self,
        method: str,
        path: str,
        body: Any = None,
        headers: dict[str, str] | None = None,
        limit: float = ANSWER_LIMIT,
    ) -> Answer:
        """One request to this service; see `ask`."""
        return ask(self.port, method, path, body, headers, limit)

    def worker_ids(self) -> list[int]:
        """Process ids of the workers: children of the arbiter that serve requests."""
        assert self.process is not None
        children = Path(f"/proc/{self.process.pid}/task/{self.process.pid}/children")
        return [int(word) for word in children.read_text().split()]

    def kill_all(self) -> None:
        """As a power cut does: every process at once, no goodbye."""
        assert self.process is not None
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()

    def stop(self) -> int:
        """As an operator does; the exit status."""
        assert self.process is not None
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGTERM)
        try:
            return self.process.wait(STOP_LIMIT)
        finally:
            if self.process.poll() is None:
                self.kill_all()


def ask(
    port: int,
    method: str,
    path: str,
    body: Any = None,
    headers: dict[str, str] | None = None,
    limit: float = ANSWER_LIMIT,
) -> Answer:
    """One request on a connection of its own; anything but bytes is sent as JSON. Raises AWAY."""
    sent = {**(headers or {})}
    if body is not None and not isinstance(body, bytes):
        body = json.dumps(body).encode()
        sent["Content-Type"] = "application/json"
    with closing(http.client.HTTPConnection(HOST, port, timeout=limit)) as connection:
        connection.request(method, path, body, sent)
        answer = connection.getresponse()
        return Answer(answer.status, dict(answer.getheaders()), answer.read())


def free_port() -> int:
    with closing(socket.socket()) as probe:
        probe.bind((HOST, 0))
        port: int = probe.getsockname()[1]
        return port
