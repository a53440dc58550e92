"""A client made from the published document by openapi-python-client (MIT) does the whole job: assess, add findings,
read, print, publish, check the seal."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.service.running import HOST, ROOT, Service

HERE = Path(__file__).parent


@pytest.fixture
def service(tmp_path: Path, sqlite_url: str) -> Iterator[Service]:
    running = Service(tmp_path, sqlite_url, access="keys", RISKAPI_PUBLIC_URL="https://yard.example").start()
    yield running
    assert running.stop() == 0


@pytest.mark.slow
def test_a_made_client_does_the_whole_job(service: Service, tmp_path: Path) -> None:
    (tmp_path / "openapi.json").write_bytes(service.ask("GET", "/v1/openapi.json").body)
    generator = [sys.executable, "-m", "openapi_python_client", "generate", "--path", "openapi.json", "--meta", "none"]
    generator += ["--config", str(HERE / "generated_client.yml"), "--output-path", "made_client", "--fail-on-warning"]
    made = subprocess.run(generator, cwd=tmp_path, check=False, capture_output=True, text=True)
    assert made.returncode == 0, made.stdout + made.stderr
    case = ROOT / "sample_requests" / "noisy_early.json"
    flow = [sys.executable, str(HERE / "generated_client_flow.py"), f"http://{HOST}:{service.port}"]
    done = subprocess.run(
        [*flow, service.key("inspector"), str(case)],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(tmp_path)},
        check=False,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    told = json.loads(done.stdout)
    assert told["verdict"]["status"] == "unchanged"
    assert told["changed"]["status"] != "unchanged"
    assert told["published"]["assessment_id"]
