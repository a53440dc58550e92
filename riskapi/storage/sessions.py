"""Browsers that showed a key: each gets a token of its own, kept as a digest, that opens what the key opens.

A session ends when it is closed, when its time is over, or with its key.
"""

from __future__ import annotations

import hashlib
import secrets
from datetime import datetime, timedelta

from sqlalchemy import Engine, delete
from sqlalchemy.orm import Session

from riskapi.storage.accounts import Account, Accounts, prefix_of
from riskapi.storage.models import SessionRow

SESSION_LASTS = timedelta(days=30)


class Sessions:
    """Sessions behind one engine. Every method is one transaction."""

    def __init__(self, engine: Engine) -> None:
        self.engine, self.accounts = engine, Accounts(engine)

    def open(self, key: str, now: datetime) -> str | None:
        """The token of a new session; None when the key opens nothing. Sessions whose time is over are forgotten."""
        if self.accounts.account_of(key, now) is None:
            return None
        token = secrets.token_urlsafe(32)
        row = SessionRow(
            digest=_digest(token), key_prefix=prefix_of(key), created_at=now, expires_at=now + SESSION_LASTS
        )
        with Session(self.engine) as session, session.begin():
            session.execute(delete(SessionRow).where(SessionRow.expires_at <= now))
            session.add(row)
        return token

    def account_of(self, token: str, now: datetime) -> Account | None:
        """Whose session this is; None when it or its key is over."""
        with Session(self.engine) as session:
            row = session.get(SessionRow, _digest(token))
            prefix = None if row is None or row.expires_at <= now else row.key_prefix
        return None if prefix is None else self.accounts.holder(prefix, now)

    def close(self, token: str) -> None:
        """From now on the token opens nothing."""
        with Session(self.engine) as session, session.begin():
            session.execute(delete(SessionRow).where(SessionRow.digest == _digest(token)))


def _digest(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()
