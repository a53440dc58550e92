"""Webhooks of an account: where it hears of its events, what was told there, and telling it again.

Secrets are as the Standard Webhooks specification has them: 32 random bytes in base64 after 'whsec_'. They are kept as
they are, because a signature needs them; whoever reads the database can sign.
"""

from __future__ import annotations

import base64
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import ColumnElement, Engine, Select, delete, func, literal, select, tuple_
from sqlalchemy.orm import Session

from riskapi.domain.sentence import at_fault, told
from riskapi.errors import CaseError, NotFound
from riskapi.storage.database import writing
from riskapi.storage.intents import Intent, made_by, remember
from riskapi.storage.models import DeliveryRow, EventRow, UtcTime, WebhookRow, new_id
from riskapi.storage.outbox import DELIVERED, WAITING, new_delivery

MOST = 20  # webhooks of one account
GRACE = timedelta(days=1)  # for which an old secret signs along
REPLAY_LIMIT = 10_000  # events that are told again at once


@dataclass(frozen=True, slots=True)
class Webhook:
    """A webhook, its secrets left out."""

    id: str
    url: str
    events: tuple[str, ...]
    created_at: datetime
    disabled_at: datetime | None
    disabled_because: str | None
    failing_since: datetime | None


@dataclass(frozen=True, slots=True)
class Delivery:
    """One event on its way to one webhook; `last_answer` is what its last attempt came to."""

    id: str
    event_id: str
    event_type: str
    created_at: datetime
    state: str
    attempts: int
    next_at: datetime | None
    delivered_at: datetime | None
    last_answer: str | None


class Webhooks:
    """The webhooks of one account. Every method is one transaction; those of other accounts do not exist here."""

    def __init__(self, engine: Engine, account_id: str) -> None:
        self.engine, self.account_id = engine, account_id

    def add(
        self, url: str, events: tuple[str, ...], now: datetime, intent: Intent | None = None
    ) -> tuple[Webhook, str]:
        """A new webhook, or the one that the same intent made before, with its secret. Raises CaseError, KeyReused."""
        with writing(self.engine) as session:
            earlier = made_by(session, self.account_id, intent)
            if earlier is not None:
                row = self._row(session, earlier)
                return _webhook(row), row.secret
            self._room(session)
            row = WebhookRow(id=new_id(), account_id=self.account_id, url=url, secret=_secret(), created_at=now)
            row.events = " ".join(events)
            session.add(row)
            remember(session, self.account_id, intent, row.id)
            return _webhook(row), row.secret

    def all(self) -> list[Webhook]:
        """Oldest first."""
        wanted = select(WebhookRow).where(self._mine()).order_by(WebhookRow.created_at, WebhookRow.id)
        with Session(self.engine) as session:
            return [_webhook(row) for row in session.scalars(wanted)]

    def get(self, identifier: str) -> Webhook:
        """Raises NotFound."""
        with Session(self.engine) as session:
            return _webhook(self._row(session, identifier))

    def remove(self, identifier: str) -> None:
        """Take it away, with all that is still on its way to it. Raises NotFound."""
        with writing(self.engine) as session:
            row = self._row(session, identifier)
            session.execute(delete(DeliveryRow).where(DeliveryRow.webhook_id == identifier))
            session.delete(row)

    def rotate(self, identifier: str, now: datetime, grace: timedelta = GRACE) -> str:
        """A new secret; the old one signs along for the grace. Raises NotFound."""
        with writing(self.engine) as session:
            row = self._row(session, identifier)
            row.old_secret, row.old_secret_until, row.secret = row.secret, now + grace, _secret()
            return row.secret

    def deliveries(self, identifier: str, limit: int, after: str | None = None) -> list[Delivery]:
        """At most `limit` deliveries of a webhook, newest first, from behind the id `after`. Raises NotFound."""
        wanted = select(DeliveryRow, EventRow.type).join(EventRow).where(DeliveryRow.webhook_id == identifier)
        order = tuple_(DeliveryRow.created_at, DeliveryRow.id)
        with Session(self.engine) as session:
            self._row(session, identifier)
            if after is not None:
                last = session.get(DeliveryRow, after)
                if last is None or last.webhook_id != identifier:
                    return []
                wanted = wanted.where(order < tuple_(literal(last.created_at, UtcTime), last.id))
            newest = wanted.order_by(DeliveryRow.created_at.desc(), DeliveryRow.id.desc()).limit(limit)
            return [_delivery(row, event_type) for row, event_type in session.execute(newest)]

    def replay(self, identifier: str, since: datetime, delivered: bool, now: datetime) -> int:
        """Tell it again what happened since then (what has arrived only if `delivered`): the number of events. A
        disabled webhook works again. Raises NotFound."""
        with writing(self.engine) as session:
            row = self._row(session, identifier)
            row.disabled_at = row.disabled_because = row.failing_since = row.paused_until = None
            sent = {
                made.event_id: made
                for made in session.scalars(select(DeliveryRow).where(DeliveryRow.webhook_id == identifier))
            }
            count = 0
            for event_id in session.scalars(self._since(row, since)):
                made = sent.get(event_id)
                if made is None:
                    session.add(new_delivery(event_id, identifier, now))
                elif made.state != DELIVERED or delivered:
                    made.state, made.attempts, made.next_at = WAITING, 0, now
                else:
                    continue
                count += 1
            return count

    def _since(self, row: WebhookRow, since: datetime) -> Select[str]:
        wanted = select(EventRow.id).where(EventRow.account_id == self.account_id, EventRow.created_at >= since)
        return wanted.where(EventRow.type.in_(row.events.split())).order_by(EventRow.created_at).limit(REPLAY_LIMIT)

    def _row(self, session: Session, identifier: str) -> WebhookRow:
        row = session.scalar(select(WebhookRow).where(WebhookRow.id == identifier, self._mine()))
        if row is None:
            raise NotFound("webhook", identifier)
        return row

    def _room(self, session: Session) -> None:
        if (session.scalar(select(func.count()).select_from(WebhookRow).where(self._mine())) or 0) >= MOST:
            message = told("There are {count:d} webhooks already.", count=MOST)
            raise CaseError([at_fault("", message, told("Delete one that is not needed."))])

    def _mine(self) -> ColumnElement[bool]:
        return WebhookRow.account_id == self.account_id


def _secret() -> str:
    return "whsec_" + base64.b64encode(secrets.token_bytes(32)).decode()


def _webhook(row: WebhookRow) -> Webhook:
    told = (row.disabled_at, row.disabled_because, row.failing_since)
    return Webhook(row.id, row.url, tuple(row.events.split()), row.created_at, *told)


def _delivery(row: DeliveryRow, event_type: str) -> Delivery:
    timing = (row.created_at, row.state, row.attempts, row.next_at, row.delivered_at, row.last_answer)
    return Delivery(row.id, row.event_id, event_type, *timing)
