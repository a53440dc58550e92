"""Case JSON for the tests: a plain one, and ways to change it."""

from __future__ import annotations

import copy
from typing import Any

from riskapi.domain.case import Case
from riskapi.errors import CaseError, Fault
from riskapi.intake import case_from_json
from tests.intake.small_pack import small_pack

PACK = small_pack()

PLAIN: dict[str, Any] = {
    "vehicle": {
        "engine": {"family": "lapwing"},
        "build_date": "2010-08-14",
        "first_registered": "2010-10-01",
        "odometer": {"value": 138000, "unit": "km"},
    },
    "as_of": "2024-05-01",
    "service_history": [
        {"date": "2014-06-01", "odometer": {"value": 61000, "unit": "km"}, "work": "oil_service"},
        {"date": "2019-06-01", "odometer": {"value": 102000, "unit": "km"}, "work": "reading"},
    ],
    "findings": [{"check": "cold_start_sound", "result": "quiet"}],
}


def changed(path: str, value: Any) -> dict[str, Any]:
    """PLAIN with one value put at a path such as 'vehicle.odometer' or 'findings.0.result'."""
    case = copy.deepcopy(PLAIN)
    place: Any = case
    *above, last = [int(step) if step.isdecimal() else step for step in path.split(".")]
    for step in above:
        place = place[step] if isinstance(place, list) else place.setdefault(step, {})
    place[last] = value
    return case


def read(value: Any) -> Case:
    return case_from_json(value, PACK)


def faults(value: Any) -> tuple[Fault, ...]:
    """The faults found in a case; fails when there are none."""
    try:
        case_from_json(value, PACK)
    except CaseError as error:
        return error.faults
    raise AssertionError("no fault was found")


def only_fault(value: Any) -> Fault:
    found = faults(value)
    assert len(found) == 1, [str(fault) for fault in found]
    return found[0]
