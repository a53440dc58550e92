"""Tables of what is shown to the public, and of the keys that seal it."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import Boolean, ForeignKey, LargeBinary, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from riskapi.storage.models_accounts import AccountRow
from riskapi.storage.models_assessments import AssessmentRow, CarRow
from riskapi.storage.models_base import ID_LENGTH, Base, UtcTime

TOKEN_LENGTH = 43  # 256 random bits in base64url


class PublicationRow(Base):
    """An assessment that its account shows to the public under an address that nobody can guess. `content` is what is
    shown, as JSON per language, as it was when it was published; `photos` are ids, one per line; search engines may
    show it where `indexed`."""

    __tablename__ = "publication"

    id: Mapped[str] = mapped_column(String(ID_LENGTH), primary_key=True)
    token: Mapped[str] = mapped_column(String(TOKEN_LENGTH), unique=True)
    account_id: Mapped[str] = mapped_column(ForeignKey(AccountRow.id), index=True)
    car_id: Mapped[str] = mapped_column(ForeignKey(CarRow.id), index=True)
    assessment_id: Mapped[str] = mapped_column(ForeignKey(AssessmentRow.id))
    looked_by: Mapped[str] = mapped_column(String(20))
    content: Mapped[bytes] = mapped_column(LargeBinary)
    photos: Mapped[str] = mapped_column(Text)
    indexed: Mapped[bool] = mapped_column(Boolean)
    published_at: Mapped[datetime] = mapped_column(UtcTime)
    withdrawn_at: Mapped[datetime | None] = mapped_column(UtcTime)
    withdrawn_because: Mapped[str | None] = mapped_column(Text)


class DisputeRow(Base):
    """What a reader says against a publication, and what its publisher answers. The operator can remove the text, and
    says why."""

    __tablename__ = "dispute"

    id: Mapped[str] = mapped_column(String(ID_LENGTH), primary_key=True)
    publication_id: Mapped[str] = mapped_column(ForeignKey(PublicationRow.id), index=True)
    text: Mapped[str] = mapped_column(Text)
    created_at: Mapped[datetime] = mapped_column(UtcTime)
    reply: Mapped[str | None] = mapped_column(Text)
    replied_at: Mapped[datetime | None] = mapped_column(UtcTime)
    removed_at: Mapped[datetime | None] = mapped_column(UtcTime)
    removed_because: Mapped[str | None] = mapped_column(Text)


class SealKeyRow(Base):
    """A key that seals documents (Ed25519). A retired one has no private half any more; its seals still check."""

    __tablename__ = "seal_key"

    id: Mapped[str] = mapped_column(String(ID_LENGTH), primary_key=True)
    public_key: Mapped[bytes] = mapped_column(LargeBinary)
    private_key: Mapped[bytes | None] = mapped_column(LargeBinary)
    created_at: Mapped[datetime] = mapped_column(UtcTime)
    retired_at: Mapped[datetime | None] = mapped_column(UtcTime)
