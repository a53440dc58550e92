"""Whatever fault a test of this room meets can be told in German."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.german import faults_in_german
from tests.intake.cases import PACK


@pytest.fixture(autouse=True)
def _every_fault_is_told_in_german(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    yield from faults_in_german(monkeypatch, PACK)
