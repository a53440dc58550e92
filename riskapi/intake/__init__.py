"""From request JSON to a Case: structure first (schemas), then meaning (against the knowledge pack).

Both stages run before anything is raised, so that one answer names every fault.
"""

from __future__ import annotations

from typing import Any

from riskapi.domain.case import Case
from riskapi.domain.knowledge import Pack
from riskapi.errors import CaseError, Fault
from riskapi.intake.base import load
from riskapi.intake.build import build_case
from riskapi.intake.meaning import meaning_faults
from riskapi.intake.pointers import in_order
from riskapi.intake.schemas import CaseSchema
from riskapi.intake.strict_json import BYTES_LIMIT, canonical, read_document

__all__ = ["BYTES_LIMIT", "CaseSchema", "canonical", "case_from_json", "read_case", "read_document"]

FAULTS_LIMIT = 1_000  # faults named in one answer


def read_case(data: bytes | str, pack: Pack) -> Case:
    """The Case in a JSON text. Raises Unreadable when it is no JSON, CaseError with every fault otherwise."""
    document = read_document(data)
    return _case(document.value, list(document.faults), pack)


def case_from_json(value: Any, pack: Pack) -> Case:
    """The Case in a JSON value that is already read. Raises CaseError with every fault."""
    return _case(value, [], pack)


def _case(value: Any, faults: list[Fault], pack: Pack) -> Case:
    loaded, malformed = load(CaseSchema(), value)
    senseless = list(meaning_faults(loaded, value, pack))
    found = in_order([*faults, *malformed, *senseless])
    if found:
        raise CaseError(_bounded(found))
    return build_case(loaded, pack)


def _bounded(faults: list[Fault]) -> list[Fault]:
    if len(faults) <= FAULTS_LIMIT:
        return faults
    more = Fault("", f"{len(faults) - FAULTS_LIMIT} more faults are not listed.", "Mend these first.")
    return [*faults[:FAULTS_LIMIT], more]
