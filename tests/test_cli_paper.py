"""Printing on the command line: editions, letterhead, pictures, and the sheets that are filled in by hand."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from PIL import Image
from pypdf import PdfReader

from tests.conftest import ROOT
from tests.test_cli import run

CASE = ROOT / "sample_requests" / "noisy_early.json"


def words(path: Path) -> str:
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in PdfReader(path).pages))


@pytest.fixture
def pictured(tmp_path: Path) -> Path:
    """The case with a picture on one finding."""
    case = json.loads(CASE.read_text(encoding="utf-8"))
    next(f for f in case["findings"] if f["check"] == "look_front_cover")["photos"] = ["cover"]
    path = tmp_path / "case.json"
    path.write_text(json.dumps(case), encoding="utf-8")
    return path


def test_an_inspector_prints_without_price_on_his_own_paper_with_pictures(tmp_path: Path, pictured: Path) -> None:
    Image.new("RGB", (900, 600), "teal").save(tmp_path / "cover.jpg")
    Image.new("RGB", (200, 80), "navy").save(tmp_path / "logo.png")
    head = tmp_path / "head.json"
    head.write_text('{"name": "Engines looked at", "lines": ["7 Quay Lane"], "logo": "logo.png"}', encoding="utf-8")
    pdf = tmp_path / "report.pdf"
    paper = ("--edition", "inspector", "--without-price", "--letterhead", str(head), "--photos", str(tmp_path))
    done = run("assess", str(pictured), "--pdf", str(pdf), *paper)
    assert done.exit_code == 0, done.output
    assert words(pdf).startswith("Engines looked at 7 Quay Lane")
    assert "Pay at most" not in words(pdf)
    assert [len(page.images) for page in PdfReader(pdf).pages][:2] != [0, 0]
    assert sum(len(page.images) for page in PdfReader(pdf).pages) == 2


def test_pictures_that_are_not_there_are_named(tmp_path: Path, pictured: Path) -> None:
    done = run("assess", str(pictured), "--pdf", str(tmp_path / "r.pdf"), "--photos", str(tmp_path))
    assert done.exit_code == 1
    assert "There is no picture cover." in done.stderr
    (tmp_path / "cover.png").write_bytes(b"no picture")
    done = run("assess", str(pictured), "--pdf", str(tmp_path / "r.pdf"), "--photos", str(tmp_path))
    assert done.exit_code == 1
    assert not (tmp_path / "r.pdf").exists()


def test_a_letterhead_at_fault_is_told(tmp_path: Path) -> None:
    head = tmp_path / "head.json"
    head.write_text('{"nam": "x"}', encoding="utf-8")
    done = run("assess", str(CASE), "--pdf", str(tmp_path / "r.pdf"), "--letterhead", str(head))
    assert done.exit_code == 1
    assert "'nam' is not known here" in done.stderr.replace('"', "'")


def test_the_sheets_for_hand_and_telephone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    case = str(ROOT / "sample_requests" / "before_the_visit.json")
    monkeypatch.delenv("RISKAPI_PUBLIC_URL", raising=False)
    board, call = tmp_path / "board.pdf", tmp_path / "call.pdf"
    assert run("checklist", case, "--clipboard", str(board), "--call-sheet", str(call)).exit_code == 0
    assert "no code for a phone" in words(board)
    assert "Please leave the engine cold" in words(call)
    assert run("checklist", case, "--clipboard", str(board), "--link", "https://cars.example/x").exit_code == 0
    assert "https://cars.example/x" in words(board)
    monkeypatch.setenv("RISKAPI_PUBLIC_URL", "https://cars.example")
    assert run("checklist", case, "--clipboard", str(board)).exit_code == 0
    assert "https://cars.example/visit?family=lapwing" in words(board).replace(" ", "")
    twice = run("checklist", case, "--clipboard", str(board), "--call-sheet", str(board))
    assert twice.exit_code == 2
    assert "--call-sheet names a file that another option names too." in twice.output
