"""What all tests share: the shipped knowledge pack and the sample cases."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import hypothesis
import pytest

from riskapi.catalogue.load import load_pack
from riskapi.domain.knowledge import Pack

ROOT = Path(__file__).resolve().parents[1]
SAMPLES = sorted((ROOT / "sample_requests").glob("*.json"))

hypothesis.settings.register_profile("steady", derandomize=True, deadline=None)
hypothesis.settings.load_profile("steady")


@pytest.fixture(scope="session", autouse=True)
def _own_data_folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """What programs keep for a user goes into a folder of the tests."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_DATA_HOME", str(tmp_path_factory.mktemp("data_home")))
        yield


@pytest.fixture(scope="session")
def shipped() -> Pack:
    """The knowledge pack of the repository."""
    return load_pack(ROOT / "knowledge")
