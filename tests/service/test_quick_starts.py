"""The quick starts of the documentation run as they are shown, against a real service with keys."""

from __future__ import annotations

import io
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image

from riskapi.web.documents import quick_start
from tests.service.running import HOST, ROOT, Service


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Service]:
    folder = tmp_path_factory.mktemp("quick_starts")
    public = "https://yard.example"
    running = Service(
        folder, f"sqlite:///{folder / 'riskapi.sqlite'}", access="keys", RISKAPI_PUBLIC_URL=public
    ).start()
    yield running
    assert running.stop() == 0


@pytest.fixture
def visit(tmp_path: Path) -> Path:
    """A folder as the quick starts want it."""
    shutil.copy(ROOT / "sample_requests" / "noisy_early.json", tmp_path / "case.json")
    picture = io.BytesIO()
    Image.new("RGB", (60, 40), "grey").save(picture, "JPEG")
    (tmp_path / "photo.jpg").write_bytes(picture.getvalue())
    return tmp_path


def run(name: str, service: Service, folder: Path, role: str) -> str:
    (folder / name).write_text(quick_start(name))
    program = ["bash"] if name.endswith(".sh") else [sys.executable]
    environment = {**os.environ, "RISKAPI_URL": f"http://{HOST}:{service.port}", "RISKAPI_KEY": service.key(role)}
    done = subprocess.run(
        [*program, name], cwd=folder, env=environment, check=False, capture_output=True, text=True, timeout=300
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def test_an_inspection_from_the_command_line(service: Service, visit: Path) -> None:
    run("inspector.sh", service, visit, "inspector")
    made = json.loads((visit / "assessment.json").read_text())
    assert made["risk"]["score"] > 0
    assert (visit / "report.pdf").read_bytes().startswith(b"%PDF-")
    assert (visit / "audit.zip").read_bytes().startswith(b"PK")
    assert json.loads((visit / "checklist.json").read_text())
    assert "assessment_id" in (visit / "version_2.json").read_text()


def test_an_inspection_from_python(service: Service, visit: Path) -> None:
    told = run("inspector.py", service, visit, "inspector")
    assert told.startswith("Of 100 cars like this about ")
    assert (visit / "report.pdf").read_bytes().startswith(b"%PDF-")


def test_a_car_on_offer(service: Service, visit: Path) -> None:
    run("dealer.sh", service, visit, "dealer")
    shown, gone = (json.loads((visit / name).read_text()) for name in ("publication.json", "withdrawn.json"))
    assert shown["publication_id"] == gone["publication_id"]
    assert "The car is sold." in json.dumps(gone)


def test_software_that_was_offline_catches_up_once(service: Service, visit: Path) -> None:
    waiting = visit / "waiting"
    waiting.mkdir()
    case = json.loads((visit / "case.json").read_text())
    (waiting / "a.json").write_text(json.dumps(case))
    (waiting / "b.json").write_text(json.dumps({**case, "as_of": "soon"}))
    assert run("catch_up.py", service, visit, "inspector") == "1 made, 1 with problems\n"
    assert [path.name for path in sorted(waiting.iterdir())] == ["b.json"]
    assert json.loads((visit / "done" / "a.json").read_text())["risk"]
    assert json.loads((visit / "done" / "b.json").read_text())["status"] == 422
