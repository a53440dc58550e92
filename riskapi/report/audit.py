"""Everything a stranger needs to recompute an assessment, as files.

network.bif, network.bifxml   the Bayesian network of the case, for general libraries
evidence.json                 what was observed in it: check id -> result name
inputs.json                   the case as understood, and the lifetimes, operations and prices that were used
result.json                   the answer
"""

from __future__ import annotations

import dataclasses
import json
import math
from collections.abc import Iterable, Mapping
from datetime import date
from pathlib import Path

from riskapi.domain.assessment import Assessment
from riskapi.domain.case import Case
from riskapi.domain.knowledge import AccessStep, Family, Operation, OutcomeTable, Pack, WeakPoint
from riskapi.domain.stress import oil_interval
from riskapi.report.bif import bif
from riskapi.report.bifxml import bifxml
from riskapi.report.files import write_whole
from riskapi.report.tables import conditional_tables, evidence


def audit_files(assessment: Assessment, case: Case, pack: Pack, result: Mapping[str, object]) -> dict[str, bytes]:
    """File name -> content; `result` is the answer as JSON data.

    Raises KnowledgeError when two variables of the network would have the same name.
    """
    tables = conditional_tables(assessment.network)
    return {
        "network.bif": bif(tables).encode(),
        "network.bifxml": bifxml(tables).encode(),
        "evidence.json": json_bytes(evidence(assessment.network)),
        "inputs.json": inputs_json(_inputs(assessment, case, pack)),
        "result.json": json_bytes(result),
    }


def write_audit(directory: Path, assessment: Assessment, case: Case, pack: Pack, result: Mapping[str, object]) -> None:
    """Write the audit files into `directory`, which is made if need be. Raises OSError."""
    contents = audit_files(assessment, case, pack, result)
    directory.mkdir(parents=True, exist_ok=True)
    write_whole({directory / name: data for name, data in contents.items()})


def inputs_json(inputs: object) -> bytes:
    """Nested frozen records (and mappings, sequences, dates, arrays) as JSON with sorted keys."""
    return json_bytes(plain(inputs), sort_keys=True)


def json_bytes(value: object, *, sort_keys: bool = False) -> bytes:
    """JSON as a person can read it; the same value gives the same bytes."""
    text = json.dumps(value, indent=2, ensure_ascii=False, allow_nan=False, sort_keys=sort_keys)
    return text.encode() + b"\n"


def plain(value: object) -> object:
    """Records as mappings by field name, dates in ISO form, arrays as lists; a number without bound as a word.

    Raises TypeError for anything else.
    """
    if value is None or isinstance(value, str | bool | int | float | date):
        return _scalar(value)
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {field.name: plain(getattr(value, field.name)) for field in dataclasses.fields(value)}
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if hasattr(value, "tolist"):  # an array or a scalar of numpy
        return plain(value.tolist())
    if isinstance(value, Iterable):
        items = [plain(item) for item in value]
        return sorted(items, key=repr) if isinstance(value, set | frozenset) else items
    raise TypeError(f"cannot be written as JSON: {type(value).__name__}")


def _scalar(value: str | float | date | None) -> object:
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float):
        return float(value) if math.isfinite(value) else str(float(value))
    return value


# ---- what was used ---------------------------------------------------------------------------------------


def _inputs(assessment: Assessment, case: Case, pack: Pack) -> dict[str, object]:
    """The case, what the computation made of it, and of the pack what the weak points of this engine can lead to."""
    weak_points = [pack.weak_point(point.id) for point in assessment.network.weak_points]
    operations = _operations(pack, weak_points)
    return {
        "case": case,
        "knowledge": {"version": assessment.knowledge_version, "digest": assessment.knowledge_digest},
        "assumptions": assessment.assumptions,
        "defaults": pack.defaults,
        "oil_interval": oil_interval(pack, _family(case, pack)),
        "weak_points": weak_points,
        "operations": operations,
        "access_steps": _access_steps(pack, operations),
        "resolved": assessment.inputs,
    }


def _family(case: Case, pack: Pack) -> Family | None:
    name = case.vehicle.engine.family
    return pack.family(name) if name is not None else None


def _operations(pack: Pack, weak_points: Iterable[WeakPoint]) -> list[Operation]:
    """The operations these weak points can lead to, with their follow-on jobs and the engines that cap them."""
    waiting = [name for point in weak_points for name in _named(point)]
    waiting += [operation.id for operation in pack.another_engines()]
    found: dict[str, Operation] = {}
    while waiting:
        name = waiting.pop()
        if name not in found:
            found[name] = pack.operation(name)
            waiting += found[name].follow_on
    return [found[name] for name in sorted(found)]


def _named(point: WeakPoint) -> Iterable[str]:
    for outcomes in (point.in_service, point.found_faulty):
        yield from _in_outcomes(outcomes)
    yield from (part.planned.operation for part in point.parts if part.planned)


def _in_outcomes(outcomes: OutcomeTable) -> Iterable[str]:
    return (name for row in (*outcomes.rows, outcomes.otherwise) for name in row.operations)


def _access_steps(pack: Pack, operations: Iterable[Operation]) -> list[AccessStep]:
    waiting = [name for operation in operations for name in operation.access]
    found: dict[str, AccessStep] = {}
    while waiting:
        name = waiting.pop()
        if name not in found:
            found[name] = pack.access_step(name)
            under = found[name].under
            waiting += [under] if under else []
    return [found[name] for name in sorted(found)]
