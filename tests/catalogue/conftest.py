"""The good pack, and a way to break it in one place."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from riskapi.catalogue.load import load_pack
from riskapi.domain.knowledge import Pack
from riskapi.errors import Fault, KnowledgeError

GOOD = Path(__file__).parent / "packs" / "good"
Patch = tuple[str, str, str]
"""(file, text that stands there once, text to put in its place)."""


@pytest.fixture(scope="session")
def good() -> Pack:
    return load_pack(GOOD)


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """A copy of the good pack that a test may change."""
    return Path(shutil.copytree(GOOD, tmp_path / "pack"))


@pytest.fixture
def faults_of(copy: Path) -> Callable[..., list[Fault]]:
    """Applies patches to a copy of the good pack and returns the faults found; [] when it still loads."""

    def load(*patches: Patch) -> list[Fault]:
        for file, old, new in patches:
            before = (copy / file).read_text("utf-8")
            assert before.count(old) == 1, f"{old!r} stands {before.count(old)} times in {file}"
            (copy / file).write_text(before.replace(old, new), "utf-8")
        return faults_in(copy)

    return load


def faults_in(directory: Path) -> list[Fault]:
    try:
        load_pack(directory)
    except KnowledgeError as error:
        return list(error.faults)
    return []
