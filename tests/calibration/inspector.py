"""An inspector's visit to a simulated car: which checks, what each reads, what is only told, what is void.

What is done next depends on the engine, on chance and on earlier results, never on what nobody has seen.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.random import Generator

from riskapi.domain.case import NOT_CHECKED, Case, Finding
from riskapi.domain.knowledge import Check, Pack
from tests.calibration.truth import Truth
from tests.simulator.findings import odds
from tests.simulator.scene import candidates_of

TIERS = ("ten_minutes", "forty_five_minutes", "workshop")


@dataclass
class _Mood:
    """How thorough the visit is, and the systems in which something was found so far."""

    zeal: tuple[float, float, float]
    patience: int
    suspects: set[str] = field(default_factory=set)
    found: int = 0

    def wants(self, check: Check, systems: set[str], rng: Generator) -> bool:
        likely = self.zeal[TIERS.index(check.tier)]
        if systems & self.suspects:
            likely = max(likely, 0.7 if check.tier != "workshop" else 0.35)
        return bool(rng.random() < likely)

    @property
    def tired(self) -> bool:
        return self.found >= self.patience


def visit(pack: Pack, case: Case, truth: Truth, rng: Generator) -> tuple[tuple[Finding, ...], bool | None]:
    """Findings in the order made, and whether the car moves under its own power; `pack` as its authors wrote it."""
    shown = systems_shown(case, pack)
    zeal = rng.beta(2, 1.2), rng.beta(1, 1.6), rng.beta(0.5, 6)
    mood, findings = _Mood(zeal, int(rng.integers(3, 12))), []
    moves: bool | None = None
    for check in sorted(pack.checks, key=lambda c: (TIERS.index(c.tier), c.order)):
        mine = shown.get(str(check.symptom), set())
        if not (mine or _reads_a_root(check, pack, case.vehicle.engine.family)):
            continue
        if mood.tired:
            break
        if not mood.wants(check, mine, rng):
            findings += _left_out(check, rng)
        elif check.from_case:
            moves = _result(check, truth, rng) == 0
        else:
            for finding, result in _looked(check, pack, truth, rng):
                findings.append(finding)
                if result > 0:
                    mood.suspects |= mine
                    mood.found += 1
    return tuple(findings), moves


def _reads_a_root(check: Check, pack: Pack, family: str | None) -> bool:
    """Tells care, or revisions of this family apart."""
    if check.root == "revision":
        own = {r.id for f in pack.families if f.id == family for r in f.revisions}
        return any(own & set(feature) for feature in check.features)
    return check.root is not None


def systems_shown(case: Case, pack: Pack) -> dict[str, set[str]]:
    """Per symptom the systems that may show in it, by what the case says of the engine and not by what it is."""
    found: dict[str, set[str]] = {}
    for traits in [candidate.traits for candidate in candidates_of(case, pack)]:
        for point in pack.weak_points:
            for effect in point.effects if odds(point.applies, traits, pack) > 0 else ():
                if odds(effect.when, traits, pack) > 0:
                    found.setdefault(effect.symptom, set()).add(point.system)
    return found


def _left_out(check: Check, rng: Generator) -> list[Finding]:
    return [_finding(check, not_checked=str(rng.choice(NOT_CHECKED)))] if rng.random() < 0.2 else []


def _looked(check: Check, pack: Pack, truth: Truth, rng: Generator) -> Iterator[tuple[Finding, int]]:
    """The check by oneself or by hearsay; now and then both, or under conditions that void it."""
    void = bool(check.needs) and rng.random() < 0.12
    if void:
        held = tuple((need, bool(rng.random() < 0.3)) for need in check.needs[1:])
        nonsense = int(rng.integers(len(check.results)))
        yield _finding(check, result=check.results[nonsense].id, conditions=((check.needs[0], False), *held)), 0
        return
    powers = dict(pack.defaults.hearsay)
    by = rng.choice(["self", "seller", "papers"], p=[0.84, 0.1, 0.06])
    observers = ["self", "seller"] if by == "self" and rng.random() < 0.06 else [str(by)]
    for observer in observers:
        result = _result(check, truth, rng) if rng.random() < powers[observer] else _said(check, rng)
        yield _reported(check, result, observer, rng), result


def _said(check: Check, rng: Generator) -> int:
    """What is told without knowledge: the harmless first result; of a feature, any."""
    return int(rng.integers(len(check.results))) if check.root == "revision" else 0


def _row_of(check: Check, truth: Truth) -> int:
    """Which row of its table a check reads from: that of the care, of a trait's value, or of the symptom's level."""
    if check.root == "care":
        return truth.care
    if check.symptom is not None:
        return truth.levels[check.symptom]
    return [value for value, _ in check.trait_values].index(str(truth.traits.get(str(check.root))))


def _result(check: Check, truth: Truth, rng: Generator) -> int:
    """What the check reads."""
    if check.root == "revision":
        fitting = [k for k, feature in enumerate(check.features) if truth.revision in feature]
        return int(rng.choice(fitting or range(len(check.features))))
    row = np.array(check.table[_row_of(check, truth)])
    return int(rng.choice(len(row), p=row / row.sum()))


def _reported(check: Check, result: int, observer: str, rng: Generator) -> Finding:
    """The result by name, or as a measured value where the check measures one."""
    rule = check.measure
    if rule is None or rule.reduce != "value" or rng.random() < 0.5 or check.part_of is not None:
        return _finding(check, result=check.results[result].id, observed_by=observer)
    edges = [rule.low, *rule.bounds, rule.high]
    place = len(rule.bounds) - result if rule.descending else result
    value = edges[place] + (edges[place + 1] - edges[place]) * rng.uniform(0.01, 0.99)
    return _finding(check, values=(float(value),), observed_by=observer)


def _finding(
    check: Check,
    result: str | None = None,
    values: tuple[float, ...] | None = None,
    not_checked: str | None = None,
    conditions: Sequence[tuple[str, bool]] = (),
    observed_by: str = "self",
) -> Finding:
    return Finding(
        f"/findings/{check.id}", check.id, result, values, None, not_checked, tuple(conditions), observed_by, ""
    )
