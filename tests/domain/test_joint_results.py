"""All results together: against an assessment for every combination; what a set of checks is worth to a decision."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest

from riskapi.domain.joint_results import MOST, joinable, joint_results, value_of
from riskapi.domain.next_checks import Split, open_checks
from tests.domain.results_together import together
from tests.domain.weighed import weigh
from tests.simulator import tiny, tiny_cases

PACK = tiny.pack()
START = weigh(replace(tiny_cases.plain_case(), findings=(tiny_cases.found("top", "r0"),)), PACK)
LEFT = open_checks(PACK, START.basis, START.readings.counted, frozenset({"top"}))
NAMES = ("listen", "deposits", "smooth")  # one that reads a root stands between two of symptoms


def joint(names: tuple[str, ...]) -> Split:
    return joint_results([PACK.check(name) for name in names], START.basis)


def test_every_combination_as_its_assessment_says() -> None:
    chance, cost = together(START, NAMES)
    found = joint(NAMES)
    assert found.chance.shape == chance.shape
    assert found.chance == pytest.approx(chance, abs=1e-12)
    assert found.cost == pytest.approx(cost, rel=1e-6, abs=1e-6)


@pytest.mark.parametrize("gain", [-400.0, -100.0, 0.0, 30.0, 250.0])
def test_a_set_is_worth_what_its_combinations_say_and_never_less_than_a_part_of_it(gain: float) -> None:
    """E[max(0, NB)] - max(0, NB) over all combinations (Raiffa & Schlaifer 1961); more information never harms."""
    chance, cost = together(START, NAMES)
    net = gain * chance - (cost - cost.sum() * chance)
    whole = value_of(joint(NAMES), LEFT.mean, gain)
    assert whole == pytest.approx(max(float(np.maximum(net, 0.0).sum() - max(gain, 0.0)), 0.0), rel=1e-6, abs=1e-5)
    for part in combinations(NAMES, 2):
        assert whole >= value_of(joint(part), LEFT.mean, gain) - 1e-9
        for name in part:
            assert value_of(joint(part), LEFT.mean, gain) >= LEFT.values(gain)[name] - 1e-9


def test_nothing_is_worth_nothing() -> None:
    assert value_of(joint(()), LEFT.mean, 10.0) == 0.0


def test_what_can_be_taken_together() -> None:
    """One reader of each symptom, no tied symptom, at most so many combinations."""
    checks = [check for check, _ in LEFT.outcomes]
    assert [c.id for c in joinable(checks, LEFT, START.basis)] == ["listen", "smooth", "deposits"]
    assert [c.id for c in joinable(checks, LEFT, START.basis, 3)] == ["listen", "deposits"]
    assert MOST >= 3
