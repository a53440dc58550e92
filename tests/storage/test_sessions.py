"""Sessions of browsers: they open what their key opens, as long as it does."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from sqlalchemy import Engine, select
from sqlalchemy.orm import Session

from riskapi.storage import SESSION_LASTS, Accounts, Sessions
from riskapi.storage.models import SessionRow

NOW = datetime(2026, 5, 1, 12, tzinfo=UTC)
LATER = NOW + timedelta(hours=1)


def key_of(engine: Engine, valid: timedelta | None = None) -> tuple[str, str]:
    accounts = Accounts(engine)
    account = accounts.open("Yard", "inspector", NOW)
    return accounts.make_key(account.id, NOW, valid), account.id


def test_a_session_opens_the_account_of_its_key(engine: Engine) -> None:
    key, account = key_of(engine)
    token = Sessions(engine).open(key, NOW)
    assert token is not None
    found = Sessions(engine).account_of(token, LATER)
    assert found is not None
    assert found.id == account


def test_the_token_is_kept_as_a_digest_alone(engine: Engine) -> None:
    key, _ = key_of(engine)
    token = Sessions(engine).open(key, NOW)
    with Session(engine) as session:
        digests = session.scalars(select(SessionRow.digest)).all()
    assert token not in digests
    assert key not in digests
    assert all(Sessions(engine).account_of(digest, LATER) is None for digest in digests)


def test_a_wrong_key_opens_no_session(engine: Engine) -> None:
    assert Sessions(engine).open("riskapi_00000000_" + 43 * "a", NOW) is None
    assert Sessions(engine).open("", NOW) is None


def test_a_session_ends_with_its_key(engine: Engine) -> None:
    key, _ = key_of(engine)
    token = Sessions(engine).open(key, NOW)
    assert token is not None
    Accounts(engine).revoke(key.split("_")[1], LATER)
    assert Sessions(engine).account_of(token, LATER) is None


def test_a_session_ends_with_the_time_of_its_key(engine: Engine) -> None:
    key, _ = key_of(engine, timedelta(minutes=30))
    token = Sessions(engine).open(key, NOW)
    assert token is not None
    assert Sessions(engine).account_of(token, NOW + timedelta(minutes=29)) is not None
    assert Sessions(engine).account_of(token, LATER) is None


def test_a_session_ends_when_it_is_closed_and_after_its_time(engine: Engine) -> None:
    key, _ = key_of(engine)
    sessions = Sessions(engine)
    first, second = sessions.open(key, NOW), sessions.open(key, NOW)
    assert first is not None
    assert second is not None
    sessions.close(first)
    assert sessions.account_of(first, LATER) is None
    assert sessions.account_of(second, LATER) is not None
    assert sessions.account_of(second, NOW + SESSION_LASTS) is None
    sessions.open(key, NOW + SESSION_LASTS)
    with Session(engine) as session:
        assert len(session.scalars(select(SessionRow)).all()) == 1  # those that are over are forgotten
