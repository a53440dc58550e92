"""Which assessment of its car an assessment is.

Assessments are never changed: what is found later, or what newer knowledge says, is the next version of the same car.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from riskapi.errors import NotFound
from riskapi.storage.models import BelongingRow, CarRow, VersionRow, new_id

NEW, FINDINGS, RESCORE = "new", "findings", "rescore"  # how a version came about


@dataclass(frozen=True, slots=True)
class Version:
    """One assessment of a car: `number` counts from 1, `previous_id` is the one it was made from, `trial` means that it
    was made to try things out and is never published."""

    assessment_id: str
    car_id: str
    number: int
    previous_id: str | None = None
    origin: str = NEW
    trial: bool = False


@dataclass(frozen=True, slots=True)
class Following:
    """What a new assessment follows on: an earlier one of the same account, or nothing (a new car)."""

    previous_id: str | None = None
    origin: str = NEW
    trial: bool = False


NOTHING = Following()


def add_version(session: Session, assessment_id: str, account_id: str, follows: Following, now: datetime) -> Version:
    """Enter an assessment as the next version of its car. Raises NotFound when it follows on nothing of this account.

    Two that are entered at once meet at the unique (car, number): the later transaction fails whole with
    IntegrityError and can be tried again.
    """
    if follows.previous_id is None:
        car_id, number = _new_car(session, account_id, now), 1
    else:
        car_id = version_of(session, follows.previous_id, account_id).car_id
        number = 1 + (session.scalar(select(func.max(VersionRow.number)).where(VersionRow.car_id == car_id)) or 0)
    version = Version(assessment_id, car_id, number, follows.previous_id, follows.origin, follows.trial)
    session.add(VersionRow(**{name: getattr(version, name) for name in Version.__slots__}))
    return version


def version_of(session: Session, assessment_id: str, account_id: str) -> Version:
    """Raises NotFound."""
    joined = select(VersionRow).join(BelongingRow, BelongingRow.assessment_id == VersionRow.assessment_id)
    row = session.scalar(joined.where(VersionRow.assessment_id == assessment_id, BelongingRow.account_id == account_id))
    if row is None:
        raise NotFound("assessment", assessment_id)
    return _version(row)


def versions_of(session: Session, car_id: str, account_id: str) -> list[Version]:
    """All versions of a car of this account, the first one first."""
    wanted = select(VersionRow).join(CarRow).where(CarRow.id == car_id, CarRow.account_id == account_id)
    return [_version(row) for row in session.scalars(wanted.order_by(VersionRow.number))]


def _new_car(session: Session, account_id: str, now: datetime) -> str:
    identifier = new_id()
    session.add(CarRow(id=identifier, account_id=account_id, created_at=now))
    session.flush()
    return identifier


def _version(row: VersionRow) -> Version:
    return Version(**{name: getattr(row, name) for name in Version.__slots__})
