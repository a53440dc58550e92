"""What an account shows to the public, and what readers say against it.

Nothing is deleted: what was withdrawn or superseded keeps its address and says so.
"""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime

from sqlalchemy import Engine, literal, select, tuple_
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from riskapi.domain.sentence import Sentence, at_fault, told
from riskapi.errors import NotFound, NotPublishable
from riskapi.storage.accounts import LOCAL
from riskapi.storage.cars import latest_of, version_of
from riskapi.storage.database import writing
from riskapi.storage.intents import Intent, made_by, remember
from riskapi.storage.models import CarRow, PublicationRow, UtcTime, new_id
from riskapi.storage.outbox import PUBLISHED, WITHDRAWN, append_event

SELLER, INSPECTOR = "seller", "inspector"
LOOKED_BY = (SELLER, INSPECTOR)


@dataclass(frozen=True, slots=True)
class Shown:
    """What is shown: `content` is JSON per language, `photos` are ids of the account's photos."""

    looked_by: str
    content: bytes = field(repr=False)
    photos: tuple[str, ...] = ()
    indexed: bool = False


@dataclass(frozen=True, slots=True)
class Publication:
    """`token` is the secret part of its address."""

    id: str
    token: str = field(repr=False)
    account_id: str
    car_id: str
    assessment_id: str
    published_at: datetime
    withdrawn_at: datetime | None
    withdrawn_because: str | None
    shown: Shown


class Publications:
    """The publications of one account, behind one engine. Every method is one transaction."""

    def __init__(self, engine: Engine, account_id: str = LOCAL) -> None:
        self.engine, self.account_id = engine, account_id

    def publish(self, assessment_id: str, shown: Shown, now: datetime, intent: Intent | None = None) -> Publication:
        """Show the latest assessment of a car. One that is shown already, alike, stays as it is.

        Raises NotFound, NotPublishable, KeyReused.
        """
        try:
            return self._publish(assessment_id, shown, now, intent)
        except IntegrityError:  # sent twice at once: the other one was first
            return self._publish(assessment_id, shown, now, intent)

    def _publish(self, assessment_id: str, shown: Shown, now: datetime, intent: Intent | None) -> Publication:
        with writing(self.engine) as session:
            known = made_by(session, self.account_id, intent)
            if known is not None:
                return publication(self._row(session, known))
            car_id = self._checked(session, assessment_id)
            row = self._shown_already(session, assessment_id, shown)
            if row is None:
                row = self._new(car_id, assessment_id, shown, now)
                session.add(row)
                session.flush()
                append_event(session, self.account_id, PUBLISHED, _told(row), now)
            remember(session, self.account_id, intent, row.id)
            return publication(row)

    def _checked(self, session: Session, assessment_id: str) -> str:
        """The car of an assessment that may be shown; two who publish one car at once take turns."""
        version = version_of(session, assessment_id, self.account_id)
        session.execute(select(CarRow.id).where(CarRow.id == version.car_id).with_for_update())
        if version.trial:
            mend = told("Assess the car with a key that is not for trials.")
            raise _refused(told("This was made with a trial key."), mend)
        if latest_of(session, assessment_id, self.account_id) != assessment_id:
            raise _refused(told("A later assessment of this car exists."), told("Publish the latest one."))
        return version.car_id

    def _shown_already(self, session: Session, assessment_id: str, shown: Shown) -> PublicationRow | None:
        same = PublicationRow.assessment_id == assessment_id, PublicationRow.withdrawn_at.is_(None)
        row = session.scalar(select(PublicationRow).where(*same))
        if row is not None and publication(row).shown != shown:
            mend = told("Withdraw that publication first.")
            raise _refused(told("This assessment is published already, otherwise."), mend)
        return row

    def _new(self, car_id: str, assessment_id: str, shown: Shown, now: datetime) -> PublicationRow:
        return PublicationRow(
            id=new_id(),
            token=secrets.token_urlsafe(32),
            account_id=self.account_id,
            car_id=car_id,
            assessment_id=assessment_id,
            looked_by=shown.looked_by,
            content=shown.content,
            photos="\n".join(shown.photos),
            indexed=shown.indexed,
            published_at=now,
            withdrawn_at=None,
            withdrawn_because=None,
        )

    def get(self, identifier: str) -> Publication:
        """Raises NotFound."""
        with Session(self.engine) as session:
            return publication(self._row(session, identifier))

    def page(self, limit: int, after: str | None = None) -> list[Publication]:
        """At most `limit`, newest first, from the one behind the id `after`. An unknown id gives an empty page."""
        wanted = select(PublicationRow).where(PublicationRow.account_id == self.account_id)
        with Session(self.engine) as session:
            if after is not None:
                last = session.get(PublicationRow, after)
                if last is None or last.account_id != self.account_id:
                    return []
                order = tuple_(PublicationRow.published_at, PublicationRow.id)
                wanted = wanted.where(order < tuple_(literal(last.published_at, UtcTime), last.id))
            newest = wanted.order_by(PublicationRow.published_at.desc(), PublicationRow.id.desc())
            return [publication(row) for row in session.scalars(newest.limit(limit))]

    def withdraw(self, identifier: str, because: str, now: datetime) -> Publication:
        """Withdraw it; the first reason stays. Raises NotFound."""
        with writing(self.engine) as session:
            row = self._row(session, identifier)
            if row.withdrawn_at is None:
                row.withdrawn_at, row.withdrawn_because = now, because
                append_event(session, self.account_id, WITHDRAWN, _told(row), now)
            return publication(row)

    def _row(self, session: Session, identifier: str) -> PublicationRow:
        row = session.get(PublicationRow, identifier)
        if row is None or row.account_id != self.account_id:
            raise NotFound("publication", identifier)
        return row


def publication(row: PublicationRow) -> Publication:
    """The record of a row."""
    return Publication(
        id=row.id,
        token=row.token,
        account_id=row.account_id,
        car_id=row.car_id,
        assessment_id=row.assessment_id,
        published_at=row.published_at,
        withdrawn_at=row.withdrawn_at,
        withdrawn_because=row.withdrawn_because,
        shown=Shown(row.looked_by, bytes(row.content), tuple(row.photos.split()), row.indexed),
    )


def superseding(of: Publication, published: Sequence[Publication]) -> Publication | None:
    """The newest publication of the same car, not withdrawn, that came after this one."""
    later = [each for each in published if each.published_at > of.published_at and each.withdrawn_at is None]
    return max(later, key=lambda each: each.published_at, default=None)


def _refused(message: Sentence, mend: Sentence) -> NotPublishable:
    return NotPublishable(at_fault("/assessment_id", message, mend))


def _told(row: PublicationRow) -> dict[str, object]:
    """What webhooks hear: ids and links, never the address that nobody can guess."""
    links = {"publication": f"/v1/publications/{row.id}", "assessment": f"/v1/assessments/{row.assessment_id}"}
    return {"publication_id": row.id, "assessment_id": row.assessment_id, "links": links}
