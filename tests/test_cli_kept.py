"""`riskapi reprint` and `riskapi rescore`: what is kept, printed and looked at again by the operator."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from riskapi.cli import main
from riskapi.desk import Desk, make_assessment, open_desk
from riskapi.intake import read_case
from riskapi.storage import Accounts
from tests.desk.conftest import BODY, newer_folder

__all__ = ["newer_folder"]


@pytest.fixture
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """An assessment of an inspector's account, in the database that the command line finds."""
    monkeypatch.setenv("RISKAPI_DATABASE_URL", f"sqlite:///{tmp_path / 'riskapi.sqlite'}")
    desk = open_desk()
    account = Accounts(desk.repository.engine).open("Yard north", "inspector", datetime.now(UTC))
    mine = Desk(desk.pack, desk.knowledge, desk.repository.of(account))
    return make_assessment(read_case(BODY, desk.pack), BODY, mine).id


def run(*words: str) -> Result:
    return CliRunner().invoke(main, words)


def test_reprint_writes_the_same_bytes_each_time(kept: str, tmp_path: Path, newer_folder: Path) -> None:
    one, other = tmp_path / "one.pdf", tmp_path / "other.pdf"
    assert run("reprint", "--all").stdout == "1 assessments are printed and kept; 0 are not.\n"
    assert run("reprint", kept, "--pdf", str(one)).exit_code == 0
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("RISKAPI_KNOWLEDGE", str(newer_folder))
        assert run("reprint", kept, "--pdf", str(other), "--audit", str(tmp_path / "a.zip")).exit_code == 0
    assert one.read_bytes() == other.read_bytes()
    assert one.read_bytes().startswith(b"%PDF-")


def test_rescore_shows_both_sides(kept: str, newer_folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert run("rescore", kept).exit_code == 1
    monkeypatch.setenv("RISKAPI_KNOWLEDGE", str(newer_folder))
    told = json.loads(run("rescore", kept, "--json").stdout)
    assert told["before"]["assessment_id"] == kept
    assert told["before"]["unplanned"]["mean"] < told["after"]["unplanned"]["mean"]
    again = run("rescore", told["after"]["assessment_id"])
    assert again.exit_code == 1
    assert "in use" in again.stderr


@pytest.mark.parametrize(
    ("words", "status"),
    [
        (["reprint"], 2),
        (["reprint", "0" * 32], 2),
        (["reprint", "--all", "--pdf", "x.pdf"], 2),
        (["reprint", "0" * 32, "--pdf", "x.pdf"], 1),
        (["rescore", "0" * 32], 1),
    ],
)
def test_what_cannot_be_done(kept: str, words: list[str], status: int) -> None:
    assert run(*words).exit_code == status
