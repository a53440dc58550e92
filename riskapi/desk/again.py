"""The same assessment again, from what is kept of it: the case, and the knowledge pack it was made with.

What comes out is held against the result that was kept. Where this program reads the pack otherwise, or computes
another result, nothing is printed or computed from it: whoever asks is told which version made it.
"""

from __future__ import annotations

from dataclasses import dataclass

from riskapi import __version__, service
from riskapi.desk.desk import Desk
from riskapi.desk.personal import commitment_in
from riskapi.domain.assessment import Assessment
from riskapi.domain.case import Case
from riskapi.domain.knowledge import Pack
from riskapi.domain.what_if import Base
from riskapi.errors import CaseError, KnowledgeError, Outdated, TooComplex
from riskapi.intake.kept import read_kept
from riskapi.report.audit import json_bytes
from riskapi.report.figures import Json
from riskapi.report.result import result_to_json
from riskapi.storage import StoredAssessment


@dataclass(frozen=True, slots=True)
class Again:
    """An assessment computed again with what it was made from; `result` is the answer as JSON data."""

    assessment: Assessment
    base: Base
    result: Json

    @property
    def case(self) -> Case:
        return self.base.case

    @property
    def pack(self) -> Pack:
        return self.base.pack


def again(desk: Desk, stored: StoredAssessment) -> Again:
    """Raises Outdated where this program does not come to the result that was kept."""
    case, pack = _read_again(desk, stored)
    try:
        base = service.base_of(case, pack)
        assessment = service.assess_from(base)
        result = result_to_json(assessment, stored.id, stored.created_at, commitment_in(stored))
    except (CaseError, TooComplex, ValueError):
        raise _outdated(stored) from None
    if json_bytes(result) != stored.result_json:
        raise _outdated(stored)
    return Again(assessment, base, result)


def case_again(desk: Desk, stored: StoredAssessment) -> tuple[Case, Pack]:
    """The case and the pack of an assessment. Raises Outdated where this program does not come to the result that was
    kept; what the same version made is not computed again to see that."""
    if stored.program_version == __version__:
        return _read_again(desk, stored)
    found = again(desk, stored)
    return found.case, found.pack


def _read_again(desk: Desk, stored: StoredAssessment) -> tuple[Case, Pack]:
    try:
        pack = desk.pack_of(stored.knowledge_digest)
        return read_kept(stored.case_json, pack), pack
    except (KnowledgeError, CaseError):
        raise _outdated(stored) from None


def _outdated(stored: StoredAssessment) -> Outdated:
    return Outdated("assessment", stored.id, stored.program_version)
