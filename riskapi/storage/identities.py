"""Personal data, apart from everything else: kept beside an assessment, known again by keyed digests, erased for good.

A car is known again by its marks: keyed digests (HMAC-SHA-256) of its VIN and its plate, made for one account, so that
two accounts cannot be matched. The key is RISKAPI_IDENTITY_KEY, else one that is made once and kept in the database:
marks exist exactly as long as the identity beside them, so a key kept elsewhere protects no more of what is there.
"""

from __future__ import annotations

import hashlib
import hmac
import os
import secrets
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from sqlalchemy import Engine, delete, select
from sqlalchemy.orm import Session

from riskapi.errors import Fault, InputError, Overtaken
from riskapi.storage.cars import Following
from riskapi.storage.database import writing
from riskapi.storage.inserts import insert_once
from riskapi.storage.models import CarMarkRow, IdentityRow, SettingRow, VersionRow

SETTING = "RISKAPI_IDENTITY_KEY"
VIN, PLATE = "vin", "plate"
_LEAST = 32  # characters of a key that is set
_NAME = "identity_key"


@dataclass(frozen=True, slots=True)
class Mark:
    """A keyed digest by which a car is known again; `kind` is VIN or PLATE."""

    kind: str
    digest: str


@dataclass(frozen=True, slots=True)
class Personal:
    """What is kept apart: canonical JSON and the salt of its commitment. `inherited`: taken over from the version that
    is followed on."""

    salt: bytes = field(repr=False)
    content: bytes = field(repr=False)
    marks: tuple[Mark, ...] = field(default=(), repr=False)
    inherited: bool = False


@dataclass(frozen=True, slots=True)
class StoredIdentity:
    """`salt` and `content` are None once it was erased, at `erased_at`."""

    salt: bytes | None = field(repr=False)
    content: bytes | None = field(repr=False)
    erased_at: datetime | None


def matching_key(engine: Engine) -> bytes:
    """The key of the marks. Raises InputError when the one that is set is too short."""
    stated = os.environ.get(SETTING)
    if stated is not None:
        if len(stated) < _LEAST:
            mend = f"Set at least {_LEAST} random characters, or leave it out: then a key is made and kept."
            raise InputError([Fault(SETTING, f"This key has {len(stated)} characters.", mend)])
        return stated.encode()
    with Session(engine) as session:
        row = session.get(SettingRow, _NAME)
        if row is not None:
            return bytes(row.value)
    with writing(engine) as session:
        insert_once(session, SettingRow, {"name": _NAME, "value": secrets.token_bytes(32)})
        return bytes(session.get_one(SettingRow, _NAME).value)


def marks_of(key: bytes, account_id: str, vin: str | None, plate: str | None) -> tuple[Mark, ...]:
    """The marks of a car in an account. Blanks, signs and case of a plate do not count."""
    plain = "".join(filter(str.isalnum, (plate or "").casefold()))
    known = ((VIN, vin), (PLATE, plain))
    return tuple(Mark(kind, _digest(key, account_id, kind, value)) for kind, value in known if value)


def _digest(key: bytes, account_id: str, kind: str, value: str) -> str:
    return hmac.new(key, "\0".join((account_id, kind, value)).encode(), hashlib.sha256).hexdigest()


def add_identity(session: Session, assessment_id: str, personal: Personal | None, follows: Following) -> None:
    """Keep it beside its assessment. Raises Overtaken when it was taken over from a version and is erased there now."""
    if personal is None:
        return
    if personal.inherited and follows.previous_id is not None:
        before = session.get(IdentityRow, follows.previous_id, with_for_update={"read": True})
        if before is None or before.erased_at is not None:
            raise Overtaken("assessment", follows.previous_id)
    session.add(IdentityRow(assessment_id=assessment_id, salt=personal.salt, content=personal.content))


def known_car(session: Session, account_id: str, marks: Sequence[Mark]) -> str | None:
    """The car with these marks. A VIN decides; a plate does where one of the two cars has no VIN, since plates move."""
    rows = {mark.kind: session.get(CarMarkRow, (account_id, mark.digest)) for mark in marks}
    if (by_vin := rows.get(VIN)) is not None:
        return by_vin.car_id
    by_plate = rows.get(PLATE)
    if by_plate is None:
        return None
    has_vin = select(CarMarkRow.digest).where(CarMarkRow.car_id == by_plate.car_id, CarMarkRow.kind == VIN).limit(1)
    return None if VIN in rows and session.scalar(has_vin) is not None else by_plate.car_id


def mark_car(session: Session, account_id: str, car_id: str, marks: Iterable[Mark]) -> None:
    """From now on this car has these marks; a plate that another one had moves to it."""
    for mark in marks:
        row = session.get(CarMarkRow, (account_id, mark.digest))
        if row is None:
            session.add(CarMarkRow(account_id=account_id, digest=mark.digest, kind=mark.kind, car_id=car_id))
        else:
            row.car_id = car_id


def unmark(session: Session, car_ids: Iterable[str]) -> None:
    """Cars of which no identity is left are not known again."""
    left = (
        select(VersionRow.car_id)
        .join(IdentityRow, IdentityRow.assessment_id == VersionRow.assessment_id)
        .where(IdentityRow.erased_at.is_(None))
    )
    gone = CarMarkRow.car_id.in_(list(car_ids)), CarMarkRow.car_id.not_in(left)
    session.execute(delete(CarMarkRow).where(*gone))
