"""Tables of what is told to others, and of what is heard from them."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, Integer, LargeBinary, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from riskapi.storage.models_accounts import AccountRow
from riskapi.storage.models_base import ID_LENGTH, Base, UtcTime


class WebhookRow(Base):
    """Where an account wants to hear of its events; `events` are their types, separated by spaces."""

    __tablename__ = "webhook"

    id: Mapped[str] = mapped_column(String(ID_LENGTH), primary_key=True)
    account_id: Mapped[str] = mapped_column(ForeignKey(AccountRow.id), index=True)
    url: Mapped[str] = mapped_column(Text)
    secret: Mapped[str] = mapped_column(Text)
    events: Mapped[str] = mapped_column(Text)
    created_at: Mapped[datetime] = mapped_column(UtcTime)
    disabled_at: Mapped[datetime | None] = mapped_column(UtcTime)


class EventRow(Base):
    """Something that happened, written in the transaction in which it happened (a transactional outbox)."""

    __tablename__ = "event"

    id: Mapped[str] = mapped_column(String(ID_LENGTH), primary_key=True)
    account_id: Mapped[str] = mapped_column(ForeignKey(AccountRow.id), index=True)
    type: Mapped[str] = mapped_column(String(60))
    payload: Mapped[bytes] = mapped_column(LargeBinary)
    created_at: Mapped[datetime] = mapped_column(UtcTime, index=True)


class DeliveryRow(Base):
    """One event on its way to one webhook. `state` is waiting, delivered or dead."""

    __tablename__ = "delivery"

    id: Mapped[str] = mapped_column(String(ID_LENGTH), primary_key=True)
    event_id: Mapped[str] = mapped_column(ForeignKey(EventRow.id), index=True)
    webhook_id: Mapped[str] = mapped_column(ForeignKey(WebhookRow.id), index=True)
    state: Mapped[str] = mapped_column(String(10))
    attempts: Mapped[int] = mapped_column(Integer)
    next_at: Mapped[datetime | None] = mapped_column(UtcTime, index=True)
    last_answer: Mapped[str | None] = mapped_column(Text)
    delivered_at: Mapped[datetime | None] = mapped_column(UtcTime)


class PriceFeedRow(Base):
    """The last good copy of a price feed, by its address."""

    __tablename__ = "price_feed"

    url: Mapped[str] = mapped_column(String(500), primary_key=True)
    etag: Mapped[str | None] = mapped_column(Text)
    content: Mapped[bytes] = mapped_column(LargeBinary)
    fetched_at: Mapped[datetime] = mapped_column(UtcTime)
    checked_at: Mapped[datetime] = mapped_column(UtcTime)
