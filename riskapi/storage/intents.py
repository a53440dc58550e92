"""A write that may be sent twice, and what it made the first time.

Every kind of write uses the same table, so a key means one write of its account, whatever it makes.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass

from sqlalchemy.orm import Session

from riskapi.errors import KeyReused
from riskapi.storage.models import WrittenRow


@dataclass(frozen=True, slots=True)
class Intent:
    """The caller's key for a write, and the SHA-256 of what is asked for."""

    key: str
    body_digest: str

    @classmethod
    def to(cls, key: str | None, content: bytes, target: str = "") -> Intent | None:
        """The intent of a request with this content (in canonical form) to this path; None without a key."""
        asked = target.encode() + b"\n" + content if target else content
        return None if key is None else cls(key, hashlib.sha256(asked).hexdigest())


def made_by(session: Session, account_id: str, intent: Intent | None) -> str | None:
    """Id of what this intent has made already. Raises KeyReused when its key was used for something else."""
    row = None if intent is None else session.get(WrittenRow, (account_id, intent.key))
    if row is None:
        return None
    if intent is not None and row.body_digest != intent.body_digest:
        raise KeyReused(intent.key)
    return row.made_id


def remember(session: Session, account_id: str, intent: Intent | None, made_id: str) -> None:
    """Enter what an intent makes, in the transaction that makes it. Two at once meet at the key: the later transaction
    fails whole with IntegrityError and then finds what the earlier one made."""
    if intent is not None:
        session.add(WrittenRow(account_id=account_id, key=intent.key, body_digest=intent.body_digest, made_id=made_id))
