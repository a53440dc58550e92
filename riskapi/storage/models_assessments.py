"""Tables of what was assessed: nothing here is updated or deleted, but for the photos and identities that someone asks
to have erased."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import Boolean, ForeignKey, Integer, LargeBinary, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from riskapi.storage.models_accounts import AccountRow
from riskapi.storage.models_base import DIGEST_LENGTH, ID_LENGTH, Base, UtcTime


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
    """`body_digest` is the SHA-256 of the request in canonical form, `made_id` the id of what it made."""

    __tablename__ = "written"

    account_id: Mapped[str] = mapped_column(ForeignKey(AccountRow.id), primary_key=True)
    key: Mapped[str] = mapped_column(String(255), primary_key=True)
    body_digest: Mapped[str] = mapped_column(String(DIGEST_LENGTH))
    made_id: Mapped[str] = mapped_column(String(ID_LENGTH))


class DocumentRow(Base):
    """A file that belongs to an assessment, under the name it is asked for."""

    __tablename__ = "document"

    assessment_id: Mapped[str] = mapped_column(ForeignKey(AssessmentRow.id), primary_key=True)
    name: Mapped[str] = mapped_column(String(100), primary_key=True)
    content: Mapped[bytes] = mapped_column(LargeBinary)


class RecallRow(Base):
    """A knowledge pack that is no longer to be relied on, and why."""

    __tablename__ = "recall"

    digest: Mapped[str] = mapped_column(ForeignKey(KnowledgeRow.digest), primary_key=True)
    reason: Mapped[str] = mapped_column(Text)
    recalled_at: Mapped[datetime] = mapped_column(UtcTime)


class CarRow(Base):
    """One car in one account."""

    __tablename__ = "car"

    id: Mapped[str] = mapped_column(String(ID_LENGTH), primary_key=True)
    account_id: Mapped[str] = mapped_column(ForeignKey(AccountRow.id), index=True)
    created_at: Mapped[datetime] = mapped_column(UtcTime)


class CarMarkRow(Base):
    """A keyed digest of a car's VIN or plate (`kind`), by which its account knows it again; it goes when the identity
    is erased."""

    __tablename__ = "car_mark"

    account_id: Mapped[str] = mapped_column(ForeignKey(AccountRow.id), primary_key=True)
    digest: Mapped[str] = mapped_column(String(DIGEST_LENGTH), primary_key=True)
    kind: Mapped[str] = mapped_column(String(10))
    car_id: Mapped[str] = mapped_column(ForeignKey(CarRow.id), index=True)


class VersionRow(Base):
    """Which assessment of its car this is: `number` counts from 1. `origin` says how it came about (new, findings,
    rescore); `trial`: made to try things out, never published."""

    __tablename__ = "version"
    __table_args__ = (UniqueConstraint("car_id", "number"),)

    assessment_id: Mapped[str] = mapped_column(ForeignKey(AssessmentRow.id), primary_key=True)
    car_id: Mapped[str] = mapped_column(ForeignKey(CarRow.id))
    number: Mapped[int] = mapped_column(Integer)
    previous_id: Mapped[str | None] = mapped_column(ForeignKey(AssessmentRow.id), index=True)
    origin: Mapped[str] = mapped_column(String(20))
    trial: Mapped[bool] = mapped_column(Boolean)


class IdentityRow(Base):
    """Personal data of one assessment (VIN, plate, names, addresses) as JSON, apart from everything else. The signed
    content has only the commitment SHA-256(salt, JSON); both are gone once it is erased."""

    __tablename__ = "identity"

    assessment_id: Mapped[str] = mapped_column(ForeignKey(AssessmentRow.id), primary_key=True)
    salt: Mapped[bytes | None] = mapped_column(LargeBinary)
    content: Mapped[bytes | None] = mapped_column(LargeBinary)
    erased_at: Mapped[datetime | None] = mapped_column(UtcTime)


class PhotoRow(Base):
    """A photo as it was encoded anew, without what a camera writes beside the picture. Findings name it by its id."""

    __tablename__ = "photo"

    id: Mapped[str] = mapped_column(String(ID_LENGTH), primary_key=True)
    account_id: Mapped[str] = mapped_column(ForeignKey(AccountRow.id), index=True)
    digest: Mapped[str] = mapped_column(String(DIGEST_LENGTH))
    width: Mapped[int] = mapped_column(Integer)
    height: Mapped[int] = mapped_column(Integer)
    content: Mapped[bytes | None] = mapped_column(LargeBinary)
    created_at: Mapped[datetime] = mapped_column(UtcTime)
    erased_at: Mapped[datetime | None] = mapped_column(UtcTime)


class OutcomeRow(Base):
    """What happened after an assessment, as told, in canonical JSON; there may be several over time."""

    __tablename__ = "outcome"

    id: Mapped[str] = mapped_column(String(ID_LENGTH), primary_key=True)
    assessment_id: Mapped[str] = mapped_column(ForeignKey(AssessmentRow.id), index=True)
    account_id: Mapped[str] = mapped_column(ForeignKey(AccountRow.id))
    content: Mapped[bytes] = mapped_column(LargeBinary)
    created_at: Mapped[datetime] = mapped_column(UtcTime, index=True)
