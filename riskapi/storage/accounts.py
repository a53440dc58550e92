"""Who may use the service: accounts, and the keys that they show.

A key is shown once, when it is made; kept is its SHA-256 digest. It carries 256 random bits, so nobody gets from the
digest to the key by guessing. Its prefix is for recognition only. Every record belongs to an account.
"""

from __future__ import annotations

import hashlib
import hmac
import re
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import Engine, select, update
from sqlalchemy.orm import Session

from riskapi.domain.choices import ROLES
from riskapi.errors import Fault, InputError, NotFound
from riskapi.storage.database import writing
from riskapi.storage.models import AccountRow, KeyRow, new_id

LOCAL = "local"  # the account of a single-user installation; its role is every role
LONGEST_NAME = 200
_SHAPE = re.compile(r"riskapi_(?:trial_)?(?P<prefix>[0-9a-f]{8})_[A-Za-z0-9_-]{43}")
_GRACE = timedelta(days=7)  # a rotated key works on for so long


@dataclass(frozen=True, slots=True)
class Account:
    """Whose records they are, and what they may do: one of ROLES, or LOCAL. A `trial` account is for trying things out:
    what it makes is never shown to the public."""

    id: str
    name: str
    role: str
    trial: bool = False


@dataclass(frozen=True, slots=True)
class KeyInfo:
    """What is known about a key, the key itself left out."""

    prefix: str
    account: Account
    created_at: datetime
    expires_at: datetime | None
    revoked_at: datetime | None


class Accounts:
    """Accounts and keys behind one engine. Every method is one transaction."""

    def __init__(self, engine: Engine) -> None:
        self.engine = engine

    def open(self, name: str, role: str, now: datetime, trial: bool = False) -> Account:
        """A new account. Raises InputError."""
        faults = []
        if not name.strip() or len(name) > LONGEST_NAME or not name.isprintable():
            faults.append(Fault("name", "This is no name.", f"Give 1 to {LONGEST_NAME} printable characters."))
        if role not in ROLES:
            faults.append(Fault("role", f"There is no role {role!r}.", f"Choose one of {', '.join(ROLES)}."))
        if faults:
            raise InputError(faults)
        account = Account(new_id(), name.strip(), role, trial)
        with writing(self.engine) as session:
            session.add(AccountRow(id=account.id, name=account.name, role=role, created_at=now, trial=trial))
        return account

    def make_key(self, account_id: str, now: datetime, valid: timedelta | None = None) -> str:
        """A new key of this account, for this long (None: until it is revoked). Raises NotFound."""
        with writing(self.engine) as session:
            return _new_key(session, account_id, now, valid)

    def account_of(self, key: str, now: datetime) -> Account | None:
        """Whose key this is; None when it is unknown, revoked or has expired."""
        shape = _SHAPE.fullmatch(key)
        if shape is None:
            return None
        wanted = select(KeyRow, AccountRow).join(AccountRow).where(KeyRow.prefix == shape["prefix"])
        with Session(self.engine) as session:
            for row, account in session.execute(wanted):
                if hmac.compare_digest(row.digest, _digest(key)) and _works(row, now):
                    return _account(account)
        return None

    def holder(self, prefix: str, now: datetime) -> Account | None:
        """Whose key has this prefix; None when it is unknown, revoked or has expired."""
        with Session(self.engine) as session:
            row = session.get(KeyRow, prefix)
            account = None if row is None or not _works(row, now) else session.get(AccountRow, row.account_id)
            return None if account is None else _account(account)

    def all_keys(self) -> list[KeyInfo]:
        """Every key, oldest first."""
        wanted = select(KeyRow, AccountRow).join(AccountRow).order_by(KeyRow.created_at, KeyRow.prefix)
        with Session(self.engine) as session:
            return [
                KeyInfo(key.prefix, _account(a), key.created_at, key.expires_at, key.revoked_at)
                for key, a in session.execute(wanted)
            ]

    def revoke(self, prefix: str, now: datetime) -> None:
        """From now on this key opens nothing; revoking it again changes nothing. Raises NotFound."""
        with writing(self.engine) as session:
            _only(session, prefix)
            mine = update(KeyRow).where(KeyRow.prefix == prefix, KeyRow.revoked_at.is_(None))
            session.execute(mine.values(revoked_at=now))

    def rotate(self, prefix: str, now: datetime, grace: timedelta = _GRACE) -> str:
        """A new key in place of this one, as long valid; the old one works on for the grace. Raises NotFound, and
        InputError when the old one is revoked or has expired."""
        with writing(self.engine) as session:
            old = _only(session, prefix)
            if not _works(old, now):
                mend = "Make a new one with 'riskapi keys create'."
                raise InputError([Fault(prefix, "This key is revoked or has expired.", mend)])
            valid = None if old.expires_at is None else old.expires_at - old.created_at
            key = _new_key(session, old.account_id, now, valid)
            old.expires_at = now + grace if old.expires_at is None else min(old.expires_at, now + grace)
            return key


def prefix_of(key: str) -> str:
    """The part of a key that it is recognised by; '' where it has no shape of a key."""
    shape = _SHAPE.fullmatch(key)
    return "" if shape is None else shape["prefix"]


def _new_key(session: Session, account_id: str, now: datetime, valid: timedelta | None) -> str:
    account = session.get(AccountRow, account_id)
    if account is None:
        raise NotFound("account", account_id)
    prefix = secrets.token_hex(4)
    while session.get(KeyRow, prefix) is not None:
        prefix = secrets.token_hex(4)
    key = f"riskapi_{'trial_' if account.trial else ''}{prefix}_{secrets.token_urlsafe(32)}"
    expires_at = None if valid is None else now + valid
    session.add(
        KeyRow(prefix=prefix, digest=_digest(key), account_id=account_id, created_at=now, expires_at=expires_at)
    )
    return key


def _account(row: AccountRow) -> Account:
    return Account(row.id, row.name, row.role, row.trial)


def _only(session: Session, prefix: str) -> KeyRow:
    row = session.get(KeyRow, prefix)
    if row is None:
        raise NotFound("key", prefix)
    return row


def _works(row: KeyRow, now: datetime) -> bool:
    return row.revoked_at is None and (row.expires_at is None or now < row.expires_at)


def _digest(key: str) -> str:
    return hashlib.sha256(key.encode()).hexdigest()
