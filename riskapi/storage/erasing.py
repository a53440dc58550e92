"""Erasing what is personal: on request for a car, and by age for everybody.

What is computed stays, with the commitments and with all that was signed. What goes: the identity, the salt of its
commitment, the marks of the car, the digests of requests (a VIN could be tried against them), photos that findings
name, and every kept document with the identity in it. Webhooks are told in the same transaction.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from contextlib import closing
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Engine, delete, select, update
from sqlalchemy.orm import Session

from riskapi.storage.cars import version_of
from riskapi.storage.database import writing
from riskapi.storage.identities import unmark
from riskapi.storage.models import (
    AssessmentRow,
    BelongingRow,
    DocumentRow,
    IdentityRow,
    PhotoRow,
    VersionRow,
    WrittenRow,
)
from riskapi.storage.outbox import ERASED, append_event

FORGOTTEN = "erased"  # in the place of the digest of a request: equal to none, so a key sent again is refused


@dataclass(frozen=True, slots=True)
class Erased:
    """What went: ids of assessments whose identity was erased, and how many photos."""

    assessments: tuple[str, ...] = ()
    photos: int = 0


def erase_identity(engine: Engine, account_id: str, assessment_id: str, now: datetime) -> Erased:
    """Erase what is personal of the car of this assessment, in all its versions. Again it changes nothing. Raises
    NotFound."""
    with writing(engine) as session:
        car_id = version_of(session, assessment_id, account_id).car_id
        versions = session.scalars(select(VersionRow.assessment_id).where(VersionRow.car_id == car_id)).all()
        return _erase(session, account_id, versions, now, _photos_of(session, versions))


def erase_older(engine: Engine, before: datetime, now: datetime) -> Erased:
    """Erase what is personal of assessments, and photos, made before this instant, in all accounts; account by account,
    each in a transaction of its own."""
    aged = AssessmentRow.created_at < before, IdentityRow.erased_at.is_(None)
    joined = select(BelongingRow.account_id, IdentityRow.assessment_id).join(
        BelongingRow, BelongingRow.assessment_id == IdentityRow.assessment_id
    )
    wanted = joined.join(AssessmentRow, AssessmentRow.id == IdentityRow.assessment_id).where(*aged)
    with Session(engine) as session:
        due = [(account, assessment) for account, assessment in session.execute(wanted)]
    done = [
        _erase_some(engine, account_id, [assessment for owner, assessment in due if owner == account_id], now)
        for account_id in sorted({owner for owner, _ in due})
    ]
    return Erased(tuple(name for each in done for name in each.assessments), _erase_photos_older(engine, before, now))


def all_erased(engine: Engine) -> list[tuple[str, datetime]]:
    """Ids of the assessments whose identity was erased, with when; oldest first."""
    wanted = select(IdentityRow.assessment_id, IdentityRow.erased_at).where(IdentityRow.erased_at.is_not(None))
    with Session(engine) as session:
        rows = session.execute(wanted.order_by(IdentityRow.erased_at, IdentityRow.assessment_id))
        return [(identifier, at) for identifier, at in rows if at is not None]


def compact(engine: Engine, *, whole: bool = False) -> None:
    """Let go of what was erased. On SQLite the log is emptied into the file, where erased bytes were overwritten with
    zeros; `whole` also writes the file anew. On PostgreSQL `whole` frees the rows for reuse."""
    if engine.dialect.name == "sqlite":
        with closing(engine.raw_connection()) as raw:  # outside of a transaction, which a vacuum needs
            cursor = raw.cursor()
            for step in ("VACUUM",) * whole + ("PRAGMA wal_checkpoint(TRUNCATE)",):
                cursor.execute(step)
            cursor.close()
    elif whole:
        with engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
            connection.exec_driver_sql("VACUUM")


def _erase_some(engine: Engine, account_id: str, assessments: Sequence[str], now: datetime) -> Erased:
    with writing(engine) as session:
        return _erase(session, account_id, assessments, now, ())


def _erase(
    session: Session, account_id: str, assessments: Sequence[str], now: datetime, photos: Iterable[str]
) -> Erased:
    """Erase the identity of these assessments of an account, and these photos."""
    mine = IdentityRow.assessment_id.in_(assessments), IdentityRow.erased_at.is_(None)
    gone = update(IdentityRow).where(*mine).values(salt=None, content=None, erased_at=now)
    erased = tuple(sorted(session.scalars(gone.returning(IdentityRow.assessment_id)).all()))
    pictures = PhotoRow.id.in_(list(photos)), PhotoRow.account_id == account_id, PhotoRow.erased_at.is_(None)
    removed = update(PhotoRow).where(*pictures).values(content=None, erased_at=now).returning(PhotoRow.id)
    count = len(session.scalars(removed).all())
    _forget(session, account_id, assessments if count else erased)
    if erased:
        _tell(session, account_id, erased, now)
    return Erased(erased, count)


def _forget(session: Session, account_id: str, assessments: Sequence[str]) -> None:
    """What else tells of the identity of these assessments."""
    wrote = WrittenRow.account_id == account_id, WrittenRow.made_id.in_(assessments)
    session.execute(update(WrittenRow).where(*wrote).values(body_digest=FORGOTTEN))
    told = DocumentRow.name.like("%.pdf"), DocumentRow.name.not_like("%.erased.%")
    session.execute(delete(DocumentRow).where(DocumentRow.assessment_id.in_(assessments), *told))
    unmark(session, _cars(session, assessments))


def _tell(session: Session, account_id: str, erased: Sequence[str], now: datetime) -> None:
    """One event for each car."""
    rows = session.execute(
        select(VersionRow.car_id, VersionRow.assessment_id).where(VersionRow.assessment_id.in_(erased))
    ).all()
    for car_id in sorted({car for car, _ in rows}):
        ids = sorted(assessment for car, assessment in rows if car == car_id)
        append_event(session, account_id, ERASED, {"car_id": car_id, "assessment_ids": ids}, now)


def _cars(session: Session, assessments: Sequence[str]) -> set[str]:
    return set(session.scalars(select(VersionRow.car_id).where(VersionRow.assessment_id.in_(assessments))))


def _photos_of(session: Session, assessments: Sequence[str]) -> set[str]:
    """Ids of the photos that findings of these assessments name."""
    cases = session.scalars(select(AssessmentRow.case_json).where(AssessmentRow.id.in_(assessments)))
    findings = (finding for case in cases for finding in json.loads(case).get("findings", []))
    return {photo for finding in findings for photo in finding.get("photos", [])}


def _erase_photos_older(engine: Engine, before: datetime, now: datetime) -> int:
    aged = PhotoRow.created_at < before, PhotoRow.erased_at.is_(None)
    with writing(engine) as session:
        gone = update(PhotoRow).where(*aged).values(content=None, erased_at=now).returning(PhotoRow.id)
        return len(session.scalars(gone).all())
