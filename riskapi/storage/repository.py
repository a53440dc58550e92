"""Keeping assessments: added whole in one transaction, read back byte for byte, never changed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, Engine, literal, select, tuple_
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
from riskapi.storage.identities import (
    Mark,
    Personal,
    StoredIdentity,
    add_identity,
    known_car,
    mark_car,
    marks_of,
    matching_key,
)
from riskapi.storage.inserts import insert_once
from riskapi.storage.intents import Intent, made_by, remember
from riskapi.storage.models import AssessmentRow, BelongingRow, DocumentRow, IdentityRow, KnowledgeRow, UtcTime
from riskapi.storage.outbox import CREATED, FINDINGS_ADDED, RESCORED, append_event
from riskapi.storage.recalls import Recall, recalled

MEETINGS = 10  # how often one may meet others who add the same car at once


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
        personal: Personal | None = None,
    ) -> StoredAssessment:
        """Keep an assessment, its knowledge pack (once per digest), its documents by name, and what is personal in it
        apart: all or nothing. It is the next version of the car of what it follows, or of the car with its marks.

        Returns it, or the one that the same intent made before. Raises NotFound, Overtaken.
        """
        marked = personal is not None and bool(personal.marks)
        for last in (*[False] * (MEETINGS if marked else 0), True):
            try:
                self._add(assessment, knowledge, documents, intent, follows, personal)
            except IntegrityError:
                earlier = None if intent is None else self.made_by(intent)
                if earlier is not None:
                    return earlier
                if follows.previous_id is not None:
                    raise Overtaken("assessment", follows.previous_id) from None
                if last:
                    raise
            else:
                break
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
        personal: Personal | None,
    ) -> None:
        with writing(self.engine) as session:
            _keep_knowledge(session, knowledge, assessment.created_at)
            session.add(AssessmentRow(**_values(assessment)))
            session.flush()
            mine = {"assessment_id": assessment.id, "account_id": self.account_id}
            session.add(BelongingRow(**mine))
            add_identity(session, assessment.id, personal, follows)
            marks = () if personal is None else personal.marks
            follows = replace(self._known(session, marks) if follows == NOTHING else follows, trial=self.trial)
            version = add_version(session, assessment.id, self.account_id, follows, assessment.created_at)
            session.flush()
            mark_car(session, self.account_id, version.car_id, marks)
            remember(session, self.account_id, intent, assessment.id)
            session.add_all(_document_rows(assessment.id, documents.items()))
            append_event(session, self.account_id, _EVENTS[version.origin], _told(version), assessment.created_at)

    def _known(self, session: Session, marks: Sequence[Mark]) -> Following:
        """The latest version of the car with these marks, else nothing."""
        car_id = known_car(session, self.account_id, marks)
        return NOTHING if car_id is None else Following(versions_of(session, car_id, self.account_id)[-1].assessment_id)

    def identity(self, identifier: str) -> StoredIdentity | None:
        """What is kept apart of an assessment; None where there never was anything. Raises NotFound."""
        self.get(identifier)
        with Session(self.engine) as session:
            row = session.get(IdentityRow, identifier)
            return None if row is None else StoredIdentity(row.salt, row.content, row.erased_at)

    def marks(self, vin: str | None, plate: str | None) -> tuple[Mark, ...]:
        """By what a car with this VIN or plate is known again in this account. Raises InputError (matching_key)."""
        return marks_of(matching_key(self.engine), self.account_id, vin, plate) if vin or plate else ()

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

    def keep(self, identifier: str, name: str, content: bytes, *, personal: bool = False) -> bytes | None:
        """Keep a document of an assessment, unless one of this name is kept already; the bytes that are kept.

        `personal`: the identity is printed in it, and None is answered, with nothing kept, when that was erased in
        between. Raises NotFound.
        """
        self.get(identifier)
        with writing(self.engine) as session:
            if personal and _erased(session, identifier):
                return None
            insert_once(session, DocumentRow, {"assessment_id": identifier, "name": name, "content": content})
        return self.document(identifier, name)

    def knowledge(self, digest: str) -> Knowledge:
        """A knowledge pack that some assessment used. Raises NotFound."""
        with Session(self.engine) as session:
            row = session.get(KnowledgeRow, digest)
            if row is None:
                raise NotFound("knowledge pack", digest)
            return Knowledge(row.digest, row.version, row.content)

    def recalled(self, assessments: Iterable[StoredAssessment]) -> dict[str, Recall]:
        """Recalls of the packs that these assessments were made with, by digest."""
        return recalled(self.engine, [each.knowledge_digest for each in assessments])

    def _mine(self) -> ColumnElement[bool]:
        return BelongingRow.account_id == self.account_id


def _erased(session: Session, identifier: str) -> bool:
    """Whether the identity was erased; if not, it stays so until this transaction ends."""
    row = session.get(IdentityRow, identifier, with_for_update={"read": True})
    return row is not None and row.erased_at is not None


def _keep_knowledge(session: Session, knowledge: Knowledge, at: datetime) -> None:
    told = {name: getattr(knowledge, name) for name in ("digest", "version", "content")}
    insert_once(session, KnowledgeRow, {**told, "first_used_at": at})


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
