"""From a case's findings to likelihoods: which count, what they read, and what carries no weight and why."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import reduce
from itertools import pairwise

import numpy as np

from riskapi.domain.case import Case, Finding
from riskapi.domain.knowledge import Check, Measure, Pack
from riskapi.domain.sentence import Measured, Sentence, Written, at_fault, told
from riskapi.errors import CaseError

REASONS = {
    "refused": told("refused"),
    "not_reachable": told("not reachable"),
    "no_equipment": told("no equipment for it"),
    "no_time": told("no time for it"),
}


@dataclass(frozen=True, slots=True)
class CountedFinding:
    """A finding that counts: the check, its result, and P(result | level) with hearsay already in it.

    `node` names it in the network (the check's id, with the observer appended when it is not the inspector). `power`
    is that of the hearsay, for features that tell revisions apart and have no table.
    """

    node: str
    check: Check
    result: int
    table: tuple[tuple[float, ...], ...]
    reading: str
    observed_by: str
    pointer: str
    values: tuple[float, ...] = ()  # as measured [unit of the check]
    power: float = 1.0

    @property
    def said(self) -> Sentence:
        """'Check: result', by their names."""
        return told("{check}: {result}", check=self.check.name, result=self.check.results[self.result].name)

    @property
    def likelihood(self) -> tuple[float, ...]:
        """P(this result | level), one entry per level of the symptom (or value of the root)."""
        return tuple(row[self.result] for row in self.table)


@dataclass(frozen=True, slots=True)
class Readings:
    counted: tuple[CountedFinding, ...]
    not_checked: tuple[tuple[str, str], ...]
    void: tuple[tuple[str, str], ...]


def read_findings(case: Case, pack: Pack) -> Readings:
    """All findings of the case, spread over the checks that one act answers, in the order of the pack's visit.

    Raises CaseError when one check is answered twice by the same observer.
    """
    counted: list[CountedFinding] = []
    not_checked, void = [], []
    for finding in case.findings:
        check = pack.check(finding.check)
        if finding.not_checked is not None:
            not_checked.append((check.id, REASONS[finding.not_checked]))
            continue
        unmet = _unmet(check, finding, pack)
        if unmet is not None:
            void.append((check.id, unmet))
            continue
        counted += _results(check, finding, pack)
    counted += _from_case(case, pack, {item.check.id for item in counted})
    _refuse_doubles(counted)
    order = {check.id: i for i, check in enumerate(pack.checks)}
    counted.sort(key=lambda item: (order[item.check.id], item.node))
    not_checked.sort(key=lambda item: (order[item[0]], item[1]))
    void.sort(key=lambda item: (order[item[0]], item[1]))
    return Readings(tuple(counted), tuple(not_checked), tuple(void))


def _unmet(check: Check, finding: Finding, pack: Pack) -> str | None:
    held = dict(finding.conditions)
    words = {word.id: word for word in pack.conditions}
    reasons = [
        words[need].if_not or told("{name}: not so", name=words[need].name)
        for need in check.needs
        if held.get(need) is False
    ]
    return reduce(lambda one, other: told("{one} {other}", one=one, other=other), reasons) if reasons else None


def _results(check: Check, finding: Finding, pack: Pack) -> list[CountedFinding]:
    """The check's own result, and those of the checks that are part of the same act."""
    if finding.result is not None:
        return [_counted(check, check.result_index(finding.result), "", finding, pack)]
    found = []
    for member in [check, *(other for other in pack.checks if other.part_of == check.id)]:
        if finding.codes is not None and any(result.codes for result in member.results):
            found.append(_counted(member, _by_codes(member, finding.codes), ", ".join(finding.codes), finding, pack))
        elif finding.values is not None and member.measure is not None:
            value = reduce_values(member.measure, finding.values)
            told = _counted(member, level_of(member.measure, value), _said(member.measure, finding), finding, pack)
            found.append(replace(told, values=finding.values))
    return found


def _by_codes(check: Check, codes: tuple[str, ...]) -> int:
    """The worst result that one of the codes gives; the first result when none does."""
    return max((i for i, result in enumerate(check.results) if set(result.codes) & set(codes)), default=0)


def reduce_values(measure: Measure, values: tuple[float, ...]) -> float:
    """One number from measured values [unit of the check] by the pack's rule (see Measure)."""
    highest = max(values)
    if measure.reduce == "lowest_share":
        return min(values) / highest if highest > 0.0 else 0.0
    if measure.reduce == "low_neighbours":
        floor = measure.floor_share * highest
        return float(sum(a < floor and b < floor for a, b in pairwise(values)))
    if measure.reduce == "lowest":
        return min(values)
    if measure.reduce == "highest":
        return highest
    return values[0]


def level_of(measure: Measure, value: float) -> int:
    """Index of the result this value gives: ascending bounds, result k below bounds[k]; reversed if descending."""
    below = int(np.searchsorted(np.array(measure.bounds), value, side="right"))
    return len(measure.bounds) - below if measure.descending else below


def _said(measure: Measure, finding: Finding) -> str:
    return told("{measured}", measured=Measured(finding.values or (), measure.unit))


def _counted(check: Check, result: int, reading: str, finding: Finding, pack: Pack) -> CountedFinding:
    power = dict(pack.defaults.hearsay).get(finding.observed_by, 1.0)
    node = check.id if finding.observed_by == "self" else f"{check.id}_{finding.observed_by}"
    return CountedFinding(
        node, check, result, thinned(check.table, power), reading, finding.observed_by, finding.pointer, power=power
    )


def thinned(table: tuple[tuple[float, ...], ...], power: float) -> tuple[tuple[float, ...], ...]:
    """Hearsay: with chance `power` what the table says is passed on, else the first (harmless) result is told.

    A reader of the symptom, so that a told and a seen result share it (two looks never prove more than the
    symptom itself); for a symptom with one parent it equals thinning that parent and the background.
    """
    if power >= 1.0:
        return table
    return tuple(
        tuple(power * chance + (1.0 - power) * (index == 0) for index, chance in enumerate(row)) for row in table
    )


def _from_case(case: Case, pack: Pack, done: set[str]) -> list[CountedFinding]:
    moves = case.vehicle.moves_under_own_power
    if moves is None:
        return []
    return [
        CountedFinding(
            check.id,
            check,
            0 if moves else len(check.results) - 1,
            check.table,
            "",
            "self",
            "/vehicle/moves_under_own_power",
        )
        for check in pack.checks
        if check.from_case == "moves_under_own_power" and check.id not in done
    ]


def _refuse_doubles(counted: list[CountedFinding]) -> None:
    seen: dict[str, str] = {}
    faults = []
    for item in counted:
        if item.node in seen:
            check, place = Written(item.check.id), Written(seen[item.node])
            message = told("The check {check} is answered twice, here and at {place}.", check=check, place=place)
            mend = told("Keep one of the two; a measurement may already answer it.")
            faults.append(at_fault(item.pointer, message, mend))
        seen.setdefault(item.node, item.pointer)
    if faults:
        raise CaseError(faults)
