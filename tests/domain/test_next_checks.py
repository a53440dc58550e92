"""What to look at next: each value against carrying every possible result through the whole computation."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from riskapi.domain.assessment import NextCheck
from riskapi.domain.next_checks import next_checks
from riskapi.domain.posterior import evidence_of
from tests.domain.weighed import Weighed, weigh
from tests.simulator import tiny, tiny_cases

PACK = tiny.pack()
CASE = replace(tiny_cases.plain_case(), findings=(tiny_cases.found("top", "r1"),))
START = weigh(CASE, PACK)
NONE: frozenset[str] = frozenset()


def valued(gain: float | None, dealt_with: frozenset[str] = frozenset({"top"})) -> dict[str, NextCheck]:
    found = next_checks(PACK, START.basis, START.readings.counted, dealt_with, gain)
    return {row.check: row for row in found}


def after(check: str) -> tuple[np.ndarray, np.ndarray]:
    """Chance of each result and the expected discounted cost given it, by an assessment for each."""
    chances, costs = [], []
    for result in PACK.check(check).results:
        one = weigh(replace(CASE, findings=(*CASE.findings, tiny_cases.found(check, result.id))), PACK)
        chances.append(_probability(one) / _probability(START))
        costs.append(float((one.means.discounted + one.means.planned_discounted).sum()))
    return np.array(chances), np.array(costs)


def _probability(one: Weighed) -> float:
    outlook, groups = one.basis.outlook, one.basis.posterior.groups
    return evidence_of(outlook.lanes, groups, one.readings.counted, outlook.table.masses)


CHECKS = ["listen", "told_noise", "smooth", "deposits"]


@pytest.mark.parametrize("check", CHECKS)
def test_without_a_price_the_value_is_the_deviation_of_the_expected_cost(check: str) -> None:
    """The model: without a price the variance of E[cost | result]."""
    chances, costs = after(check)
    assert chances.sum() == pytest.approx(1.0)
    expected = np.sqrt(chances @ (costs - chances @ costs) ** 2)
    assert valued(None)[check].value == pytest.approx(float(expected), rel=1e-6)


@pytest.mark.parametrize("check", CHECKS)
@pytest.mark.parametrize("gain", [-150.0, 0.0, 60.0])
def test_with_a_price_the_value_is_that_of_sample_information(check: str, gain: float) -> None:
    """Raiffa & Schlaifer (1961): E[max(0, NB)] over the results less max(0, NB) now, for 'buy or walk away'."""
    chances, costs = after(check)
    net = gain - (costs - chances @ costs)
    expected = chances @ np.maximum(net, 0.0) - max(gain, 0.0)
    found = valued(gain)
    if expected > 1.0:
        assert found[check].value == pytest.approx(float(expected), rel=1e-6)
        assert found[check].basis == "decision"
    else:
        assert check not in found or found[check].value <= 1.0 + 1e-9


def test_information_never_harms_and_a_clear_case_needs_none() -> None:
    """The model: EVSI >= 0; where no result can turn the decision it is worth nothing."""
    assert valued(1e6) == {}
    assert valued(-1e6) == {}
    assert all(row.value > 0.0 for row in valued(0.0).values())


def test_what_is_dealt_with_is_not_asked_for_again() -> None:
    assert "listen" in valued(None)
    assert "listen" not in valued(None, frozenset({"top", "listen"}))


def test_zones_and_symptoms_already_read_are_not_valued() -> None:
    """A zone's levels are no products; a second reader of one symptom would need its joint with the first."""
    assert set(valued(None, NONE)) <= set(CHECKS)


def test_the_best_value_less_price_comes_first() -> None:
    checks = tuple(replace(c, price=1e5) if c.id == "listen" else c for c in PACK.checks)
    found = next_checks(replace(PACK, checks=checks), START.basis, START.readings.counted, NONE, None)
    worth = [row.value - row.check_cost for row in found]
    assert worth == sorted(worth, reverse=True)
    assert found[-1].check == "listen"
