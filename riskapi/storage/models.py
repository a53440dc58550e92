"""Tables. What was assessed is only ever added to: no such row is updated or deleted.

account       whose records they are
api_key       what an account shows; its expiry and revocation are the only things that change
belonging     which account an assessment belongs to
written       which assessment an idempotency key made, so that a request sent twice makes it once
knowledge     the files of a knowledge pack, once per digest
assessment    one case with its result
document      what was printed from an assessment (report.pdf, ...), byte for byte
"""

from __future__ import annotations

import uuid
from datetime import UTC, datetime

from sqlalchemy import DateTime, ForeignKey, LargeBinary, MetaData, String, Text
from sqlalchemy.engine import Dialect
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column
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


class AccountRow(Base):
    """`role` is what the account may do."""

    __tablename__ = "account"

    id: Mapped[str] = mapped_column(String(ID_LENGTH), primary_key=True)
    name: Mapped[str] = mapped_column(Text)
    role: Mapped[str] = mapped_column(String(20))
    created_at: Mapped[datetime] = mapped_column(UtcTime)


class KeyRow(Base):
    """A key of an account, by its prefix; `digest` is the SHA-256 of the whole key."""

    __tablename__ = "api_key"

    prefix: Mapped[str] = mapped_column(String(8), primary_key=True)
    digest: Mapped[str] = mapped_column(String(DIGEST_LENGTH))
    account_id: Mapped[str] = mapped_column(ForeignKey(AccountRow.id), index=True)
    created_at: Mapped[datetime] = mapped_column(UtcTime)
    expires_at: Mapped[datetime | None] = mapped_column(UtcTime)
    revoked_at: Mapped[datetime | None] = mapped_column(UtcTime)


class KnowledgeRow(Base):
    """A knowledge pack as it was when an assessment used it; `content` is a ZIP of its files."""

    __tablename__ = "knowledge"

    digest: Mapped[str] = mapped_column(String(DIGEST_LENGTH), primary_key=True)
    version: Mapped[str] = mapped_column(Text)
    content: Mapped[bytes] = mapped_column(LargeBinary)
    first_used_at: Mapped[datetime] = mapped_column(UtcTime)


class AssessmentRow(Base):
    """`case_json` is the request in canonical JSON, `result_json` the answer as it was sent."""

    __tablename__ = "assessment"

    id: Mapped[str] = mapped_column(String(ID_LENGTH), primary_key=True)
    created_at: Mapped[datetime] = mapped_column(UtcTime, index=True)
    reference: Mapped[str | None] = mapped_column(Text, index=True)
    knowledge_digest: Mapped[str] = mapped_column(ForeignKey(KnowledgeRow.digest))
    program_version: Mapped[str] = mapped_column(Text)
    case_json: Mapped[bytes] = mapped_column(LargeBinary)
    result_json: Mapped[bytes] = mapped_column(LargeBinary)


class BelongingRow(Base):
    """Which account an assessment belongs to; nobody else gets to see it."""

    __tablename__ = "belonging"

    assessment_id: Mapped[str] = mapped_column(ForeignKey(AssessmentRow.id), primary_key=True)
    account_id: Mapped[str] = mapped_column(ForeignKey(AccountRow.id), index=True)


class WrittenRow(Base):
    """`body_digest` is the SHA-256 of the request in canonical JSON."""

    __tablename__ = "written"

    account_id: Mapped[str] = mapped_column(ForeignKey(AccountRow.id), primary_key=True)
    key: Mapped[str] = mapped_column(String(255), primary_key=True)
    body_digest: Mapped[str] = mapped_column(String(DIGEST_LENGTH))
    assessment_id: Mapped[str] = mapped_column(ForeignKey(AssessmentRow.id))


class DocumentRow(Base):
    """A file that belongs to an assessment, under the name it is asked for."""

    __tablename__ = "document"

    assessment_id: Mapped[str] = mapped_column(ForeignKey(AssessmentRow.id), primary_key=True)
    name: Mapped[str] = mapped_column(String(100), primary_key=True)
    content: Mapped[bytes] = mapped_column(LargeBinary)
