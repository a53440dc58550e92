"""Do the findings of a case make sense: known checks and results, measurements that the check can read?"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from riskapi.domain.knowledge import Check, Measure, Pack, Traits
from riskapi.domain.sentence import Sentence, Written, at_fault, told
from riskapi.domain.units import UnitError, convert, unit_word
from riskapi.errors import Fault
from riskapi.intake.history_sense import result_faults
from riskapi.intake.pointers import Path, pointer
from riskapi.intake.words import choose, listed, shown

Finding = dict[str, Any]


def finding_faults(
    findings: Sequence[Finding | None], moves: bool | None, engines: Sequence[Traits], pack: Pack
) -> Iterator[Fault]:
    """Faults of each finding and of findings that repeat each other. `engines`: traits the engine can have."""
    checks = {item.id: item for item in pack.checks}
    cylinders = cylinder_count(engines)
    for index, finding in enumerate(findings):
        if finding is None:
            continue
        yield from _condition_faults(index, finding, pack)
        check = checks.get(finding.get("check", ""))
        if check is not None:
            yield from _outcome_faults(("findings", index), finding, check, cylinders, pack)
            yield from _from_case_faults(index, check, moves)
        elif "check" in finding:
            message = told("The check {check} is not known.", check=shown(finding["check"]))
            yield at_fault(pointer(("findings", index, "check")), message, choose(finding["check"], checks))
    yield from _repeated(findings)
    yield from _told_by_act(findings, checks)


def cylinder_count(engines: Sequence[Traits]) -> int | None:
    """How many cylinders the engine has, when that is certain."""
    counts = {traits.get("cylinders") for traits in engines}
    count = counts.pop() if len(counts) == 1 else None
    return int(count) if isinstance(count, int | float) else None


def measure_of(check: Check, pack: Pack) -> Measure | None:
    """How this check is measured: its own measure, or that of the first check that is part of the same act."""
    members = (item.measure for item in pack.checks if item.part_of == check.id and item.measure is not None)
    return check.measure or next(members, None)


def measured_values(measured: Finding, measure: Measure) -> tuple[float, ...]:
    """The measured value or values in the unit of the check. Raises UnitError."""
    values = measured["values"] if "values" in measured else [measured["value"]]
    return tuple(convert(value, measured["unit"], measure.unit) for value in values)


def _repeated(findings: Sequence[Finding | None]) -> Iterator[Fault]:
    first: dict[tuple[str, str], int] = {}
    for index, finding in enumerate(findings):
        if finding is None or "check" not in finding or "observed_by" not in finding:
            continue
        key = finding["check"], finding["observed_by"]
        if key in first:
            message = told(
                "The check {check} observed by {observer} stands in {place} already.",
                check=shown(key[0]), observer=Written(key[1]), place=Written(pointer(("findings", first[key]))),
            )  # fmt: skip
            mend = told("Keep one of them; the same look by somebody else has another observed_by.")
            yield at_fault(pointer(("findings", index, "check")), message, mend)
        first.setdefault(key, index)


def _told_by_act(findings: Sequence[Finding | None], checks: dict[str, Check]) -> Iterator[Fault]:
    """A result stated for a check whose act was measured too: one measurement gives one result."""
    acts = {
        (finding.get("check"), finding.get("observed_by")): index
        for index, finding in enumerate(findings)
        if finding and finding.get("measured")
    }
    for index, finding in enumerate(findings):
        check = checks.get(finding.get("check", "")) if finding else None
        key = (check.part_of, finding.get("observed_by")) if check and finding else None
        if check is not None and check.part_of is not None and _measured_with_act(check) and key in acts:
            message = told(
                "The check {check} has its result from the measurement in {place} already.",
                check=Written(check.id), place=Written(pointer(("findings", acts[key]))),
            )  # fmt: skip
            yield at_fault(pointer(("findings", index, "check")), message, told("Remove this finding."))


def _measured_with_act(check: Check) -> bool:
    """Whether the act's measurement answers this check; where leak-down air comes out is stated beside it."""
    return check.measure is not None or any(result.codes for result in check.results)


def _condition_faults(index: int, finding: Finding, pack: Pack) -> Iterator[Fault]:
    known = [item.id for item in pack.conditions]
    for name in finding.get("conditions", {}):
        if name not in known:
            place = pointer(("findings", index, "conditions", name))
            message = told("The condition {condition} is not known.", condition=shown(name))
            yield at_fault(place, message, choose(name, known))


def _from_case_faults(index: int, check: Check, moves: bool | None) -> Iterator[Fault]:
    if check.from_case == "moves_under_own_power" and moves is not None:
        message = told(
            "The check {check} is answered by /vehicle/moves_under_own_power already.", check=Written(check.id)
        )
        yield at_fault(pointer(("findings", index, "check")), message, told("Keep one of them."))


def _outcome_faults(at: Path, finding: Finding, check: Check, cylinders: int | None, pack: Pack) -> Iterator[Fault]:
    if "result" in finding:
        yield from result_faults(pointer((*at, "result")), finding["result"], check)
    measured = finding.get("measured")
    if not measured or len({"value", "values", "codes"} & set(measured)) != 1:
        return
    if "codes" in measured:
        if not reads_codes(check, pack):
            message = told("The check {check} reads no trouble codes.", check=Written(check.id))
            yield _not_read((*at, "measured", "codes"), message, check)
    elif (measure := measure_of(check, pack)) is None:
        message = told("The check {check} is not measured.", check=Written(check.id))
        yield _not_read((*at, "measured"), message, check)
    else:
        yield from _measured_faults((*at, "measured"), measured, measure, cylinders)


def reads_codes(check: Check, pack: Pack) -> bool:
    """Whether trouble codes say something to this check, or to one that is part of the same act."""
    act = check.part_of or check.id
    return any(result.codes for item in pack.checks if act in (item.id, item.part_of) for result in item.results)


def _not_read(at: Path, message: Sentence, check: Check) -> Fault:
    results = listed(item.id for item in check.results)
    return at_fault(pointer(at), message, told('Give "result": {results}.', results=results))


def _measured_faults(at: Path, measured: Finding, measure: Measure, cylinders: int | None) -> Iterator[Fault]:
    one, many = "value" in measured, "values" in measured
    if one and measure.reduce != "value":
        message, mend = told("This check needs one value per cylinder."), told('Give "values", in order.')
        yield at_fault(pointer((*at, "value")), message, mend)
    elif many and measure.reduce == "value":
        yield at_fault(pointer((*at, "values")), told("This check needs one value."), told('Give "value".'))
    elif many:
        yield from _count_faults(at, measured["values"], cylinders)
    if (one or many) and "unit" in measured:
        yield from _value_faults(at, measured, measure)


def _count_faults(at: Path, values: Sequence[float | None], cylinders: int | None) -> Iterator[Fault]:
    if cylinders is not None and len(values) != cylinders:
        message = told(
            "{count:d} values for an engine with {cylinders:d} cylinders.", count=len(values), cylinders=cylinders
        )
        mend = told("Give one for each cylinder, in order; a check not finished is not_checked.")
        yield at_fault(pointer((*at, "values")), message, mend)
    elif cylinders is None and len(values) < 2:
        mend = told("Give one for each cylinder, in order.")
        yield at_fault(pointer((*at, "values")), told("Fewer than two values."), mend)


def _value_faults(at: Path, measured: Finding, measure: Measure) -> Iterator[Fault]:
    unit = measured["unit"]
    numbers = [("value", measured["value"])] if "value" in measured else list(enumerate(measured["values"]))
    for key, number in numbers:
        if number is None:
            continue
        try:
            value = convert(number, unit, measure.unit)
        except UnitError as error:
            yield at_fault(pointer((*at, "unit")), error.message, error.mend)
            return
        if not measure.low <= value <= measure.high:
            place = (*at, "value") if key == "value" else (*at, "values", key)
            message = told(
                "{value} {unit} is outside {low:g} to {high:g} {target}.",
                value=shown(number), unit=unit_word(unit),
                low=measure.low, high=measure.high, target=unit_word(measure.unit),
            )  # fmt: skip
            yield at_fault(pointer(place), message, told("Check the number and its unit."))
