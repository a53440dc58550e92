"""What follows on an assessment: findings that were added, and what newer knowledge says. Each is the next version.

A version goes on from the latest one of its car, whichever of its versions was named: so two that are added at once
both count, one after the other. Findings are weighed with the knowledge pack of the latest version; only a rescore
moves to the pack in use. So nothing moves silently.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass

from riskapi import __version__
from riskapi.desk.desk import Desk
from riskapi.desk.making import assessed
from riskapi.desk.personal import part_again
from riskapi.domain.case import Case
from riskapi.errors import CaseError, KnowledgeError, NothingNewer, Outdated, Overtaken
from riskapi.intake import canonical, read_document
from riskapi.intake.follow_up import read_follow_up, so_far
from riskapi.intake.kept import read_kept
from riskapi.storage import FINDINGS, RESCORE, Following, Intent, Personal, Repository, StoredAssessment

ATTEMPTS = 20  # each time others came in between

Condition = Callable[[StoredAssessment], bool]
Made = tuple[StoredAssessment, Personal | None]


@dataclass(frozen=True, slots=True)
class Rescored:
    """The version before, and what newer knowledge makes of the same case."""

    before: StoredAssessment
    after: StoredAssessment


def add_findings(
    desk: Desk,
    identifier: str,
    body: bytes,
    key: str | None = None,
    *,
    condition: Condition | None = None,
    check: Callable[[Case], None] = lambda _: None,
) -> StoredAssessment:
    """Lay what was found since over the latest version of the car of this assessment, and keep the next one.

    `condition` must hold for the latest version; `check` may refuse the case. Raises NotFound, Overtaken where the
    condition does not hold, Outdated, CaseError, TooComplex, KeyReused.
    """
    intent = Intent.to(key, canonical(read_document(body).value), f"{identifier}/findings")

    def make(latest: StoredAssessment) -> Made:
        if condition is not None and not condition(latest):
            raise Overtaken("assessment", identifier)
        try:
            pack = desk.pack_of(latest.knowledge_digest)
        except KnowledgeError:
            raise Outdated("assessment", latest.id, latest.program_version) from None
        case, document = read_follow_up(latest.case_json, body, pack)
        check(case)
        parted = part_again(desk, document, latest)
        return assessed(case, parted, pack, desk), parted.personal

    return _next(desk, identifier, make, FINDINGS, intent)[1]


def rescore(desk: Desk, identifier: str, key: str | None = None) -> Rescored:
    """Assess the latest version of the car of this assessment with the pack in use and this program.

    Raises NotFound, NothingNewer where both are those it was made with, CaseError, TooComplex, KeyReused.
    """

    def make(latest: StoredAssessment) -> Made:
        if (latest.knowledge_digest, latest.program_version) == (desk.pack.digest, __version__):
            raise NothingNewer("assessment", latest.id)
        try:
            case = read_kept(latest.case_json, desk.pack)
        except CaseError as error:
            raise CaseError(so_far(fault) for fault in error.faults) from None
        parted = part_again(desk, json.loads(latest.case_json), latest)
        return assessed(case, parted, desk.pack, desk), parted.personal

    return Rescored(*_next(desk, identifier, make, RESCORE, Intent.to(key, b"", f"{identifier}/rescore")))


def _next(
    desk: Desk,
    identifier: str,
    make: Callable[[StoredAssessment], Made],
    origin: str,
    intent: Intent | None,
) -> tuple[StoredAssessment, StoredAssessment]:
    """(the version before, the next one), or what the same intent made already."""
    repository = desk.repository
    if intent is not None and (earlier := repository.made_by(intent)) is not None:
        return _before(repository, earlier), earlier
    for _ in range(ATTEMPTS):
        latest = repository.latest(identifier)
        fresh, personal = make(latest)
        knowledge = desk.knowledge_of(fresh.knowledge_digest)
        try:
            follows = Following(latest.id, origin, only_latest=True)
            made = repository.add(fresh, knowledge, {}, intent, follows, personal)
        except Overtaken:
            continue
        return _before(repository, made), made
    raise Overtaken("assessment", identifier)


def _before(repository: Repository, made: StoredAssessment) -> StoredAssessment:
    return repository.get(repository.version(made.id).previous_id or made.id)
