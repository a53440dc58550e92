"""Names of engines, read without the pack."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from riskapi.catalogue.folder import SETTING, engine_names
from riskapi.domain.knowledge import Pack
from tests.conftest import ROOT


def test_they_are_those_of_the_pack_in_its_order(shipped: Pack) -> None:
    found = engine_names(ROOT / "knowledge")
    assert list(found.items()) == [(each.id, tuple(r.id for r in each.revisions)) for each in shipped.families]


def test_the_pack_in_use_is_the_default(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    (tmp_path / "engines").mkdir()
    shutil.copy(ROOT / "knowledge" / "engines" / "lapwing.yaml", tmp_path / "engines")
    monkeypatch.setenv(SETTING, str(tmp_path))
    assert list(engine_names()) == ["lapwing"]


@pytest.mark.parametrize(
    "text", ["family: [", "[]", "", "family: {a: b}", "\x00", "&a family: *b", "generations: {g: {revisions: {r: {}}}}"]
)
def test_what_cannot_be_read_is_left_out(text: str, tmp_path: Path) -> None:
    (tmp_path / "engines").mkdir()
    (tmp_path / "engines" / "broken.yaml").write_text(text)
    (tmp_path / "engines" / "whole.yaml").write_text("family: whole\ngenerations: {g: {revisions: {whole_1: {}}}}\n")
    (tmp_path / "engines" / "short.yaml").write_text("family: short\ngenerations: {g: 5}\n")
    assert engine_names(tmp_path) == {"short": (), "whole": ("whole_1",)}
    assert engine_names(tmp_path / "nowhere") == {}
