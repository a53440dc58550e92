"""Telling accounts what happened: a transactional outbox.

An event is written in the transaction in which it happened, together with one delivery for every webhook that listens
to it. So an event that was committed is told even if every process stops right after, and one that was not is never
told.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import UTC, datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from riskapi.storage.models import DeliveryRow, EventRow, WebhookRow, new_id

CREATED, FINDINGS_ADDED, RESCORED = "assessment.created", "findings.added", "rescored"
OUTCOME_TOLD = "outcome.told"
PUBLISHED, WITHDRAWN, DISPUTED = "publication.published", "publication.withdrawn", "publication.disputed"
ERASED = "identity.erased"
RECALLED = "knowledge.recalled"
EVENT_TYPES = (
    CREATED,
    FINDINGS_ADDED,
    RESCORED,
    OUTCOME_TOLD,
    PUBLISHED,
    WITHDRAWN,
    DISPUTED,
    ERASED,
    RECALLED,
)
WAITING, DELIVERED, DEAD = "waiting", "delivered", "dead"  # states of a delivery


def append_event(
    session: Session, account_id: str, event_type: str, payload: Mapping[str, object], now: datetime | None = None
) -> str:
    """Write that something happened to an account (its id is returned), to be told to the webhooks that listen now.

    To be called in the transaction in which it happens; commits nothing itself. The payload has ids and links only,
    never personal data. The body that is sent is the one of the Standard Webhooks specification: type, timestamp, data.
    """
    if event_type not in EVENT_TYPES:
        raise ValueError(f"there is no event type {event_type!r}")
    at = datetime.now(UTC) if now is None else now
    body = {"type": event_type, "timestamp": at.astimezone(UTC).isoformat(timespec="seconds"), "data": dict(payload)}
    content = json.dumps(body, ensure_ascii=False, separators=(",", ":")).encode()
    event = EventRow(id=new_id(), account_id=account_id, type=event_type, payload=content, created_at=at)
    session.add(event)
    session.flush()
    listening = select(WebhookRow).where(WebhookRow.account_id == account_id, WebhookRow.disabled_at.is_(None))
    for webhook in session.scalars(listening):
        if event_type in webhook.events.split():
            session.add(new_delivery(event.id, webhook.id, at))
    return event.id


def new_delivery(event_id: str, webhook_id: str, at: datetime) -> DeliveryRow:
    """A delivery that is due at once."""
    row = DeliveryRow(id=new_id(), event_id=event_id, webhook_id=webhook_id, state=WAITING, attempts=0)
    row.created_at = row.next_at = at
    return row
