"""`riskapi erase`, `riskapi retain`, `riskapi knowledge recall`: what the operator does for others."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from sqlalchemy import text

from riskapi.cli import main
from riskapi.desk import Desk, make_assessment, open_desk
from riskapi.intake import read_case
from riskapi.storage import Accounts
from tests.desk.conftest import BODY

VIN = "ZZ9V19K28APUEUAF7"


@pytest.fixture
def desk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Desk:
    """The desk of an inspector's account, in the database that the command line finds."""
    monkeypatch.setenv("RISKAPI_DATABASE_URL", f"sqlite:///{tmp_path / 'riskapi.sqlite'}")
    opened = open_desk()
    account = Accounts(opened.repository.engine).open("Yard north", "inspector", datetime.now(UTC))
    return replace(opened, repository=opened.repository.of(account))


def kept(desk: Desk) -> str:
    case = json.loads(BODY)
    case["vehicle"]["vin"] = VIN
    body = json.dumps(case).encode()
    return make_assessment(read_case(body, desk.pack), body, desk).id


def run(*words: str, given: str | None = None) -> Result:
    return CliRunner().invoke(main, words, input=given)


def test_erase_by_id_and_by_vin(desk: Desk) -> None:
    first = kept(desk)
    assert run("erase", "--vin", given=f"{VIN}\n").stdout == f"{first}: 1 identities and 0 photos erased.\n"
    assert run("erase", "--vin", given=f"{VIN}\n").stdout == "No car with this VIN is known.\n"
    second = kept(desk)
    assert second != first
    assert run("erase", second).stdout.startswith(f"{second}: 1 identities")
    assert [line.split("\t")[0] for line in run("erase", "--list").stdout.splitlines()] == [first, second]
    file = Path(str(desk.repository.engine.url.database))
    assert VIN.encode() not in file.read_bytes()


def test_retain(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    identifier = kept(desk)
    assert run("retain").stdout == "0 identities and 0 photos older than 400 days erased.\n"
    monkeypatch.setenv("RISKAPI_RETENTION_DAYS", "30")
    with desk.repository.engine.begin() as connection:
        connection.execute(text("UPDATE assessment SET created_at = '2020-01-01 00:00:00.000000'"))
    assert run("retain").stdout == "1 identities and 0 photos older than 30 days erased.\n"
    known = desk.repository.identity(identifier)
    assert known is not None
    assert known.content is None


@pytest.mark.parametrize("days", ["0", "-1", "1.5", "soon", "99999", ""])
def test_a_retention_that_is_none(desk: Desk, monkeypatch: pytest.MonkeyPatch, days: str) -> None:
    monkeypatch.setenv("RISKAPI_RETENTION_DAYS", days)
    result = run("retain")
    assert result.exit_code == 1
    assert "RISKAPI_RETENTION_DAYS" in result.stderr


@pytest.mark.parametrize(
    ("words", "status"), [([], 2), (["--list", "--vin"], 2), (["0" * 32], 1), (["a", "--list"], 2)]
)
def test_what_cannot_be_erased(desk: Desk, words: list[str], status: int) -> None:
    assert run("erase", *words).exit_code == status


def test_recall_lists_what_was_made_with_the_pack_in_every_account(desk: Desk) -> None:
    identifier = kept(desk)
    told = run("knowledge", "recall", desk.pack.digest[:12], "--reason", "Hours were wrong.")
    assert told.exit_code == 0
    assert f"{identifier}  Yard north" in told.stdout
    assert "1 assessments were made with it." in told.stdout
    assert run("knowledge", "recall", "0" * 12, "--reason", "Why.").exit_code == 1
