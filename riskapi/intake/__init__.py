"""From request JSON to a Case: structure first (schemas), then meaning (against the knowledge pack).

Both stages run before anything is raised, so that one answer names every fault.
"""

from __future__ import annotations

from typing import Any

from riskapi.domain.case import Case
from riskapi.domain.knowledge import Pack
from riskapi.intake.reading import FAULTS_LIMIT, case_in
from riskapi.intake.schemas import CaseSchema
from riskapi.intake.strict_json import BYTES_LIMIT, canonical, read_document

__all__ = ["BYTES_LIMIT", "FAULTS_LIMIT", "CaseSchema", "canonical", "case_from_json", "read_case", "read_document"]


def read_case(data: bytes | str, pack: Pack) -> Case:
    """The Case in a JSON text. Raises Unreadable when it is no JSON, CaseError with every fault otherwise."""
    document = read_document(data)
    return case_in(CaseSchema(), document.value, list(document.faults), pack)


def case_from_json(value: Any, pack: Pack) -> Case:
    """The Case in a JSON value that is already read. Raises CaseError with every fault."""
    return case_in(CaseSchema(), value, [], pack)
