"""The house stands as DEVELOPERS.md draws it."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from riskapi.catalogue.load import load_pack
from tests.conftest import ROOT

TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "riskapi", "tests", "knowledge", "sample_requests"}
MADE_BY_TOOLS = {"dist", "build", "riskapi_demo.pdf"}
MOST_LINES = 400

# field lists without logic, which splitting would only scatter

MODULES = sorted((ROOT / "riskapi").rglob("*.py"))


def test_nothing_else_lies_at_the_top() -> None:
    assert {name for name in kept_files() if not name.startswith(".")} == TOP_LEVEL


def kept_files() -> set[str]:
    """Top-level names of the files under version control; of all files where there is no version control."""
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False).stdout
    return {name.split("/")[0] for name in listed.split()} or {item.name for item in ROOT.iterdir()} - MADE_BY_TOOLS


def test_the_rooms_use_only_what_they_may() -> None:
    command = [str(Path(sys.executable).parent / "lint-imports"), "--no-cache"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "0 broken" in done.stdout


@pytest.mark.parametrize("module", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_no_module_is_too_long(module: Path) -> None:
    assert len(module.read_text(encoding="utf-8").splitlines()) <= MOST_LINES


def test_every_module_with_code_says_what_it_is() -> None:
    texts = {path: path.read_text(encoding="utf-8").strip() for path in MODULES}
    silent = [str(path.relative_to(ROOT)) for path, text in texts.items() if text and not text.startswith('"""')]
    assert silent == []


def test_the_knowledge_pack_is_in_order() -> None:
    pack = load_pack(ROOT / "knowledge")
    assert len(pack.weak_points) >= 16
    assert len(pack.checks) >= 26
    assert sum(len(family.revisions) for family in pack.families) >= 6


def test_weak_points_checks_and_roots_have_names_of_their_own() -> None:
    """They are the variables of one exported network."""
    pack = load_pack(ROOT / "knowledge")
    names = [*(point.id for point in pack.weak_points), *(check.id for check in pack.checks)]
    names += ["revision", "care", "tune", "history"]
    assert sorted(set(names)) == sorted(names)
