"""The published OpenAPI document against the running service, by schemathesis (MIT), which makes requests of its own:
examples, borders of every parameter, random ones, and chains of requests; all of its checks.

RISKAPI_LONG=1 makes ten times as many.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.service.running import HOST, ROOT, Service

LEAST = 1_000  # cases
EXAMPLES = 40 if os.environ.get("RISKAPI_LONG") else 2


SETTINGS = {"RISKAPI_PUBLIC_URL": "https://yard.example", "RISKAPI_RATE_ACCOUNT": "1000000 per minute"}


@pytest.fixture
def service(tmp_path: Path, sqlite_url: str) -> Iterator[Service]:
    running = Service(tmp_path, sqlite_url, access="keys", **SETTINGS).start()
    yield running
    assert running.stop() == 0


@pytest.mark.slow
def test_no_answer_is_undocumented_and_none_is_a_failure(service: Service, tmp_path: Path) -> None:
    command = [
        sys.executable,
        "-m",
        "schemathesis.cli",
        "--config-file",
        str(Path(__file__).parent / "schemathesis.toml"),
    ]
    command += ["run", f"http://{HOST}:{service.port}/v1/openapi.json", "--max-examples", str(EXAMPLES), "--no-color"]
    command += ["--workers", "2", "--request-timeout", "120", "--continue-on-failure"]
    command += ["-H", f"Authorization: Bearer {service.key('dealer')}"]
    environment = {**os.environ, "SCHEMATHESIS_HOOKS": "tests.service.schema_hooks", "PYTHONPATH": str(ROOT)}
    done = subprocess.run(
        command, check=False, cwd=tmp_path, env=environment, capture_output=True, text=True, timeout=900
    )
    told = done.stdout + done.stderr
    assert done.returncode == 0, told
    generated = re.search(r"([\d,]+) generated", told)
    assert generated is not None, told
    assert int(generated[1].replace(",", "")) >= LEAST
    assert "Traceback" not in service.log.read_text()
