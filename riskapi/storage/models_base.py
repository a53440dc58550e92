"""What every table shares: ids, instants, and names of constraints."""

from __future__ import annotations

import uuid
from datetime import UTC, datetime

from sqlalchemy import DateTime, MetaData
from sqlalchemy.engine import Dialect
from sqlalchemy.orm import DeclarativeBase
from sqlalchemy.types import TypeDecorator

ID_LENGTH = 32  # a random UUID in hexadecimal digits
DIGEST_LENGTH = 64  # SHA-256 in hexadecimal digits

_NAMES = {
    "ix": "ix_%(column_0_label)s",
    "uq": "uq_%(table_name)s_%(column_0_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}


class UtcTime(TypeDecorator[datetime]):
    """An instant, kept as UTC without a zone so that every database keeps it alike."""

    impl = DateTime
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:  # noqa: ARG002
        return None if value is None else value.astimezone(UTC).replace(tzinfo=None)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:  # noqa: ARG002
        return None if value is None else value.replace(tzinfo=UTC)


class Base(DeclarativeBase):
    """Base of all tables; constraints get names that migrations can rely on."""

    metadata = MetaData(naming_convention=_NAMES)


def new_id() -> str:
    """A random id (UUID version 4, RFC 9562) in 32 hexadecimal digits; nobody can guess another one from it."""
    return uuid.uuid4().hex
