"""Keeping what happened after assessments, as it was told: added to, never changed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import datetime

from sqlalchemy import Engine, Select, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from riskapi.storage.accounts import LOCAL
from riskapi.storage.cars import version_of
from riskapi.storage.database import writing
from riskapi.storage.intents import Intent, made_by, remember
from riskapi.storage.models import OutcomeRow, new_id
from riskapi.storage.outbox import OUTCOME_TOLD, append_event

_AT_ONCE = 500  # rows that are held in memory while all are handed out


@dataclass(frozen=True, slots=True)
class StoredOutcome:
    """One telling, in canonical JSON."""

    id: str
    assessment_id: str
    created_at: datetime
    content: bytes = field(repr=False)


class Outcomes:
    """What one account was told, behind one engine."""

    def __init__(self, engine: Engine, account_id: str = LOCAL) -> None:
        self.engine, self.account_id = engine, account_id

    def add(self, assessment_id: str, content: bytes, now: datetime, intent: Intent | None = None) -> StoredOutcome:
        """Keep what was told about an assessment of this account. Raises NotFound, KeyReused."""
        try:
            return self._add(assessment_id, content, now, intent)
        except IntegrityError:  # sent twice at once: the other one was first
            return self._add(assessment_id, content, now, intent)

    def _add(self, assessment_id: str, content: bytes, now: datetime, intent: Intent | None) -> StoredOutcome:
        with writing(self.engine) as session:
            version_of(session, assessment_id, self.account_id)
            known = made_by(session, self.account_id, intent)
            row = None if known is None else session.get(OutcomeRow, known)
            if row is None:
                mine = {"id": new_id(), "assessment_id": assessment_id, "account_id": self.account_id}
                row = OutcomeRow(**mine, content=content, created_at=now)
                session.add(row)
                session.flush()
                remember(session, self.account_id, intent, row.id)
                told = {"assessment_id": assessment_id, "outcome_id": row.id}
                append_event(session, self.account_id, OUTCOME_TOLD, told, now)
            return _stored(row)

    def of(self, assessment_id: str) -> list[StoredOutcome]:
        """What was told about an assessment of this account, the first telling first. Raises NotFound."""
        wanted = select(OutcomeRow).where(OutcomeRow.assessment_id == assessment_id)
        with Session(self.engine) as session:
            version_of(session, assessment_id, self.account_id)
            rows = session.scalars(wanted.order_by(OutcomeRow.created_at, OutcomeRow.id))
            return [_stored(row) for row in rows]

    def all(self) -> Iterator[StoredOutcome]:
        """Everything this account was told, the first telling first, a few at a time."""
        wanted = select(OutcomeRow).where(OutcomeRow.account_id == self.account_id)
        yield from _each(self.engine, wanted)


def every_outcome(engine: Engine) -> Iterator[StoredOutcome]:
    """Everything that any account was told: for whoever runs the service."""
    yield from _each(engine, select(OutcomeRow))


def _each(engine: Engine, wanted: Select[OutcomeRow]) -> Iterator[StoredOutcome]:
    ordered = wanted.order_by(OutcomeRow.created_at, OutcomeRow.id)
    with Session(engine) as session:
        rows = session.scalars(ordered.execution_options(yield_per=_AT_ONCE))
        for row in rows:
            yield _stored(row)


def _stored(row: OutcomeRow) -> StoredOutcome:
    return StoredOutcome(row.id, row.assessment_id, row.created_at, bytes(row.content))
