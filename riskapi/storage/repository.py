"""Keeping assessments: added whole in one transaction, read back byte for byte, never changed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, Engine, Insert, literal, select, text, tuple_
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from riskapi.errors import NotFound, Overtaken
from riskapi.storage.accounts import LOCAL, Account
from riskapi.storage.cars import (
    FINDINGS,
    NEW,
    NOTHING,
    RESCORE,
    Following,
    Standing,
    Version,
    add_version,
    latest_of,
    standings,
    version_of,
    versions_of,
)
from riskapi.storage.database import writing
from riskapi.storage.intents import Intent, made_by, remember
from riskapi.storage.models import AssessmentRow, Base, BelongingRow, DocumentRow, KnowledgeRow, UtcTime
from riskapi.storage.outbox import CREATED, FINDINGS_ADDED, RESCORED, append_event


@dataclass(frozen=True, slots=True)
class Knowledge:
    """A knowledge pack as it is kept: `content` is a ZIP of its files."""

    digest: str
    version: str
    content: bytes = field(repr=False)


@dataclass(frozen=True, slots=True)
class StoredAssessment:
    """An assessment as it is kept: the case in canonical JSON and the result as it was sent."""

    id: str
    created_at: datetime
    reference: str | None
    knowledge_digest: str
    program_version: str
    case_json: bytes = field(repr=False)
    result_json: bytes = field(repr=False)


class Repository:
    """All that one account keeps, behind one engine. Every method is one transaction.

    What belongs to another account does not exist here.
    """

    def __init__(self, engine: Engine, account_id: str = LOCAL, trial: bool = False) -> None:
        self.engine, self.account_id, self.trial = engine, account_id, trial

    def of(self, account: Account) -> Repository:
        """The same for another account."""
        return Repository(self.engine, account.id, account.trial)

    def add(
        self,
        assessment: StoredAssessment,
        knowledge: Knowledge,
        documents: Mapping[str, bytes],
        intent: Intent | None = None,
        follows: Following = NOTHING,
    ) -> StoredAssessment:
        """Keep an assessment, its knowledge pack (once per digest) and its documents by name: all or nothing. It is the
        next version of the car of what it follows.

        Returns it, or the one that the same intent made before. Raises NotFound, Overtaken.
        """
        try:
            self._add(assessment, knowledge, documents, intent, follows)
        except IntegrityError:
            earlier = None if intent is None else self.made_by(intent)
            if earlier is None and follows.previous_id is not None:
                raise Overtaken("assessment", follows.previous_id) from None
            if earlier is None:
                raise
            return earlier
        return assessment

    def made_by(self, intent: Intent) -> StoredAssessment | None:
        """What this intent has made already. Raises KeyReused when its key was used for another body."""
        with Session(self.engine) as session:
            made_id = made_by(session, self.account_id, intent)
        return None if made_id is None else self.get(made_id)

    def _add(
        self,
        assessment: StoredAssessment,
        knowledge: Knowledge,
        documents: Mapping[str, bytes],
        intent: Intent | None,
        follows: Following,
    ) -> None:
        with writing(self.engine) as session:
            session.execute(self._once(knowledge, assessment.created_at))
            session.add(AssessmentRow(**_values(assessment)))
            session.flush()
            mine = {"assessment_id": assessment.id, "account_id": self.account_id}
            session.add(BelongingRow(**mine))
            follows = replace(follows, trial=self.trial)
            version = add_version(session, assessment.id, self.account_id, follows, assessment.created_at)
            remember(session, self.account_id, intent, assessment.id)
            session.add_all(_document_rows(assessment.id, documents.items()))
            append_event(session, self.account_id, _EVENTS[version.origin], _told(version), assessment.created_at)

    def get(self, identifier: str) -> StoredAssessment:
        """Raises NotFound."""
        wanted = select(AssessmentRow).join(BelongingRow).where(AssessmentRow.id == identifier, self._mine())
        with Session(self.engine) as session:
            row = session.scalar(wanted)
            if row is None:
                raise NotFound("assessment", identifier)
            return _stored(row)

    def version(self, identifier: str) -> Version:
        """Which assessment of its car this is. Raises NotFound."""
        with Session(self.engine) as session:
            return version_of(session, identifier, self.account_id)

    def latest(self, identifier: str) -> StoredAssessment:
        """The latest version of the car of this assessment. Raises NotFound."""
        with Session(self.engine) as session:
            latest_id = latest_of(session, identifier, self.account_id)
        return self.get(latest_id)

    def standings(self, assessments: Iterable[StoredAssessment]) -> dict[str, Standing]:
        """Where assessments of this account stand among those of their cars, by id; the other versions too."""
        with Session(self.engine) as session:
            return standings(session, [each.id for each in assessments])

    def versions(self, car_id: str) -> list[Version]:
        """All versions of a car, the first one first; none for a car of another account."""
        with Session(self.engine) as session:
            return versions_of(session, car_id, self.account_id)

    def page(self, limit: int, after: str | None = None, reference: str | None = None) -> list[StoredAssessment]:
        """At most `limit` assessments, newest first, from the one behind the id `after`; with this reference only, if
        one is given. An unknown id gives an empty page."""
        wanted = select(AssessmentRow).join(BelongingRow).where(self._mine())
        if reference is not None:
            wanted = wanted.where(AssessmentRow.reference == reference)
        order = tuple_(AssessmentRow.created_at, AssessmentRow.id)
        with Session(self.engine) as session:
            if after is not None:
                named = select(AssessmentRow).join(BelongingRow).where(AssessmentRow.id == after, self._mine())
                last = session.scalar(named)
                if last is None:
                    return []
                wanted = wanted.where(order < tuple_(literal(last.created_at, UtcTime), last.id))
            newest = wanted.order_by(AssessmentRow.created_at.desc(), AssessmentRow.id.desc())
            return [_stored(row) for row in session.scalars(newest.limit(limit))]

    def document(self, identifier: str, name: str) -> bytes:
        """The bytes of one document of an assessment. Raises NotFound."""
        named = DocumentRow.assessment_id == identifier, DocumentRow.name == name
        joined = select(DocumentRow.content).join(BelongingRow, BelongingRow.assessment_id == DocumentRow.assessment_id)
        with Session(self.engine) as session:
            content = session.scalar(joined.where(*named, self._mine()))
        if content is None:
            self.get(identifier)
            raise NotFound(f"document of the assessment {identifier}", name)
        return bytes(content)

    def kept(self, identifier: str, name: str) -> bytes | None:
        """The bytes of a document of an assessment; None where it is not kept. Raises NotFound for the assessment."""
        try:
            return self.document(identifier, name)
        except NotFound:
            self.get(identifier)
            return None

    def keep(self, identifier: str, name: str, content: bytes) -> bytes:
        """Keep a document of an assessment, unless one of this name is kept already; the bytes that are kept. Raises
        NotFound."""
        self.get(identifier)
        values = {"assessment_id": identifier, "name": name, "content": content}
        with writing(self.engine) as session:
            session.execute(self._insert(DocumentRow).values(values).on_conflict_do_nothing())
        return self.document(identifier, name)

    def knowledge(self, digest: str) -> Knowledge:
        """A knowledge pack that some assessment used. Raises NotFound."""
        with Session(self.engine) as session:
            row = session.get(KnowledgeRow, digest)
            if row is None:
                raise NotFound("knowledge pack", digest)
            return Knowledge(row.digest, row.version, row.content)

    def ping(self) -> None:
        """Raises what the database driver raises when the database cannot be reached."""
        with self.engine.connect() as connection:
            connection.execute(text("SELECT 1"))

    def _mine(self) -> ColumnElement[bool]:
        return BelongingRow.account_id == self.account_id

    def _once(self, knowledge: Knowledge, at: datetime) -> Insert:
        values = {
            "digest": knowledge.digest,
            "version": knowledge.version,
            "content": knowledge.content,
            "first_used_at": at,
        }
        return self._insert(KnowledgeRow).values(values).on_conflict_do_nothing()

    def _insert(self, table: type[Base]) -> postgresql.Insert | sqlite.Insert:
        return postgresql.insert(table) if self.engine.dialect.name == "postgresql" else sqlite.insert(table)


_EVENTS = {NEW: CREATED, FINDINGS: FINDINGS_ADDED, RESCORE: RESCORED}


def _told(version: Version) -> dict[str, object]:
    """What webhooks hear of a new version: ids and links."""
    path = f"/v1/assessments/{version.assessment_id}"
    told: dict[str, object] = {"assessment_id": version.assessment_id, "car_id": version.car_id}
    told |= {"version": version.number, "trial": version.trial, "links": {"assessment": path}}
    return told if version.previous_id is None else {**told, "previous_id": version.previous_id}


_COLUMNS = tuple(StoredAssessment.__slots__)


def _stored(row: AssessmentRow) -> StoredAssessment:
    return StoredAssessment(**{name: getattr(row, name) for name in _COLUMNS})


def _values(assessment: StoredAssessment) -> dict[str, Any]:
    return {name: getattr(assessment, name) for name in _COLUMNS}


def _document_rows(identifier: str, documents: Iterable[tuple[str, bytes]]) -> list[DocumentRow]:
    return [DocumentRow(assessment_id=identifier, name=name, content=content) for name, content in documents]
