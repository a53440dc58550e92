"""Tables of what is told to others, and of what is heard from them."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, Integer, LargeBinary, String, Text
from sqlalchemy.orm import Mapped, mapped_column

from riskapi.storage.models_accounts import AccountRow
from riskapi.storage.models_base import ID_LENGTH, Base, UtcTime


class WebhookRow(Base):
    """Where an account wants to hear of its events; `events` are their types, separated by spaces.

    After a change of the secret the old one signs along until `old_secret_until`. `failing_since`: no delivery has
    arrived since then. `paused_until`: the receiver asked to be left alone for a while.
    """

    __tablename__ = "webhook"

    id: Mapped[str] = mapped_column(String(ID_LENGTH), primary_key=True)
    account_id: Mapped[str] = mapped_column(ForeignKey(AccountRow.id), index=True)
    url: Mapped[str] = mapped_column(Text)
    secret: Mapped[str] = mapped_column(Text)
    events: Mapped[str] = mapped_column(Text)
    created_at: Mapped[datetime] = mapped_column(UtcTime)
    disabled_at: Mapped[datetime | None] = mapped_column(UtcTime)
    disabled_because: Mapped[str | None] = mapped_column(Text)
    old_secret: Mapped[str | None] = mapped_column(Text)
    old_secret_until: Mapped[datetime | None] = mapped_column(UtcTime)
    failing_since: Mapped[datetime | None] = mapped_column(UtcTime)
    paused_until: Mapped[datetime | None] = mapped_column(UtcTime)


class EventRow(Base):
    """Something that happened, written in the transaction in which it happened (a transactional outbox)."""

    __tablename__ = "event"

    id: Mapped[str] = mapped_column(String(ID_LENGTH), primary_key=True)
    account_id: Mapped[str] = mapped_column(ForeignKey(AccountRow.id), index=True)
    type: Mapped[str] = mapped_column(String(60))
    payload: Mapped[bytes] = mapped_column(LargeBinary)
    created_at: Mapped[datetime] = mapped_column(UtcTime, index=True)


class DeliveryRow(Base):
    """One event on its way to one webhook. `state` is waiting, delivered or dead. `next_at` is when it is due; a worker
    that takes it moves that on, so that nobody else does, and so that it is due again should the worker die."""

    __tablename__ = "delivery"

    id: Mapped[str] = mapped_column(String(ID_LENGTH), primary_key=True)
    event_id: Mapped[str] = mapped_column(ForeignKey(EventRow.id), index=True)
    webhook_id: Mapped[str] = mapped_column(ForeignKey(WebhookRow.id), index=True)
    created_at: Mapped[datetime] = mapped_column(UtcTime)
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


class WorkerRow(Base):
    """A background worker that is, or was, running: by host and process number."""

    __tablename__ = "worker"

    name: Mapped[str] = mapped_column(String(200), primary_key=True)
    started_at: Mapped[datetime] = mapped_column(UtcTime)
    seen_at: Mapped[datetime] = mapped_column(UtcTime)
