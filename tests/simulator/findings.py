"""From the findings of a case to what was read of each symptom and of each root, for the simulator."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise, product
from math import prod

from riskapi.domain.case import Case, Finding
from riskapi.domain.knowledge import CARES, Check, Measure, Pack, Traits, WeakPoint, When
from tests.simulator.look import Parent, Sign
from tests.simulator.scenery import Candidate

Row = tuple[float, ...]


def odds(when: When, traits: Traits, pack: Pack) -> float:
    """Chance that a condition holds, with base rates for what is not stated."""
    result = 1.0
    for name, allowed in when.terms:
        value = traits.get(name)
        word = next((w for w in pack.traits if w.name == name), None)
        if value is not None:
            result *= value in allowed
        elif word is None:
            return 0.0
        elif word.values:
            result *= sum(r for v, r in zip(word.values, word.base_rates, strict=True) if v in allowed)
    return result


def completed(conditions: Sequence[When], traits: Traits, pack: Pack) -> Iterator[tuple[float, Traits]]:
    """Every way to fill in the traits that these conditions ask for and nobody stated, with its chance."""
    asked = {name for when in conditions for name, _ in when.terms if traits.get(name) is None}
    words = [word for word in pack.traits if word.name in asked and word.values]
    for values in product(*(zip(word.values, word.base_rates, strict=True) for word in words)):
        known = tuple((word.name, value) for word, (value, _) in zip(words, values, strict=True))
        yield prod(rate for _, rate in values), traits.merged(Traits(known))


def answers(case: Case, pack: Pack) -> Iterator[tuple[Check, int, float]]:
    """(check, index of its result, power of hearsay) of every finding that counts."""
    powers, done = dict(pack.defaults.hearsay), set()
    for finding in case.findings:
        check = pack.check(finding.check)
        held = dict(finding.conditions)
        if finding.not_checked is not None or any(held.get(need) is False for need in check.needs):
            continue
        for member, result in _of_one_act(check, finding, pack):
            done.add(member.id)
            yield member, result, powers.get(finding.observed_by, 1.0)
    moves = case.vehicle.moves_under_own_power
    for check in pack.checks:
        if moves is not None and check.from_case == "moves_under_own_power" and check.id not in done:
            yield check, 0 if moves else len(check.results) - 1, 1.0


def _of_one_act(check: Check, finding: Finding, pack: Pack) -> Iterator[tuple[Check, int]]:
    if finding.result is not None:
        yield check, check.result_index(finding.result)
        return
    for member in (check, *(c for c in pack.checks if c.part_of == check.id)):
        if finding.codes is not None and any(r.codes for r in member.results):
            yield member, max([k for k, r in enumerate(member.results) if set(r.codes) & set(finding.codes)], default=0)
        elif finding.values is not None and member.measure is not None:
            yield member, measured(member.measure, finding.values)


def measured(rule: Measure, values: Sequence[float]) -> int:
    """Index of the result that measured values give."""
    top = max(values)
    value = {
        "value": lambda: values[0],
        "lowest": lambda: min(values),
        "highest": lambda: top,
        "lowest_share": lambda: min(values) / top if top > 0 else 0.0,
        "low_neighbours": lambda: sum(max(pair) < rule.floor_share * top for pair in pairwise(values)),
    }[rule.reduce]()
    index = sum(value >= bound for bound in rule.bounds)
    return len(rule.bounds) - index if rule.descending else index


def column(check: Check, result: int, power: float) -> Row:
    """P(this result | level or care); hearsay of power rho else tells the harmless first result."""
    return tuple(power * row[result] + (1 - power) * (result == 0) for row in check.table)


def below(exceedance: Sequence[float], share: float = 1.0) -> Row:
    """Cumulative chances from those of reaching level 1, 2, .., thinned by `share`."""
    return (*(1 - share * e for e in exceedance), 1.0)


def signs(case: Case, pack: Pack, points: Sequence[WeakPoint], traits: Traits) -> tuple[Sign, ...]:
    """The symptoms that were read and those above them, with the columns of what was read."""
    read: dict[str, list[Row]] = {s.id: [] for s in pack.symptoms}
    for check, result, power in answers(case, pack):
        if check.symptom is not None:
            read[check.symptom].append(column(check, result, power))
    return _needed([replace(sign, read=tuple(read[sign.id])) for sign in every_sign(pack, points, traits)])


def every_sign(pack: Pack, points: Sequence[WeakPoint], traits: Traits) -> list[Sign]:
    """Every symptom with its parents under these traits, nothing read yet."""
    made = []
    for symptom in pack.symptoms:
        parents = [
            Parent(p.id, (below([0.0] * len(e.faulty)), below(e.degraded, share), below(e.faulty, share)))
            for p in points
            for e in p.effects
            if e.symptom == symptom.id and (share := odds(e.when, traits, pack)) > 0
        ]
        parents += [
            Parent(upper.id, (below([0.0] * len(arc.table[0])), *(below(row) for row in arc.table)))
            for upper in pack.symptoms
            for arc in upper.runs_down
            if arc.to == symptom.id
        ]
        made.append(Sign(symptom.id, below(symptom.background), tuple(parents)))
    return made


def _needed(made: Sequence[Sign]) -> tuple[Sign, ...]:
    """Symptoms that were read, and the higher zones from which something runs down to one."""
    wanted = {s.id for s in made if s.read}
    while True:
        more = {p.id for s in made if s.id in wanted for p in s.parents if any(p.id == z.id for z in made)}
        if more <= wanted:
            return tuple(s for s in made if s.id in wanted)
        wanted |= more


def root_chance(case: Case, pack: Pack, candidate: Candidate, care: int) -> float:
    """P(findings about the roots | engine and care)."""
    total, revision = 1.0, candidate.revision.id if candidate.revision else None
    for check, result, power in answers(case, pack):
        if check.root == "care":
            total *= column(check, result, power)[care]
            assert len(check.table) == len(CARES)
        elif check.root == "revision" and revision is not None:
            listed = [revision in features for features in check.features]
            known = listed[result] / sum(listed) if any(listed) else 1 / len(listed)
            total *= power * known + (1 - power) / len(listed)  # hearsay without knowledge names any feature
        elif check.root is not None and check.root != "revision":
            total *= _of_trait(column(check, result, power), str(check.root), candidate.traits, pack)
    return total


def _of_trait(read: Row, name: str, traits: Traits, pack: Pack) -> float:
    """P(what was read of a trait), over its values where it is neither stated nor filled in."""
    word = next(w for w in pack.traits if w.name == name)
    shares = [odds(When(((name, (value,)),)), traits, pack) for value in word.values]
    return sum(share * chance for share, chance in zip(shares, read, strict=True)) / sum(shares)
