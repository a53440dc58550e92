"""The last good copy of each price feed."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime

from sqlalchemy import Engine, update
from sqlalchemy.orm import Session

from riskapi.storage.models import PriceFeedRow


@dataclass(frozen=True, slots=True)
class FeedCopy:
    """`content` is what the feed sent; `fetched_at` when it last sent something new, `checked_at` when it last
    answered."""

    url: str
    etag: str | None
    content: bytes = field(repr=False)
    fetched_at: datetime
    checked_at: datetime


class PriceFeeds:
    """Copies by address. Every method is one transaction."""

    def __init__(self, engine: Engine) -> None:
        self.engine = engine

    def get(self, url: str) -> FeedCopy | None:
        with Session(self.engine) as session:
            row = session.get(PriceFeedRow, url)
            return None if row is None else FeedCopy(row.url, row.etag, row.content, row.fetched_at, row.checked_at)

    def put(self, copy: FeedCopy) -> None:
        """In place of the copy before it."""
        with Session(self.engine.execution_options(immediate=True)) as session, session.begin():
            session.merge(PriceFeedRow(**{name: getattr(copy, name) for name in FeedCopy.__slots__}))

    def unchanged(self, url: str, now: datetime) -> None:
        """It answered, and has nothing new."""
        with Session(self.engine) as session, session.begin():
            session.execute(update(PriceFeedRow).where(PriceFeedRow.url == url).values(checked_at=now))
