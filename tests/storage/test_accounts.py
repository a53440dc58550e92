"""Accounts and their keys: shown once, kept as a digest, expiring, revoked, rotated."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from sqlalchemy import Engine, text

from riskapi.domain.choices import ROLES
from riskapi.errors import InputError, NotFound
from riskapi.storage import LOCAL, Account, Accounts

NOW = datetime(2026, 3, 4, 5, 6, 7, tzinfo=UTC)
DAY = timedelta(days=1)


def opened(engine: Engine, role: str = "inspector") -> tuple[Accounts, Account]:
    accounts = Accounts(engine)
    return accounts, accounts.open("Yard north", role, NOW)


@pytest.mark.parametrize("role", ROLES)
def test_a_key_opens_its_account(engine: Engine, role: str) -> None:
    accounts, account = opened(engine, role)
    assert accounts.account_of(accounts.make_key(account.id, NOW), NOW) == account
    assert account.role == role


def test_only_the_digest_is_kept(engine: Engine) -> None:
    accounts, account = opened(engine)
    key = accounts.make_key(account.id, NOW)
    with engine.connect() as connection:
        kept = str(connection.execute(text("SELECT * FROM api_key")).all())
    prefix, secret = key.split("_", 2)[1:]
    assert prefix in kept
    assert secret not in kept


def test_keys_differ_and_carry_256_random_bits(engine: Engine) -> None:
    """43 characters of base 64 (RFC 4648, section 5) carry 258 bits."""
    accounts, account = opened(engine)
    keys = {accounts.make_key(account.id, NOW) for _ in range(50)}
    assert len(keys) == 50
    assert {len(key.split("_", 2)[2]) for key in keys} == {43}


@pytest.mark.parametrize(
    "change", [str.upper, lambda k: k[:-1], lambda k: k + "a", lambda k: k[:-2] + "~~", lambda _: ""]
)
def test_a_changed_key_opens_nothing(engine: Engine, change: object) -> None:
    accounts, account = opened(engine)
    key = accounts.make_key(account.id, NOW)
    assert accounts.account_of(change(key), NOW) is None  # type: ignore[operator]


def test_another_secret_under_a_known_prefix_opens_nothing(engine: Engine) -> None:
    accounts, account = opened(engine)
    one, other = (accounts.make_key(account.id, NOW) for _ in range(2))
    assert accounts.account_of(one[:17] + other[17:], NOW) is None


def test_a_key_expires(engine: Engine) -> None:
    accounts, account = opened(engine)
    key = accounts.make_key(account.id, NOW, 30 * DAY)
    assert accounts.account_of(key, NOW + 30 * DAY - timedelta(seconds=1)) == account
    assert accounts.account_of(key, NOW + 30 * DAY) is None


def test_a_revoked_key_opens_nothing_and_stays_on_the_list(engine: Engine) -> None:
    accounts, account = opened(engine)
    key = accounts.make_key(account.id, NOW)
    (info,) = accounts.all_keys()
    accounts.revoke(info.prefix, NOW + DAY)
    accounts.revoke(info.prefix, NOW + 2 * DAY)
    assert accounts.account_of(key, NOW + DAY) is None
    assert [row.revoked_at for row in accounts.all_keys()] == [NOW + DAY]


def test_a_rotated_key_works_on_for_the_grace(engine: Engine) -> None:
    accounts, account = opened(engine)
    old = accounts.make_key(account.id, NOW, 100 * DAY)
    new = accounts.rotate(accounts.all_keys()[0].prefix, NOW + DAY)
    assert accounts.account_of(old, NOW + 7 * DAY) == account
    assert accounts.account_of(old, NOW + 8 * DAY) is None
    assert accounts.account_of(new, NOW + 100 * DAY) == account
    assert accounts.account_of(new, NOW + 101 * DAY) is None


def test_rotating_never_lengthens_the_old_key(engine: Engine) -> None:
    accounts, account = opened(engine)
    old = accounts.make_key(account.id, NOW, DAY)
    accounts.rotate(accounts.all_keys()[0].prefix, NOW)
    assert accounts.account_of(old, NOW + DAY) is None


def test_what_opens_nothing_is_not_rotated(engine: Engine) -> None:
    accounts, account = opened(engine)
    accounts.make_key(account.id, NOW, DAY)
    with pytest.raises(InputError, match="revoked or has expired"):
        accounts.rotate(accounts.all_keys()[0].prefix, NOW + DAY)


def test_unknown_prefixes_and_accounts_are_named(engine: Engine) -> None:
    accounts, _ = opened(engine)
    with pytest.raises(NotFound, match="key"):
        accounts.revoke("00000000", NOW)
    with pytest.raises(NotFound, match="key"):
        accounts.rotate("00000000", NOW)
    with pytest.raises(NotFound, match="account"):
        accounts.make_key("nobody", NOW)


def test_all_faults_of_an_account_at_once(engine: Engine) -> None:
    with pytest.raises(InputError) as caught:
        Accounts(engine).open(" \n", LOCAL, NOW)
    assert [fault.place for fault in caught.value.faults] == ["name", "role"]
