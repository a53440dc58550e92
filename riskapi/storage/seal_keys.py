"""Keys that seal documents (Ed25519): made on first use, one in use at a time, public halves kept for good.

The private half is in the database, so that all workers of a service seal with the same key, and gone once its key is
retired. An SQLite file is readable for its owner only.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from datetime import datetime

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from sqlalchemy import Engine, select
from sqlalchemy.orm import Session

from riskapi.storage.database import writing
from riskapi.storage.models import SealKeyRow

ID_DIGITS = 16
_LOCK = 1919251308  # of PostgreSQL: two workers that need a first key take turns


@dataclass(frozen=True, slots=True)
class SealKey:
    """The public half (32 bytes) of a key and when it was in use; `id` begins the SHA-256 of the public half."""

    id: str
    public_key: bytes
    created_at: datetime
    retired_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class SealingKey:
    """The key in use with its private half (32 bytes)."""

    key: SealKey
    private_key: bytes = field(repr=False)


class SealKeys:
    """The keys behind one database. Every method is one transaction."""

    def __init__(self, engine: Engine) -> None:
        self.engine = engine

    def in_use(self, now: datetime) -> SealingKey:
        """The key in use; the first time one is made."""
        with Session(self.engine) as session:
            row = _in_use(session)
            if row is not None:
                return _sealing(row)
        with writing(self.engine) as session:
            _take_turns(session)
            row = _in_use(session) or _make(session, now)
            return _sealing(row)

    def rotate(self, now: datetime) -> SealKey:
        """A new key from now on; that of before loses its private half, and its seals still check."""
        with writing(self.engine) as session:
            _take_turns(session)
            old = _in_use(session)
            if old is not None:
                old.private_key, old.retired_at = None, now
                session.flush()
            return _info(_make(session, now))

    def all_keys(self) -> list[SealKey]:
        """All there ever were, the newest first."""
        newest = select(SealKeyRow).order_by(SealKeyRow.created_at.desc(), SealKeyRow.id)
        with Session(self.engine) as session:
            return [_info(row) for row in session.scalars(newest)]


def _in_use(session: Session) -> SealKeyRow | None:
    return session.scalar(select(SealKeyRow).where(SealKeyRow.retired_at.is_(None)))


def _make(session: Session, now: datetime) -> SealKeyRow:
    private = Ed25519PrivateKey.generate()
    public = private.public_key().public_bytes_raw()
    row = SealKeyRow(
        id=hashlib.sha256(public).hexdigest()[:ID_DIGITS],
        public_key=public,
        private_key=private.private_bytes_raw(),
        created_at=now,
        retired_at=None,
    )
    session.add(row)
    session.flush()
    return row


def _take_turns(session: Session) -> None:
    """SQLite has the write lock by now (BEGIN IMMEDIATE)."""
    if session.get_bind().dialect.name == "postgresql":
        session.connection().exec_driver_sql(f"SELECT pg_advisory_xact_lock({_LOCK})")


def _info(row: SealKeyRow) -> SealKey:
    return SealKey(row.id, bytes(row.public_key), row.created_at, row.retired_at)


def _sealing(row: SealKeyRow) -> SealingKey:
    if row.private_key is None:
        raise RuntimeError(f"the seal key {row.id} in use has lost its private half")
    return SealingKey(_info(row), bytes(row.private_key))
