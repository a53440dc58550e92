"""The database server is killed and brought back: a clear answer meanwhile, and nothing acknowledged is lost.

A PostgreSQL server of the test's own, so that nobody else's is stopped. Without its programs the test is skipped with
the reason, but fails where the variable CI is set.
"""

from __future__ import annotations

import contextlib
import glob
import os
import shutil
import subprocess
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from riskapi.web.sample import SAMPLE
from tests.service.running import HOST, Service, free_port

RECOVERY = 60.0  # [s]


class Cluster:
    """A PostgreSQL server on a port of its own."""

    def __init__(self, programs: Path, folder: Path) -> None:
        self.programs, self.folder, self.port = programs, folder, free_port()
        self._run("initdb", "-D", str(folder / "data"), "-A", "trust", "-U", "postgres")

    @property
    def url(self) -> str:
        return f"postgresql+psycopg://postgres@{HOST}:{self.port}/postgres"

    def start(self) -> None:
        options = f"-p {self.port} -c listen_addresses={HOST} -c unix_socket_directories={self.folder}"
        self._control("-w", "-l", str(self.folder / "log"), "-o", options, "start")

    def kill(self) -> None:
        self._control("-m", "immediate", "stop")

    def _control(self, *words: str) -> None:
        self._run("pg_ctl", "-D", str(self.folder / "data"), *words)

    def _run(self, program: str, *words: str) -> None:
        """As the user postgres where the tests run as root, whom the server refuses."""
        switch = ["runuser", "-u", "postgres", "--"] if os.geteuid() == 0 else []
        command = [*switch, str(self.programs / program), *words]
        subprocess.run(command, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, cwd="/")


@pytest.fixture
def cluster() -> Iterator[Cluster]:
    found = sorted(glob.glob("/usr/lib/postgresql/*/bin/initdb")) or [shutil.which("initdb") or ""]  # noqa: PTH207
    if not found[-1]:
        reason = "the programs of a PostgreSQL server (initdb, pg_ctl) are not installed"
        if os.environ.get("CI"):
            pytest.fail(reason)
        pytest.skip(reason)
    folder = Path(tempfile.mkdtemp(prefix="riskapi-cluster-"))
    folder.chmod(0o777)
    made = Cluster(Path(found[-1]).parent, folder)
    made.start()
    yield made
    with contextlib.suppress(subprocess.CalledProcessError):  # it may be stopped already
        made.kill()
    shutil.rmtree(folder, ignore_errors=True)


@pytest.mark.slow
@pytest.mark.postgresql
def test_the_database_goes_away_and_comes_back(cluster: Cluster, tmp_path: Path) -> None:
    service = Service(tmp_path, cluster.url).start()
    try:
        made = service.ask("POST", "/v1/assessments", SAMPLE, {"Idempotency-Key": "before"})
        assert made.status == 201
        cluster.kill()
        _check_away(service, made.json["assessment_id"])
        cluster.start()
        _check_back(service, made.json)
    finally:
        assert service.stop() == 0


def _check_away(service: Service, identifier: str) -> None:
    for method, path, body in (
        ("GET", f"/v1/assessments/{identifier}", None),
        ("POST", "/v1/assessments", SAMPLE),
        ("GET", "/v1/assessments", None),
    ):
        answer = service.ask(method, path, body, {"Idempotency-Key": "meanwhile"} if body else None)
        assert answer.status == 503, answer.body
        assert answer.headers["Content-Type"] == "application/problem+json"
        assert "Retry-After" in answer.headers
        assert b"psycopg" not in answer.body
        assert b"SELECT" not in answer.body
    assert service.ask("GET", "/readyz").status == 503
    assert service.ask("GET", "/v1/engines").status == 200  # what needs no database goes on


def _check_back(service: Service, made: dict[str, object]) -> None:
    deadline = time.monotonic() + RECOVERY
    while service.ask("GET", "/readyz").status != 200:
        assert time.monotonic() < deadline, "the service did not find its database again"
        time.sleep(0.5)
    assert service.ask("GET", f"/v1/assessments/{made['assessment_id']}").json == made
    again = service.ask("POST", "/v1/assessments", SAMPLE, {"Idempotency-Key": "before"})
    assert again.json == made
    later = service.ask("POST", "/v1/assessments", SAMPLE, {"Idempotency-Key": "meanwhile"})
    assert later.status == 201
    assert len(service.ask("GET", "/v1/assessments").json["items"]) == 2
