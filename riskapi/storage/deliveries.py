"""What is on its way to webhooks, for the workers that deliver it. Any number of workers may run at once."""

from __future__ import annotations

import os
import socket
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from sqlalchemy import ColumnElement, Engine, delete, func, or_, select, update
from sqlalchemy.orm import Session

from riskapi.storage.database import writing
from riskapi.storage.models import DeliveryRow, EventRow, WebhookRow, WorkerRow
from riskapi.storage.outbox import DEAD, DELIVERED, WAITING

LEASE = timedelta(minutes=5)  # after which a delivery that a worker took is due again, should the worker have died
LONGEST_PAUSE = timedelta(minutes=5)
LONG = timedelta(days=3)  # of failures only, after which a webhook is disabled
SILENCE = timedelta(minutes=2)  # after which a worker that was not seen counts as dead
_FORGET = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Parcel:
    """All that an attempt needs. `secrets`: the one in force, and for a while the one before it."""

    delivery_id: str
    webhook_id: str
    message_id: str
    url: str
    secrets: tuple[str, ...] = field(repr=False)
    body: bytes = field(repr=False)
    attempts: int


class Deliveries:
    """Deliveries of all accounts behind one engine. Every method is one transaction."""

    def __init__(self, engine: Engine) -> None:
        self.engine = engine

    def take_due(self, now: datetime, limit: int) -> list[str]:
        """Ids of deliveries that are due now and that nobody else gets within the LEASE."""
        due = select(DeliveryRow.id).join(WebhookRow).where(_due(now), _open(now)).order_by(DeliveryRow.next_at)
        free = due.limit(limit).with_for_update(of=DeliveryRow, skip_locked=True)
        taken = update(DeliveryRow).where(DeliveryRow.id.in_(free), _due(now)).values(next_at=now + LEASE)
        with writing(self.engine) as session:
            return list(session.scalars(taken.returning(DeliveryRow.id), execution_options=_BLIND))

    def parcel(self, delivery_id: str, now: datetime) -> Parcel | None:
        """What is to be sent; None when it has arrived, was given up, or its webhook is gone or paused by now."""
        wanted = select(DeliveryRow, EventRow, WebhookRow).join(EventRow).join(WebhookRow)
        with Session(self.engine) as session:
            still = DeliveryRow.id == delivery_id, DeliveryRow.state == WAITING, _open(now)
            found = session.execute(wanted.where(*still)).one_or_none()
            if found is None:
                return None
            row, event, webhook = found
            return Parcel(
                row.id, webhook.id, f"msg_{event.id}", webhook.url, _secrets(webhook, now), event.payload, row.attempts
            )

    def arrived(self, parcel: Parcel, answer: str, now: datetime) -> None:
        """It was taken."""
        done = {"state": DELIVERED, "attempts": parcel.attempts + 1, "next_at": None, "delivered_at": now}
        with writing(self.engine) as session:
            _set(session, parcel, {**done, "last_answer": answer})
            well = update(WebhookRow).where(WebhookRow.id == parcel.webhook_id, WebhookRow.failing_since.is_not(None))
            session.execute(well.values(failing_since=None, paused_until=None))

    def failed(self, parcel: Parcel, answer: str, next_at: datetime | None, now: datetime, pause: bool = False) -> None:
        """It was not taken: tried again at `next_at`, or given up without one. `pause`: until then, at most for
        LONGEST_PAUSE, nothing else goes to this webhook either. One that is given up after nothing has arrived for LONG
        disables the webhook."""
        values = {"state": WAITING if next_at else DEAD, "attempts": parcel.attempts + 1, "next_at": next_at}
        with writing(self.engine) as session:
            _set(session, parcel, {**values, "last_answer": answer})
            webhook = session.get(WebhookRow, parcel.webhook_id)
            if webhook is None:
                return
            since = webhook.failing_since = webhook.failing_since or now
            if pause and next_at is not None:
                webhook.paused_until = min(next_at, now + LONGEST_PAUSE)
            if next_at is None and now - since >= LONG:
                _disable(session, webhook, f"Nothing has arrived for {LONG.days} days.", now)

    def gone(self, parcel: Parcel, answer: str, now: datetime) -> None:
        """Its receiver wants no more: the webhook is disabled, and all that was on its way is given up."""
        values = {"state": DEAD, "attempts": parcel.attempts + 1, "next_at": None, "last_answer": answer}
        with writing(self.engine) as session:
            _set(session, parcel, values)
            webhook = session.get(WebhookRow, parcel.webhook_id)
            if webhook is not None:
                _disable(session, webhook, "Its receiver answered 410 Gone.", now)

    def backlog(self) -> tuple[int, datetime | None]:
        """How many are on their way, and when the oldest of them was made."""
        counted = select(func.count(), func.min(DeliveryRow.created_at)).where(DeliveryRow.state == WAITING)
        with Session(self.engine) as session:
            number, oldest = session.execute(counted).one()
            return number, oldest


class Pulse:
    """By which a worker says that it is alive."""

    def __init__(self, engine: Engine) -> None:
        self.engine = engine
        self.name = f"{socket.gethostname()}:{os.getpid()}"[:200]

    def beat(self, now: datetime) -> None:
        with writing(self.engine) as session:
            row = session.get(WorkerRow, self.name)
            if row is None:
                session.add(WorkerRow(name=self.name, started_at=now, seen_at=now))
            else:
                row.seen_at = now
            session.execute(delete(WorkerRow).where(WorkerRow.seen_at < now - _FORGET))

    def stop(self) -> None:
        """This worker ends."""
        with writing(self.engine) as session:
            session.execute(delete(WorkerRow).where(WorkerRow.name == self.name))

    def alive(self, now: datetime) -> list[str]:
        """Names of the workers that were seen lately."""
        with Session(self.engine) as session:
            return sorted(session.scalars(select(WorkerRow.name).where(WorkerRow.seen_at >= now - SILENCE)))


_BLIND = {"synchronize_session": False}


def _due(now: datetime) -> ColumnElement[bool]:
    return (DeliveryRow.state == WAITING) & (DeliveryRow.next_at <= now)


def _open(now: datetime) -> ColumnElement[bool]:
    free = or_(WebhookRow.paused_until.is_(None), WebhookRow.paused_until <= now)
    return WebhookRow.disabled_at.is_(None) & free


def _secrets(webhook: WebhookRow, now: datetime) -> tuple[str, ...]:
    old = webhook.old_secret if webhook.old_secret_until is not None and now < webhook.old_secret_until else None
    return (webhook.secret,) if old is None else (webhook.secret, old)


def _set(session: Session, parcel: Parcel, values: dict[str, object]) -> None:
    session.execute(update(DeliveryRow).where(DeliveryRow.id == parcel.delivery_id).values(**values))


def _disable(session: Session, webhook: WebhookRow, because: str, now: datetime) -> None:
    webhook.disabled_at, webhook.disabled_because = now, because
    waiting = update(DeliveryRow).where(DeliveryRow.webhook_id == webhook.id, DeliveryRow.state == WAITING)
    session.execute(waiting.values(state=DEAD, next_at=None))
