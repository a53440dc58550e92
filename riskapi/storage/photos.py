"""Keeping photos: each belongs to an account, and findings name it by its id."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from typing import Protocol

from sqlalchemy import ColumnElement, Engine, and_, delete, select, update
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from riskapi.errors import NotFound
from riskapi.storage.accounts import LOCAL
from riskapi.storage.database import writing
from riskapi.storage.intents import Intent, made_by, remember
from riskapi.storage.models import AssessmentRow, BelongingRow, DocumentRow, PhotoRow, new_id


class Picture(Protocol):
    """What a photo is kept from."""

    @property
    def content(self) -> bytes: ...
    @property
    def digest(self) -> str: ...
    @property
    def width(self) -> int: ...
    @property
    def height(self) -> int: ...


@dataclass(frozen=True, slots=True)
class StoredPhoto:
    """A JPEG as it is kept; `digest` is the SHA-256 of its content, width and height are in pixels."""

    id: str
    digest: str
    width: int
    height: int
    content: bytes = field(repr=False)


class Photos:
    """The photos of one account, behind one engine. Every method is one transaction."""

    def __init__(self, engine: Engine, account_id: str = LOCAL) -> None:
        self.engine, self.account_id = engine, account_id

    def add(self, photo: Picture, now: datetime, intent: Intent | None = None) -> StoredPhoto:
        """Keep a photo, or find it where the account has the same one already. Raises KeyReused."""
        try:
            return self._add(photo, now, intent)
        except IntegrityError:  # sent twice at once: the other one was first
            return self._add(photo, now, intent)

    def _add(self, photo: Picture, now: datetime, intent: Intent | None) -> StoredPhoto:
        with writing(self.engine) as session:
            known = made_by(session, self.account_id, intent)
            same = PhotoRow.id == known if known else PhotoRow.digest == photo.digest
            row = session.scalar(select(PhotoRow).where(same, self._mine()).limit(1))
            if row is None:
                row = self._row(photo, now)
                session.add(row)
                session.flush()
            if known is None:
                remember(session, self.account_id, intent, row.id)
            return _stored(row)

    def _row(self, photo: Picture, now: datetime) -> PhotoRow:
        told = {name: getattr(photo, name) for name in ("content", "digest", "width", "height")}
        return PhotoRow(id=new_id(), account_id=self.account_id, created_at=now, **told)

    def get(self, identifier: str) -> StoredPhoto:
        """Raises NotFound, also when it was erased."""
        with Session(self.engine) as session:
            row = session.scalar(select(PhotoRow).where(PhotoRow.id == identifier, self._mine()))
            if row is None:
                raise NotFound("photo", identifier)
            return _stored(row)

    def some(self, identifiers: Iterable[str]) -> dict[str, bytes]:
        """The content of those of these photos that the account has."""
        wanted = select(PhotoRow.id, PhotoRow.content).where(PhotoRow.id.in_(set(identifiers)), self._mine())
        with Session(self.engine) as session:
            return {identifier: bytes(content or b"") for identifier, content in session.execute(wanted)}

    def unknown(self, identifiers: Iterable[str]) -> set[str]:
        """Those of these ids under which the account has no photo."""
        asked = set(identifiers)
        if not asked:
            return asked
        with Session(self.engine) as session:
            return asked - set(session.scalars(select(PhotoRow.id).where(PhotoRow.id.in_(asked), self._mine())))

    def at_hand(self, identifiers: Iterable[str]) -> set[str]:
        """Those of these ids whose picture the account has and nobody erased."""
        kept = select(PhotoRow.id).where(PhotoRow.id.in_(set(identifiers)), self._mine(), PhotoRow.content.is_not(None))
        with Session(self.engine) as session:
            return set(session.scalars(kept))

    def erase(self, identifier: str, now: datetime) -> None:
        """Remove the picture and the reports it was printed in; that there was one stays known. Raises NotFound."""
        gone = update(PhotoRow).where(PhotoRow.id == identifier, self._mine())
        with writing(self.engine) as session:
            found = session.execute(gone.values(content=None, erased_at=now).returning(PhotoRow.id)).all()
            if not found:
                raise NotFound("photo", identifier)
            for assessment in self._naming(session, identifier):
                shown = DocumentRow.assessment_id == assessment, DocumentRow.name.like("report.%")
                session.execute(delete(DocumentRow).where(*shown))

    def _naming(self, session: Session, identifier: str) -> list[str]:
        """Ids of the account's assessments with a kept report whose case names the photo."""
        printed = select(DocumentRow.assessment_id).where(DocumentRow.name.like("report.%"))
        mine = select(BelongingRow.assessment_id).where(BelongingRow.account_id == self.account_id)
        wanted = select(AssessmentRow.id, AssessmentRow.case_json)
        rows = session.execute(
            wanted.where(AssessmentRow.id.in_(printed), AssessmentRow.id.in_(mine)).execution_options(yield_per=100)
        )
        return [found for found, case in rows if f'"{identifier}"'.encode() in case]

    def _mine(self) -> ColumnElement[bool]:
        return and_(PhotoRow.account_id == self.account_id, PhotoRow.content.is_not(None))


def _stored(row: PhotoRow) -> StoredPhoto:
    return StoredPhoto(row.id, row.digest, row.width, row.height, bytes(row.content or b""))
