"""Moments of results: against an assessment for every pair of results."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest

from riskapi.domain.knowledge import Pack
from riskapi.domain.next_checks import OpenChecks, open_checks
from riskapi.domain.result_moments import Moments, moments
from riskapi.domain.tied_levels import open_tied
from riskapi.intake import case_from_json
from tests.domain.listings import listing
from tests.domain.results_together import together
from tests.domain.weighed import Weighed, weigh
from tests.simulator import tiny, tiny_cases

PACK = tiny.pack()
UNSEEN = weigh(tiny_cases.plain_case(), PACK)
SEEN = weigh(replace(tiny_cases.plain_case(), findings=(tiny_cases.found("listen", "r1"),)), PACK)


def left_of(start: Weighed) -> OpenChecks:
    return open_checks(PACK, start.basis, start.readings.counted, frozenset(f.check.id for f in start.readings.counted))


def moments_of(start: Weighed) -> Moments:
    left = left_of(start)
    return moments(left, start.basis, [check for check, _ in left.outcomes])


PAIRS = [
    (start, pair)
    for start in (UNSEEN, SEEN)
    for pair in combinations([check.id for check, _ in left_of(start).outcomes], 2)
]


@pytest.mark.parametrize(("start", "pair"), PAIRS, ids=lambda x: "-".join(x) if isinstance(x, tuple) else "")
def test_results_of_two_checks_go_together_as_their_assessments_say(start: Weighed, pair: tuple[str, str]) -> None:
    """Plain symptoms, two readers of one symptom, zones above each other, a reader of a root, before and after a
    finding: the covariance of two features is P(both) - P(one) P(other)."""
    chance, _ = together(start, pair)
    apart = np.outer(chance.sum(axis=1), chance.sum(axis=0))
    found = moments_of(start)
    mine = found.covariance[found.place[pair[0]], found.place[pair[1]]]
    assert mine == pytest.approx((chance - apart)[1:, 1:], abs=1e-12)


@pytest.mark.parametrize("start", [UNSEEN, SEEN])
def test_the_covariance_is_one(start: Weighed) -> None:
    """Symmetric and without negative eigenvalues."""
    covariance = moments_of(start).covariance
    assert covariance == pytest.approx(covariance.T, abs=1e-15)
    assert np.linalg.eigvalsh(covariance)[0] > -1e-12


def test_the_covariance_with_the_cost() -> None:
    """E[cost; result] - E[cost] P(result), by an assessment for each result."""
    found = moments_of(UNSEEN)
    chance, cost = together(UNSEEN, ["listen"])
    assert found.with_cost[found.place["listen"]] == pytest.approx((cost - cost.sum() * chance)[1:], rel=1e-6)


def test_zones_without_a_common_cause_are_independent_under_a_root(shipped: Pack) -> None:
    """The short way for two tied symptoms that share no weak point, against opening both side by side."""
    start = weigh(case_from_json(listing(), shipped), shipped)
    left = open_checks(shipped, start.basis, (), frozenset())
    checks = [shipped.check(name) for name in ("look_head_joint", "look_coolant_pump")]
    found = moments(left, start.basis, checks)
    both = sum(
        open_tied(group, start.basis, {}, [str(check.symptom) for check in checks])
        .chances(np.ones((len(start.basis.outlook.lanes.weak_points), 3, 1)))
        .sum(axis=(1, 2))
        for group in start.basis.posterior.groups
    ).reshape([len(check.results) for check in checks])
    apart = np.outer(both.sum(axis=1), both.sum(axis=0))
    mine = found.covariance[found.place["look_head_joint"], found.place["look_coolant_pump"]]
    assert mine == pytest.approx((both - apart)[1:, 1:], abs=1e-12)
