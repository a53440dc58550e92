"""/v1/webhooks: where an account hears of its events (Standard Webhooks)."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from flask import Response, current_app, request, url_for

from riskapi.domain.sentence import at_fault, told
from riskapi.errors import CaseError
from riskapi.intake import canonical, read_document
from riskapi.integrations.addresses import Network, url_fault
from riskapi.storage import Intent
from riskapi.storage.webhooks import Delivery, Webhook, Webhooks
from riskapi.web.body import json_body
from riskapi.web.idempotency import idempotency_key
from riskapi.web.paging import PageQuerySchema
from riskapi.web.routes import Routes
from riskapi.web.state import state
from riskapi.web.webhook_schemas import (
    DeliveryListSchema,
    MadeWebhookSchema,
    NewWebhookSchema,
    ReplayedSchema,
    ReplaySchema,
    RotationSchema,
    SecretSchema,
    WebhookListSchema,
    WebhookSchema,
    moment,
    read,
)

routes = Routes("webhooks", "Webhooks: your software is told what happens (Standard Webhooks).")
ALLOWED = "WEBHOOK_ALLOW"  # setting: networks beside the public internet that may be sent to
SAMPLE = {"url": "https://host.example/hook", "events": ["assessment.created", "findings.added"]}
_LOCATION = {"Location": {"description": "Where the webhook can be read.", "schema": {"type": "string"}}}


@routes.post("/webhooks", NewWebhookSchema, MadeWebhookSchema, headers=_LOCATION, sample=SAMPLE)
def create_webhook() -> tuple[dict[str, Any], int, dict[str, str]]:
    """Listen to events

    Each event is sent as a POST until it is answered with 2xx, over three days at most; the same event always has the
    same `webhook-id`. It carries ids and links, never personal data. The secret is shown this once.
    """
    key, body = idempotency_key(), json_body()
    url, events = _wanted(body)
    intent = Intent.to(key, canonical(read_document(body).value), request.path)
    made, secret = hooks().add(url, events, datetime.now(UTC), intent)
    where = {"Location": url_for("webhooks.get_webhook", identifier=made.id)}
    return {**_answer(made), "secret": secret}, 201, where


@routes.get("/webhooks", WebhookListSchema)
def list_webhooks() -> Any:
    """List your webhooks"""
    return {"items": [_answer(each) for each in hooks().all()]}


@routes.get("/webhooks/<string:identifier>", WebhookSchema, errors=(404,))
def get_webhook(identifier: str) -> Any:
    """Read a webhook"""
    return _answer(hooks().get(identifier))


@routes.delete("/webhooks/<string:identifier>")
def delete_webhook(identifier: str) -> Response:
    """Stop listening

    Nothing is sent there any more, not even what is on its way.
    """
    hooks().remove(identifier)
    return Response(status=204)


@routes.ask("/webhooks/<string:identifier>/rotate", RotationSchema, SecretSchema, sample={}, errors=(404,))
def rotate_secret(identifier: str) -> Any:
    """Change the secret of a webhook

    For a day events carry two signatures, one with the old secret and one with the new.
    """
    hooks().get(identifier)
    read(RotationSchema(), json_body())
    return {"secret": hooks().rotate(identifier, datetime.now(UTC))}


@routes.get("/webhooks/<string:identifier>/deliveries", DeliveryListSchema, query=PageQuerySchema, errors=(404,))
def list_deliveries(query: dict[str, Any], identifier: str) -> Any:
    """See what was sent to a webhook

    Newest first, with what came of it.
    """
    limit = query["limit"]
    found = hooks().deliveries(identifier, limit + 1, query["cursor"])
    page = found[:limit]
    return {"items": [_sent(each) for each in page], "next": page[-1].id if len(found) > limit else None}


@routes.ask(
    "/webhooks/<string:identifier>/replay",
    ReplaySchema,
    ReplayedSchema,
    sample={"since": "2026-03-14T00:00:00Z"},
    errors=(404,),
)
def replay_events(identifier: str) -> Any:
    """Send events again

    What has not arrived since then is tried anew; events of the time in which the webhook was disabled are made up for,
    and a disabled webhook works again.
    """
    hooks().get(identifier)
    asked = read(ReplaySchema(), json_body())
    return {"events": hooks().replay(identifier, asked["since"], asked["delivered"], datetime.now(UTC))}


def hooks() -> Webhooks:
    """The webhooks of the caller's account."""
    repository = state().repository
    return Webhooks(repository.engine, repository.account_id)


def _wanted(body: bytes) -> tuple[str, tuple[str, ...]]:
    """(URL, event types) of a body. Raises Unreadable, CaseError."""
    loaded = read(NewWebhookSchema(), body)
    allowed: tuple[Network, ...] = current_app.config.get(ALLOWED, ())
    faults = list(filter(None, [url_fault(loaded["url"], allowed)]))
    if not loaded["events"]:
        faults.append(at_fault("/events", told("No event is named."), told("Name at least one type of event.")))
    if faults:
        raise CaseError(faults)
    return loaded["url"], tuple(dict.fromkeys(loaded["events"]))


def _answer(made: Webhook) -> dict[str, Any]:
    return {
        "webhook_id": made.id,
        "url": made.url,
        "events": list(made.events),
        "created_at": moment(made.created_at),
        "disabled_at": moment(made.disabled_at),
        "disabled_because": made.disabled_because,
        "failing_since": moment(made.failing_since),
    }


def _sent(each: Delivery) -> dict[str, Any]:
    return {
        "delivery_id": each.id,
        "event_id": each.event_id,
        "event_type": each.event_type,
        "created_at": moment(each.created_at),
        "state": each.state,
        "attempts": each.attempts,
        "next_at": moment(each.next_at),
        "delivered_at": moment(each.delivered_at),
        "last_answer": each.last_answer,
    }
