"""What all tests share: the shipped knowledge pack and the sample cases."""

from __future__ import annotations

from pathlib import Path

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
