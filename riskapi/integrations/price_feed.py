"""Fetching the price feed: once in a while, only what is new, and never in the way of an assessment.

The operator names the feed, so it may be anywhere, inside networks too. What it sends must be in the form of
riskapi/intake/prices.py; what is not, or does not come, leaves the last good copy as it is.
"""

from __future__ import annotations

import logging
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import requests
from requests.adapters import HTTPAdapter
from sqlalchemy import Engine
from sqlalchemy.exc import SQLAlchemyError
from urllib3 import Retry

from riskapi import __version__
from riskapi.errors import CaseError
from riskapi.intake.prices import read_feed
from riskapi.storage.price_feeds import FeedCopy, PriceFeeds

EVERY = timedelta(minutes=15)
TIMES = (5.0, 10.0)  # [s] to connect, and between two pieces of the answer
MOST_BYTES = 1_000_000
_RETRIES = Retry(total=3, backoff_factor=0.5, status_forcelist=(429, 502, 503, 504), respect_retry_after_header=False)
_LOG = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True)
class Keeper:
    """Keeps the copy of one feed fresh."""

    engine: Engine
    url: str
    clock: Callable[[], datetime] = lambda: datetime.now(UTC)

    def refresh(self) -> None:
        """Ask the feed, if that is due. Nothing that goes wrong raises; it is logged."""
        try:
            feeds, now = PriceFeeds(self.engine), self.clock()
            kept = feeds.get(self.url)
            if kept is None or now - kept.checked_at >= EVERY:
                self._ask(feeds, kept, now)
        except (requests.RequestException, SQLAlchemyError) as error:
            _LOG.warning("the price feed could not be fetched: %s", type(error).__name__)
        except CaseError as error:
            _LOG.warning("the price feed is not in order: %s", error)

    def _ask(self, feeds: PriceFeeds, kept: FeedCopy | None, now: datetime) -> None:
        headers = {"Accept": "application/json", "User-Agent": f"riskapi/{__version__}"}
        if kept is not None and kept.etag is not None:
            headers["If-None-Match"] = kept.etag
        with requests.Session() as session:
            for scheme in ("http://", "https://"):
                session.mount(scheme, HTTPAdapter(max_retries=_RETRIES))
            answer = session.get(self.url, headers=headers, timeout=TIMES, stream=True)
            if kept is not None and answer.status_code == 304:
                feeds.unchanged(self.url, now)
                return
            answer.raise_for_status()
            content = _body(answer)
        read_feed(content)
        feeds.put(FeedCopy(self.url, answer.headers.get("ETag"), content, now, now))


def _body(answer: requests.Response) -> bytes:
    content = b""
    for piece in answer.iter_content(65_536):
        content += piece
        if len(content) > MOST_BYTES:
            raise requests.exceptions.ContentDecodingError("too long")
    return content
