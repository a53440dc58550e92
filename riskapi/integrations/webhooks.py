"""Delivering events to webhooks as the Standard Webhooks specification has it (webhook-id, -timestamp, -signature).

At least once: a receiver that was told twice sees the same webhook-id.
"""

from __future__ import annotations

import logging
import random
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from email.utils import parsedate_to_datetime

from standardwebhooks import Webhook

from riskapi.integrations.outside import Answer, Outside
from riskapi.storage.deliveries import Deliveries, Parcel

# Delays behind the first attempt; the schedule that the specification gives under 'Deliverability and reliability'.
DELAYS = tuple(timedelta(seconds=s) for s in (5, 300, 1800, 7200, 18_000, 36_000, 50_400, 72_000, 86_400))
LONGEST_WISH = timedelta(days=1)  # of a Retry-After
JITTER = 0.2
GONE = 410
CROWDED = frozenset({None, 429, 502, 503, 504})  # nothing came back, or the receiver is under load: leave it alone

_LOG = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Postman:
    """Delivers what a worker has taken."""

    deliveries: Deliveries
    outside: Outside
    clock: Callable[[], datetime] = lambda: datetime.now(UTC)
    dice: random.Random = field(default_factory=random.SystemRandom)

    def deliver(self, delivery_id: str) -> None:
        """One attempt. Does nothing when it has arrived or was given up."""
        parcel = self.deliveries.parcel(delivery_id, self.clock())
        if parcel is None:
            return
        answer = self.outside.post(parcel.url, parcel.body, headers_of(parcel, self.clock()))
        now = self.clock()
        if answer.taken:
            self.deliveries.arrived(parcel, answer.told, now)
        elif answer.status == GONE:
            self.deliveries.gone(parcel, answer.told, now)
        else:
            delay = delay_after(parcel.attempts, answer, now, self.dice)
            next_at = None if delay is None else now + delay
            self.deliveries.failed(parcel, answer.told, next_at, now, pause=answer.status in CROWDED)
        _LOG.info("webhook %s, delivery %s: %s", parcel.webhook_id, delivery_id, answer.told)


def headers_of(parcel: Parcel, now: datetime) -> dict[str, str]:
    """The headers that carry id, time of this attempt and signature: one with each secret, separated by a space."""
    text = parcel.body.decode()
    signed = [Webhook(secret).sign(parcel.message_id, now, text) for secret in parcel.secrets]
    return {
        "Content-Type": "application/json",
        "webhook-id": parcel.message_id,
        "webhook-timestamp": str(int(now.timestamp())),
        "webhook-signature": " ".join(signed),
    }


def delay_after(attempts: int, answer: Answer, now: datetime, dice: random.Random) -> timedelta | None:
    """How long to wait after a failure that had `attempts` before it; None: give up. Up to a fifth longer than the
    schedule says, so that not all come back at once; never sooner than the receiver asked for."""
    if attempts >= len(DELAYS):
        return None
    return max(DELAYS[attempts] * dice.uniform(1.0, 1.0 + JITTER), _wish(answer.retry_after, now))


def _wish(stated: str | None, now: datetime) -> timedelta:
    """Retry-After (RFC 9110, section 10.2.3): seconds or a date."""
    if stated is None:
        return timedelta()
    try:
        wish = timedelta(seconds=int(stated)) if stated.strip().isdigit() else parsedate_to_datetime(stated) - now
    except (ValueError, TypeError, OverflowError):
        return timedelta()
    return min(max(wish, timedelta()), LONGEST_WISH)
