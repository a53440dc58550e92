"""The way from JSON to a Case that requests and kept documents share: both stages, then one answer with every fault."""

from __future__ import annotations

from typing import Any

from riskapi.domain.case import Case
from riskapi.domain.knowledge import Pack
from riskapi.domain.sentence import at_fault, told
from riskapi.errors import CaseError, Fault
from riskapi.intake.base import RequestSchema, load
from riskapi.intake.build import build_case
from riskapi.intake.meaning import meaning_faults
from riskapi.intake.pointers import in_order

FAULTS_LIMIT = 1_000  # faults named in one answer


def case_in(schema: RequestSchema, value: Any, faults: list[Fault], pack: Pack) -> Case:
    """The Case in a JSON value by this schema; `faults` are those of the text. Raises CaseError with every fault."""
    loaded, malformed = load(schema, value)
    senseless = list(meaning_faults(loaded, value, pack))
    found = in_order([*faults, *malformed, *senseless])
    if found:
        raise CaseError(_bounded(found))
    return build_case(loaded, pack)


def _bounded(faults: list[Fault]) -> list[Fault]:
    if len(faults) <= FAULTS_LIMIT:
        return faults
    message = told("{count:d} more faults are not listed.", count=len(faults) - FAULTS_LIMIT)
    return [*faults[:FAULTS_LIMIT], at_fault("", message, told("Mend these first."))]
