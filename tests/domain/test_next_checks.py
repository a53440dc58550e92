"""What to look at next: each value against carrying every possible result through the whole computation."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from riskapi.domain.next_checks import open_checks
from riskapi.domain.posterior import evidence_of
from tests.domain.weighed import Weighed, weigh
from tests.simulator import tiny, tiny_cases

PACK = tiny.pack()
CASE = replace(tiny_cases.plain_case(), findings=(tiny_cases.found("top", "r1"),))
START = weigh(CASE, PACK)
NONE: frozenset[str] = frozenset()


def valued(gain: float | None, dealt_with: frozenset[str] = frozenset({"top"})) -> dict[str, float]:
    return open_checks(PACK, START.basis, START.readings.counted, dealt_with).values(gain)


def after(check: str, start: Weighed = START) -> tuple[np.ndarray, np.ndarray]:
    """Chance of each result and the expected discounted cost given it, by an assessment for each."""
    chances, costs = [], []
    for result in PACK.check(check).results:
        one = weigh(replace(start.case, findings=(*start.case.findings, tiny_cases.found(check, result.id))), PACK)
        chances.append(_probability(one) / _probability(start))
        costs.append(float((one.means.discounted + one.means.planned_discounted).sum()))
    return np.array(chances), np.array(costs)


def _spread(start: Weighed, check: str) -> float:
    chances, costs = after(check, start)
    return float(np.sqrt(chances @ (costs - chances @ costs) ** 2))


def _probability(one: Weighed) -> float:
    outlook, groups = one.basis.outlook, one.basis.posterior.groups
    return evidence_of(outlook.lanes, groups, one.readings.counted, outlook.table.masses)


CHECKS = ["listen", "told_noise", "smooth", "deposits", "low"]  # "low" is a zone below one that was seen


@pytest.mark.parametrize("check", CHECKS)
def test_without_a_price_the_value_is_the_deviation_of_the_expected_cost(check: str) -> None:
    """The model: without a price the variance of E[cost | result]."""
    chances, costs = after(check)
    assert chances.sum() == pytest.approx(1.0)
    expected = np.sqrt(chances @ (costs - chances @ costs) ** 2)
    assert valued(None)[check] == pytest.approx(float(expected), rel=1e-6)


@pytest.mark.parametrize("check", CHECKS)
@pytest.mark.parametrize("gain", [-150.0, 0.0, 60.0])
def test_with_a_price_the_value_is_that_of_sample_information(check: str, gain: float) -> None:
    """Raiffa & Schlaifer (1961): E[max(0, NB)] over the results less max(0, NB) now, for 'buy or walk away'."""
    chances, costs = after(check)
    net = gain - (costs - chances @ costs)
    expected = chances @ np.maximum(net, 0.0) - max(gain, 0.0)
    assert valued(gain)[check] == pytest.approx(max(float(expected), 0.0), rel=1e-6, abs=1e-6)


def test_information_never_harms_and_a_clear_case_needs_none() -> None:
    """The model: EVSI >= 0; where no result can turn the decision it is worth nothing."""
    for gain in (1e6, -1e6):
        assert max(valued(gain).values()) == pytest.approx(0.0, abs=1e-6)
    assert all(value > 0.0 for value in valued(0.0).values())


def test_what_is_dealt_with_is_not_asked_for_again() -> None:
    assert "listen" in valued(None)
    assert "listen" not in valued(None, frozenset({"top", "listen"}))


def test_a_second_reader_of_a_symptom_is_worth_less_than_the_first() -> None:
    """It reads the same symptom again: exactly what carrying its results through the whole computation gives."""
    heard = weigh(replace(CASE, findings=(*CASE.findings, tiny_cases.found("listen", "r0"))), PACK)
    left = open_checks(PACK, heard.basis, heard.readings.counted, frozenset({"top", "listen"}))
    assert left.values(None)["told_noise"] == pytest.approx(_spread(heard, "told_noise"), rel=1e-6)
    assert left.values(None)["told_noise"] < valued(None)["told_noise"]


def test_what_only_the_seller_tells_is_hearsay() -> None:
    """Thinned by the pack's power of hearsay, so it is worth less than the same result seen."""
    told = tuple(replace(c, told_by="seller") if c.id == "told_noise" else c for c in PACK.checks)
    left = open_checks(replace(PACK, checks=told), START.basis, START.readings.counted, frozenset({"top"}))
    assert 0.0 < left.values(None)["told_noise"] < valued(None)["told_noise"]
