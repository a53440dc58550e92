"""Which assessment of its car an assessment is.

Assessments are never changed: what is found later, or what newer knowledge says, is the next version of the same car.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from riskapi.errors import NotFound, Overtaken
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
class Standing:
    """A version, and the id of the latest version of the same car."""

    version: Version
    latest_id: str


@dataclass(frozen=True, slots=True)
class Following:
    """What a new assessment follows on: an earlier one of the same account, or nothing (a new car). `only_latest`: it
    must not follow on one that has been followed on already."""

    previous_id: str | None = None
    origin: str = NEW
    trial: bool = False
    only_latest: bool = False


NOTHING = Following()


def add_version(session: Session, assessment_id: str, account_id: str, follows: Following, now: datetime) -> Version:
    """Enter an assessment as the next version of its car. Raises NotFound when it follows on nothing of this account,
    Overtaken when it follows on what must be the latest one and is not.

    Two that are entered at once meet at the unique (car, number): the later transaction fails whole with
    IntegrityError and can be tried again.
    """
    if follows.previous_id is None:
        car_id, number = _new_car(session, account_id, now), 1
    else:
        previous = version_of(session, follows.previous_id, account_id)
        latest = session.scalar(select(func.max(VersionRow.number)).where(VersionRow.car_id == previous.car_id)) or 0
        if follows.only_latest and latest != previous.number:
            raise Overtaken("assessment", follows.previous_id)
        car_id, number = previous.car_id, latest + 1
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


def latest_of(session: Session, assessment_id: str, account_id: str) -> str:
    """Id of the latest version of the car of this assessment. Raises NotFound."""
    car_id = version_of(session, assessment_id, account_id).car_id
    wanted = select(VersionRow.assessment_id).where(VersionRow.car_id == car_id)
    return session.scalars(wanted.order_by(VersionRow.number.desc()).limit(1)).one()


def standings(session: Session, assessment_ids: Iterable[str]) -> dict[str, Standing]:
    """Where each of these assessments stands among those of its car."""
    cars = select(VersionRow.car_id).where(VersionRow.assessment_id.in_(set(assessment_ids)))
    rows = session.scalars(select(VersionRow).where(VersionRow.car_id.in_(cars)).order_by(VersionRow.number)).all()
    latest = {row.car_id: row.assessment_id for row in rows}
    return {row.assessment_id: Standing(_version(row), latest[row.car_id]) for row in rows}


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
