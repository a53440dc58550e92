"""Knowledge packs that are no longer to be relied on. What was made with them stays as it is, and is marked."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Engine, select
from sqlalchemy.orm import Session

from riskapi.domain.sentence import at_fault, told
from riskapi.errors import InputError, NotFound
from riskapi.storage.database import writing
from riskapi.storage.inserts import insert_once
from riskapi.storage.models import AccountRow, AssessmentRow, BelongingRow, KnowledgeRow, RecallRow
from riskapi.storage.outbox import RECALLED, append_event

LONGEST_REASON = 1_000  # characters
SHORTEST_DIGEST = 8


@dataclass(frozen=True, slots=True)
class Recall:
    """`digest` and `version` are those of the pack, `assessments` the ids of those made with it that were asked for."""

    digest: str
    version: str
    reason: str
    recalled_at: datetime
    assessments: tuple[str, ...] = ()


def recall(engine: Engine, digest: str, reason: str, now: datetime) -> Recall:
    """Recall the pack with this digest (its first 8 digits or more are enough where they are of one pack), and tell
    every account that used it. The first recall of a pack stands. Raises InputError, NotFound."""
    _check(digest, reason)
    with writing(engine) as session:
        pack = _only(session, digest)
        known = session.get(RecallRow, pack.digest)
        insert_once(session, RecallRow, {"digest": pack.digest, "reason": reason.strip(), "recalled_at": now})
        row = session.get_one(RecallRow, pack.digest)
        made = Recall(pack.digest, pack.version, row.reason, row.recalled_at)
        if known is None:
            _tell(session, made, now)
        return made


def recalls(engine: Engine, account_id: str | None = None) -> list[Recall]:
    """All recalls, the newest first, with the assessments of one account that were made with them, or of all."""
    wanted = select(RecallRow, KnowledgeRow.version).join(KnowledgeRow, KnowledgeRow.digest == RecallRow.digest)
    with Session(engine) as session:
        rows = session.execute(wanted.order_by(RecallRow.recalled_at.desc(), RecallRow.digest)).all()
        return [
            Recall(row.digest, version, row.reason, row.recalled_at, _made_with(session, row.digest, account_id))
            for row, version in rows
        ]


def recalled(engine: Engine, digests: Iterable[str]) -> dict[str, Recall]:
    """The recalls of those of these packs that were recalled, by digest."""
    wanted = select(RecallRow, KnowledgeRow.version).join(KnowledgeRow, KnowledgeRow.digest == RecallRow.digest)
    with Session(engine) as session:
        rows = session.execute(wanted.where(RecallRow.digest.in_(set(digests))))
        return {row.digest: Recall(row.digest, version, row.reason, row.recalled_at) for row, version in rows}


def _check(digest: str, reason: str) -> None:
    faults = []
    if len(digest) < SHORTEST_DIGEST:
        mend = told("Give at least {count:d} digits of it.", count=SHORTEST_DIGEST)
        faults.append(at_fault("digest", told("This is too short."), mend))
    if not reason.strip() or len(reason) > LONGEST_REASON or not reason.isprintable():
        mend = told("Give 1 to {most:,d} printable characters.", most=LONGEST_REASON)
        faults.append(at_fault("reason", told("This is no reason."), mend))
    if faults:
        raise InputError(faults)


def _only(session: Session, digest: str) -> KnowledgeRow:
    found = session.scalars(select(KnowledgeRow).where(KnowledgeRow.digest.startswith(digest, autoescape=True))).all()
    if len(found) != 1:
        raise NotFound("knowledge pack", digest)
    return found[0]


def _made_with(session: Session, digest: str, account_id: str | None) -> tuple[str, ...]:
    wanted = select(AssessmentRow.id).join(BelongingRow).where(AssessmentRow.knowledge_digest == digest)
    if account_id is not None:
        wanted = wanted.where(BelongingRow.account_id == account_id)
    return tuple(session.scalars(wanted.order_by(AssessmentRow.created_at, AssessmentRow.id)))


def _tell(session: Session, told: Recall, now: datetime) -> None:
    for account_id in session.scalars(select(AccountRow.id).order_by(AccountRow.id)).all():
        if assessments := _made_with(session, told.digest, account_id):
            data = {"digest": told.digest, "version": told.version, "reason": told.reason}
            append_event(session, account_id, RECALLED, {**data, "assessments": len(assessments)}, now)
