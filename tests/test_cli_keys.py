"""`riskapi keys`: made once, listed by prefix, withdrawn."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from riskapi.cli import main
from riskapi.storage import Accounts, open_database


@pytest.fixture(autouse=True)
def database(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    url = f"sqlite:///{tmp_path / 'riskapi.sqlite'}"
    monkeypatch.setenv("RISKAPI_DATABASE_URL", url)
    return url


def run(*words: str) -> Result:
    return CliRunner().invoke(main, ["keys", *words])


def who(url: str, key: str) -> str | None:
    engine = open_database(url)
    account = Accounts(engine).account_of(key, datetime.now(UTC))
    engine.dispose()
    return account and account.role


def test_a_key_is_printed_alone_and_works(database: str) -> None:
    made = run("create", "--role", "inspector", "--name", "Yard north", "--days", "30")
    assert made.exit_code == 0
    key = made.stdout.strip()
    assert who(database, key) == "inspector"
    listed = run("list").stdout
    assert key.split("_")[1] in listed
    assert "Yard north" in listed
    assert key not in listed


def test_a_revoked_key_opens_nothing(database: str) -> None:
    key = run("create", "--role", "buyer", "--name", "B").stdout.strip()
    assert run("revoke", key.split("_")[1]).exit_code == 0
    assert who(database, key) is None
    assert "revoked" in run("list").stdout


def test_a_rotated_key_has_the_same_account(database: str) -> None:
    old = run("create", "--role", "dealer", "--name", "D").stdout.strip()
    new = run("rotate", old.split("_")[1]).stdout.strip()
    assert new != old
    assert who(database, new) == who(database, old) == "dealer"


@pytest.mark.parametrize("words", [["revoke", "00000000"], ["create", "--role", "buyer", "--name", " "]])
def test_faults_end_with_status_1_and_say_what(words: list[str]) -> None:
    result = run(*words)
    assert result.exit_code == 1
    assert result.stdout == ""
    assert result.stderr


def test_an_unknown_role_is_wrong_usage() -> None:
    assert run("create", "--role", "owner", "--name", "O").exit_code == 2


def test_a_key_for_trials_says_so_and_opens_an_account_for_trials(database: str) -> None:
    key = run("create", "--role", "dealer", "--name", "Yard north", "--trial").stdout.strip()
    assert key.startswith("riskapi_trial_")
    assert "Yard north (trial)" in run("list").stdout
    engine = open_database(database)
    account = Accounts(engine).account_of(key, datetime.now(UTC))
    engine.dispose()
    assert account is not None
    assert account.trial
