"""Prices of the price feed as a worker has fetched them, so that no assessment waits for the network."""

from __future__ import annotations

import logging
import threading
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import Engine

from riskapi.errors import CaseError
from riskapi.intake.prices import read_feed
from riskapi.storage.price_feeds import FeedCopy, PriceFeeds

LOOK_AGAIN = timedelta(minutes=1)  # how long a process uses what it has read
_LOG = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Prices:
    """What a feed says, and when it last answered."""

    content: Mapping[str, Any]
    checked_at: datetime


class PriceShelf:
    """The prices of one feed, read from the database once a minute."""

    def __init__(self, engine: Engine, url: str) -> None:
        self.url, self._feeds = url, PriceFeeds(engine)
        self._lock = threading.Lock()
        self._looked: datetime | None = None
        self._prices: Prices | None = None

    def prices(self, now: datetime) -> Prices | None:
        """What the feed said last; None before it has ever answered."""
        with self._lock:
            if self._looked is None or now - self._looked >= LOOK_AGAIN:
                self._prices, self._looked = _read(self._feeds.get(self.url)), now
            return self._prices


def _read(copy: FeedCopy | None) -> Prices | None:
    try:
        return None if copy is None else Prices(read_feed(copy.content), copy.checked_at)
    except CaseError:  # kept by a version that read it otherwise
        _LOG.warning("the kept copy of the price feed cannot be read")
        return None
