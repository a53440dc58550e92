"""Tables of who may use the service."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import Boolean, ForeignKey, LargeBinary, String, Text, false
from sqlalchemy.orm import Mapped, mapped_column

from riskapi.storage.models_base import DIGEST_LENGTH, ID_LENGTH, Base, UtcTime


class AccountRow(Base):
    """`role` is what the account may do. What a `trial` account makes is never shown to the public."""

    __tablename__ = "account"

    id: Mapped[str] = mapped_column(String(ID_LENGTH), primary_key=True)
    name: Mapped[str] = mapped_column(Text)
    role: Mapped[str] = mapped_column(String(20))
    created_at: Mapped[datetime] = mapped_column(UtcTime)
    trial: Mapped[bool] = mapped_column(Boolean, default=False, server_default=false())


class SettingRow(Base):
    """What an installation made up for itself, once."""

    __tablename__ = "setting"

    name: Mapped[str] = mapped_column(String(50), primary_key=True)
    value: Mapped[bytes] = mapped_column(LargeBinary)


class KeyRow(Base):
    """A key of an account, by its prefix; `digest` is the SHA-256 of the whole key."""

    __tablename__ = "api_key"

    prefix: Mapped[str] = mapped_column(String(8), primary_key=True)
    digest: Mapped[str] = mapped_column(String(DIGEST_LENGTH))
    account_id: Mapped[str] = mapped_column(ForeignKey(AccountRow.id), index=True)
    created_at: Mapped[datetime] = mapped_column(UtcTime)
    expires_at: Mapped[datetime | None] = mapped_column(UtcTime)
    revoked_at: Mapped[datetime | None] = mapped_column(UtcTime)


class SessionRow(Base):
    """A browser that showed a key once, by the SHA-256 of its token; it opens what the key opens, as long as that."""

    __tablename__ = "session"

    digest: Mapped[str] = mapped_column(String(DIGEST_LENGTH), primary_key=True)
    key_prefix: Mapped[str] = mapped_column(ForeignKey(KeyRow.prefix), index=True)
    created_at: Mapped[datetime] = mapped_column(UtcTime)
    expires_at: Mapped[datetime] = mapped_column(UtcTime)
