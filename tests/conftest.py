"""What all tests share: the shipped knowledge pack, the sample cases, and what to do when a component is missing."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import NoReturn

import hypothesis
import pytest

from riskapi.catalogue.load import load_pack
from riskapi.domain.knowledge import Pack

ROOT = Path(__file__).resolve().parents[1]
SAMPLES = sorted((ROOT / "sample_requests").glob("*.json"))

hypothesis.settings.register_profile("steady", derandomize=True, deadline=None)
hypothesis.settings.load_profile("steady")


@pytest.fixture(scope="session")
def shipped() -> Pack:
    """The knowledge pack of the repository."""
    return load_pack(ROOT / "knowledge")


@pytest.fixture
def without() -> Callable[[str], NoReturn]:
    """`without("PostgreSQL")`: the test cannot run. Locally it is skipped; in CI a missing component is a failure."""

    def stop(component: str) -> NoReturn:
        if os.environ.get("CI"):
            pytest.fail(f"{component} is missing")
        pytest.skip(f"{component} is missing")

    return stop
