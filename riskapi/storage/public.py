"""What the public sees, by a token that nobody can guess: no account is asked for."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import Engine, func, select
from sqlalchemy.orm import Session

from riskapi.errors import NotFound, TooMany
from riskapi.storage.database import writing
from riskapi.storage.models import AssessmentRow, DisputeRow, PhotoRow, PublicationRow, RecallRow, VersionRow, new_id
from riskapi.storage.outbox import DISPUTED, append_event
from riskapi.storage.publications import Publication, publication

DISPUTES_A_DAY = 10  # of one publication
_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Assessed:
    """One assessment of the car, published or not."""

    assessment_id: str
    number: int
    origin: str
    assessed_at: datetime


@dataclass(frozen=True, slots=True)
class Dispute:
    """What a reader said, and what the publisher answered; a removed one has no text any more."""

    id: str
    publication_id: str
    text: str
    created_at: datetime
    reply: str | None = None
    replied_at: datetime | None = None
    removed_at: datetime | None = None
    removed_because: str | None = None


@dataclass(frozen=True, slots=True)
class PublicView:
    """A publication with all assessments of its car (the first one first), all its publications (likewise), what
    readers say, why its knowledge pack was recalled, if it was, and which of its photos are there to be seen."""

    publication: Publication
    assessed: tuple[Assessed, ...]
    published: tuple[Publication, ...]
    disputes: tuple[Dispute, ...]
    recalled_because: str | None
    photos: tuple[str, ...]


class Public:
    """The publications of all accounts by their tokens."""

    def __init__(self, engine: Engine) -> None:
        self.engine = engine

    def view(self, token: str) -> PublicView:
        """Raises NotFound."""
        with Session(self.engine) as session:
            row = _by_token(session, token)
            published = select(PublicationRow).where(PublicationRow.car_id == row.car_id)
            recall = select(RecallRow.reason).join(AssessmentRow, AssessmentRow.knowledge_digest == RecallRow.digest)
            return PublicView(
                publication=publication(row),
                assessed=_assessed(session, row.car_id),
                published=tuple(map(publication, session.scalars(published.order_by(PublicationRow.published_at)))),
                disputes=disputes_of(session, row.id),
                recalled_because=session.scalar(recall.where(AssessmentRow.id == row.assessment_id)),
                photos=_photos(session, row),
            )

    def photo(self, token: str, identifier: str) -> bytes:
        """A photo that this publication shows. Raises NotFound."""
        with Session(self.engine) as session:
            if identifier in _photos(session, _by_token(session, token)):
                return bytes(session.get_one(PhotoRow, identifier).content or b"")
        raise NotFound("photo", identifier)

    def dispute(self, token: str, text: str, now: datetime) -> Dispute:
        """Keep what a reader says. Raises NotFound, TooMany."""
        with writing(self.engine) as session:
            row = _by_token(session, token)
            lately = DisputeRow.publication_id == row.id, DisputeRow.created_at > now - _DAY
            if (session.scalar(select(func.count()).where(*lately)) or 0) >= DISPUTES_A_DAY:
                raise TooMany("disputes of one publication", DISPUTES_A_DAY)
            made = DisputeRow(id=new_id(), publication_id=row.id, text=text, created_at=now)
            session.add(made)
            session.flush()
            links = {"publication": f"/v1/publications/{row.id}", "disputes": f"/v1/publications/{row.id}/disputes"}
            told = {"publication_id": row.id, "dispute_id": made.id, "links": links}
            append_event(session, row.account_id, DISPUTED, told, now)
            return _dispute(made)


class Disputes:
    """What readers say against the publications of one account; the operator's are all."""

    def __init__(self, engine: Engine, account_id: str) -> None:
        self.engine, self.account_id = engine, account_id

    def of(self, publication_id: str) -> tuple[Dispute, ...]:
        """Raises NotFound."""
        with Session(self.engine) as session:
            row = session.get(PublicationRow, publication_id)
            if row is None or row.account_id != self.account_id:
                raise NotFound("publication", publication_id)
            return disputes_of(session, publication_id)

    def get(self, dispute_id: str, *, anybodys: bool = False) -> Dispute:
        """One of this account's publications, or of anybody's. Raises NotFound."""
        with Session(self.engine) as session:
            return _dispute(self._row(session, dispute_id, anybodys=anybodys))

    def _row(self, session: Session, dispute_id: str, *, anybodys: bool = False) -> DisputeRow:
        row = session.get(DisputeRow, dispute_id)
        shown = None if row is None else session.get(PublicationRow, row.publication_id)
        if row is None or shown is None or not (anybodys or shown.account_id == self.account_id):
            raise NotFound("dispute", dispute_id)
        return row

    def reply(self, dispute_id: str, text: str, now: datetime) -> Dispute:
        """What the publisher answers; a later answer replaces it. Raises NotFound."""
        with writing(self.engine) as session:
            row = self._row(session, dispute_id)
            row.reply, row.replied_at = text, now
            return _dispute(row)

    def remove(self, dispute_id: str, because: str, now: datetime) -> Dispute:
        """Remove the text of any account's dispute; that there was one, and why it went, stays. Raises NotFound."""
        with writing(self.engine) as session:
            row = self._row(session, dispute_id, anybodys=True)
            row.text, row.removed_at, row.removed_because = "", now, because
            return _dispute(row)


def disputes_of(session: Session, publication_id: str) -> tuple[Dispute, ...]:
    """What readers said against a publication, the first one first."""
    wanted = select(DisputeRow).where(DisputeRow.publication_id == publication_id)
    return tuple(map(_dispute, session.scalars(wanted.order_by(DisputeRow.created_at, DisputeRow.id))))


def _photos(session: Session, row: PublicationRow) -> tuple[str, ...]:
    """Those that the publisher chose, while the page is not withdrawn and they are not erased."""
    chosen = [] if row.withdrawn_at is not None else row.photos.split()
    mine = PhotoRow.id.in_(chosen), PhotoRow.account_id == row.account_id, PhotoRow.content.is_not(None)
    there = set(session.scalars(select(PhotoRow.id).where(*mine)))
    return tuple(photo for photo in chosen if photo in there)


def _assessed(session: Session, car_id: str) -> tuple[Assessed, ...]:
    joined = select(VersionRow, AssessmentRow.created_at).join(
        AssessmentRow, AssessmentRow.id == VersionRow.assessment_id
    )
    rows = session.execute(joined.where(VersionRow.car_id == car_id).order_by(VersionRow.number))
    return tuple(Assessed(row.assessment_id, row.number, row.origin, at) for row, at in rows)


def _by_token(session: Session, token: str) -> PublicationRow:
    row = session.scalar(select(PublicationRow).where(PublicationRow.token == token))
    if row is None:
        raise NotFound("publication", "of this address")
    return row


def _dispute(row: DisputeRow) -> Dispute:
    return Dispute(**{name: getattr(row, name) for name in Dispute.__slots__})
