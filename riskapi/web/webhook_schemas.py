"""What goes in and comes out at /v1/webhooks."""

from __future__ import annotations

import re
from datetime import datetime
from typing import Any

from riskapi.domain.sentence import told
from riskapi.errors import CaseError
from riskapi.intake import read_document
from riskapi.intake.base import RequestSchema, load
from riskapi.intake.fields import Choice, Flag, Many, Text
from riskapi.intake.pointers import in_order
from riskapi.intake.schemas import docs
from riskapi.storage.outbox import DEAD, DELIVERED, EVENT_TYPES, WAITING
from riskapi.web.answer_fields import AnswerSchema, count, many, text, texts, word
from riskapi.web.knowledge_answers import next_cursor

URL_LIMIT = 2_000
_MOMENT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(?:\.\d{1,6})?(?:Z|[+-]\d\d:\d\d)", re.ASCII)


class Moment(Text):
    """An instant with its zone (RFC 3339)."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.shape = told("a time with its zone (RFC 3339)")
        self.metadata = {**self.metadata, "format": "date-time"}

    def read(self, value: Any) -> Any:
        try:
            if isinstance(value, str) and _MOMENT.fullmatch(value):
                return datetime.fromisoformat(value)
        except ValueError:
            pass
        raise self.wrong(value)


class NewWebhookSchema(RequestSchema):
    """Where to send events, and which."""

    url = Text(
        required=True,
        limit=URL_LIMIT,
        metadata=docs("Where to POST events: https, on the public internet.", "https://host.example/hook"),
    )
    events = Many(
        Choice(choices=EVENT_TYPES),
        required=True,
        limit=len(EVENT_TYPES),
        metadata=docs("Types of the events to send there.", list(EVENT_TYPES[:2])),
    )


class ReplaySchema(RequestSchema):
    """What is to be told again."""

    since = Moment(required=True, metadata=docs("Events from this time on.", "2026-03-14T00:00:00Z"))
    delivered = Flag(load_default=False, metadata=docs("Also those that have arrived."))


class RotationSchema(RequestSchema):
    """An empty object."""


class WebhookSchema(AnswerSchema):
    """A webhook, its secret left out."""

    webhook_id = text("Id.")
    url = text("Where events go.")
    events = texts("Types of the events that go there.")
    created_at = text("When it was made (RFC 3339).")
    disabled_at = text("Since when nothing goes there any more; null while it works.", allow_none=True)
    disabled_because = text("Why; null while it works.", allow_none=True)
    failing_since = text("Since when nothing has arrived; null while all is well.", allow_none=True)


class MadeWebhookSchema(WebhookSchema):
    """A webhook with its secret."""

    secret = text("Signs the events (Standard Webhooks). It is shown this once.")


class WebhookListSchema(AnswerSchema):
    """Webhooks, oldest first."""

    items = many(WebhookSchema, "The webhooks of the account.")


class SecretSchema(AnswerSchema):
    """A new secret."""

    secret = text("Signs from now on; the old one signs along for a day. It is shown this once.")


class DeliverySchema(AnswerSchema):
    """One event on its way to one webhook."""

    delivery_id = text("Id.")
    event_id = text("Id of the event; `webhook-id` is 'msg_' and this.")
    event_type = word("What happened.", EVENT_TYPES)
    created_at = text("When it was first due (RFC 3339).")
    state = word(
        "waiting, delivered, or dead: given up until it is replayed.",
        (WAITING, DELIVERED, DEAD),
    )
    attempts = count("How often it was tried.")
    next_at = text("When it is tried next; null when it is not.", allow_none=True)
    delivered_at = text("When it arrived; null before.", allow_none=True)
    last_answer = text("What the last attempt came to; null before the first.", allow_none=True)


class DeliveryListSchema(AnswerSchema):
    """A page of deliveries, newest first."""

    items = many(DeliverySchema, "The deliveries of this page.")
    next = next_cursor()


class ReplayedSchema(AnswerSchema):
    """What is on its way again."""

    events = count("How many events.")


def read(schema: RequestSchema, body: bytes) -> dict[str, Any]:
    """What a body says. Raises Unreadable when it is no JSON, CaseError with every fault otherwise."""
    document = read_document(body)
    loaded, malformed = load(schema, document.value)
    if found := in_order([*document.faults, *malformed]):
        raise CaseError(found)
    return loaded


def moment(at: datetime | None) -> str | None:
    """RFC 3339."""
    return None if at is None else at.isoformat()
