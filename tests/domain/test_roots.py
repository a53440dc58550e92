"""What is unknown about the whole car, and what reads it directly."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from riskapi.domain.case import Case
from riskapi.domain.identify import Candidate, identify
from riskapi.domain.knowledge import CheckResult
from riskapi.domain.readings import CountedFinding
from riskapi.domain.roots import Root, root_combinations, root_likelihood
from tests.simulator import tiny, tiny_cases

PACK = tiny.pack()
CASE = replace(
    tiny_cases.plain_case(), vehicle=replace(tiny_cases.plain_case().vehicle, first_registered=date(2014, 4, 1))
)
CANDIDATES = identify(CASE, PACK).candidates


def combinations(case: Case = CASE, weak_points: int = 5) -> tuple[Root, ...]:
    return root_combinations(case, PACK, CANDIDATES, PACK.weak_points[:weak_points])


def test_weights_sum_to_one_in_row_major_order() -> None:
    roots = combinations()
    assert sum(root.weight for root in roots) == pytest.approx(1.0)
    assert [(r.candidate, r.care, r.tuned) for r in roots] == [
        (candidate, care, tuned) for candidate in range(2) for care in range(3) for tuned in (False, True)
    ]


def test_weights_are_products_of_the_priors() -> None:
    for root in combinations():
        tune = 0.06 if root.tuned else 0.94
        assert root.weight == pytest.approx(CANDIDATES[root.candidate].weight * (0.3, 0.5, 0.2)[root.care] * tune)


@pytest.mark.parametrize(("stated", "tuned"), [("yes", True), ("no", False)])
def test_a_stated_tune_is_no_root(stated: str, tuned: bool) -> None:
    case = replace(CASE, vehicle=replace(CASE.vehicle, software_tune=stated))
    assert {root.tuned for root in combinations(case)} == {tuned}


def test_a_tune_that_no_weak_point_feels_is_no_root() -> None:
    assert len(combinations(weak_points=4)) == 6  # without the turbo


def finding(check: str, result: int) -> CountedFinding:
    found = PACK.check(check)
    return CountedFinding(check, found, result, found.table, "", "self", "")


def test_deposits_read_care() -> None:
    roots = combinations()
    likelihood = root_likelihood(finding("deposits", 1), roots, CANDIDATES)
    assert likelihood.tolist() == [(0.1, 0.4, 0.8)[root.care] for root in roots]


def test_what_reads_a_symptom_says_nothing_about_roots_by_itself() -> None:
    assert (root_likelihood(finding("listen", 2), combinations(), CANDIDATES) == 1.0).all()


def feature(result: int) -> CountedFinding:
    """A plug: round on 'first', square on 'second', a third kind on engines that are not candidates."""
    results = tuple(CheckResult(name, name, ()) for name in ("round", "square", "other"))
    check = replace(
        PACK.check("deposits"), root="revision", results=results, features=(("first",), ("second",), ("elsewhere",))
    )
    return CountedFinding("plug", check, result, (), "", "self", "")


@pytest.mark.parametrize(("result", "expected"), [(0, (1.0, 0.0)), (1, (0.0, 1.0)), (2, (0.0, 0.0))])
def test_a_feature_settles_the_revision(result: int, expected: tuple[float, float]) -> None:
    roots = combinations()
    likelihood = root_likelihood(feature(result), roots, CANDIDATES)
    assert likelihood.tolist() == [expected[root.candidate] for root in roots]


def test_a_revision_that_the_check_knows_nothing_of_gives_every_result_the_same_chance() -> None:
    generic = (Candidate(None, 1.0, CANDIDATES[0].traits),)
    roots = (Root(0, 1, False, 1.0),)
    assert sum(float(root_likelihood(feature(k), roots, generic)[0]) for k in range(3)) == pytest.approx(1.0)


def test_a_feature_that_is_only_told_rules_nothing_out() -> None:
    roots = combinations()
    told = replace(feature(0), power=0.5)
    assert root_likelihood(told, roots, CANDIDATES).tolist() == pytest.approx(
        [0.5 * (root.candidate == 0) + 0.5 / 3 for root in roots]
    )
    assert sum(root_likelihood(replace(told, result=k), roots, CANDIDATES)[0] for k in range(3)) == pytest.approx(1.0)
