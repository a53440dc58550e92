"""A desk on a database of each kind, with the shipped knowledge pack; and one with a pack that has moved on."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from sqlalchemy import Engine

from riskapi.catalogue.load import load_pack, pack_files
from riskapi.desk import Desk
from riskapi.domain.knowledge import Pack
from riskapi.storage import Knowledge, Repository, pack_zip
from tests.conftest import ROOT
from tests.storage.conftest import engine
from tests.storage.databases import postgresql_url, sqlite_url

__all__ = ["engine", "postgresql_url", "sqlite_url"]


def _body() -> bytes:
    """A sample case that leaves the labour rate to the pack."""
    case = json.loads((ROOT / "sample_requests" / "noisy_early.json").read_bytes())
    del case["market"]["labour_rate"]
    return json.dumps(case).encode()


BODY = _body()


@pytest.fixture(scope="session")
def newer_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The shipped pack as a later one might be: dearer labour."""
    folder = tmp_path_factory.mktemp("newer") / "knowledge"
    shutil.copytree(ROOT / "knowledge", folder)
    text = (folder / "pack.yaml").read_text(encoding="utf-8")
    changed = text.replace("labour_rate: 95 EUR/h", "labour_rate: 125 EUR/h")
    assert changed != text
    (folder / "pack.yaml").write_text(changed, encoding="utf-8")
    return folder


@pytest.fixture(scope="session")
def newer(newer_folder: Path) -> tuple[Pack, Knowledge]:
    return read(newer_folder)


@pytest.fixture(scope="session")
def current() -> tuple[Pack, Knowledge]:
    return read(ROOT / "knowledge")


def read(folder: Path) -> tuple[Pack, Knowledge]:
    pack = load_pack(folder)
    return pack, Knowledge(pack.digest, pack.version, pack_zip(pack_files(folder)))


@pytest.fixture
def desk(engine: Engine, current: tuple[Pack, Knowledge]) -> Desk:
    return Desk(*current, Repository(engine))


@pytest.fixture
def newer_desk(engine: Engine, newer: tuple[Pack, Knowledge]) -> Desk:
    """Another server on the same database, where the pack on disk has moved on."""
    return Desk(*newer, Repository(engine))
