"""The car as usually sold, and the price that matches the findings against it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from riskapi.domain.assessment import Spread
from riskapi.domain.case import Case
from riskapi.domain.means import Means
from riskapi.domain.reference_car import ReferenceCost, price_for_findings, reference_cost
from tests.domain.weighed import full, weigh
from tests.simulator import tiny, tiny_cases

PACK, CASE = tiny.pack(), tiny_cases.plain_case()


def reference(case: Case) -> ReferenceCost:
    found = weigh(case, PACK)
    chances = [
        float(found.basis.posterior.root_chance[list(group.roots)].sum()) for group in found.basis.posterior.groups
    ]
    return reference_cost(case, PACK, found.identity, chances, found.terms, 8)


def test_what_was_found_on_this_car_moves_no_reference() -> None:
    """The model: average care, not inspected, same revision weights."""
    noisy = replace(CASE, findings=(tiny_cases.found("listen", "r2"),))
    one, other = (
        reference_cost(case, PACK, full().identity, [0.3, 0.7], weigh(case, PACK).terms, 8) for case in (CASE, noisy)
    )
    assert one == other


def test_an_average_car_of_which_nothing_is_known_is_its_own_reference() -> None:
    """A pack in which everybody is an average owner leaves no difference but the tune's."""
    average = tuple(replace(share, prior=prior) for share, prior in zip(PACK.defaults.care, (0, 1, 0), strict=True))
    pack = replace(PACK, defaults=replace(PACK.defaults, care=average))
    found = weigh(CASE, pack)
    chances = [c.weight for c in found.identity.candidates]
    means = reference_cost(CASE, pack, found.identity, chances, found.terms, 8)
    assert means.unplanned == pytest.approx(float(found.means.unplanned.sum()), rel=1e-9)
    assert means.planned_discounted == pytest.approx(float(found.means.planned_discounted.sum()), rel=1e-9)


def test_a_longer_term_costs_more() -> None:
    longer = replace(CASE, ownership=replace(CASE.ownership, years=5.0))
    assert reference(longer).unplanned > reference(CASE).unplanned


# ---- the price -------------------------------------------------------------------------------------------

REFERENCE = ReferenceCost(900.0, 850.0, 400.0, 390.0)


def means(immediate: float, later: float, planned: float = 390.0) -> Means:
    at_once, total = np.array([immediate]), np.array([immediate + later])
    return Means(total, at_once, total, np.array([planned]), np.array([planned]), np.ones(1))


def spread(p80: float) -> Spread:
    return Spread(0.0, 0.0, 0.0, 0.0, p80, 0.0, 0.0)


def test_a_car_like_the_reference_is_worth_its_value() -> None:
    found = price_for_findings(6_000.0, 400.0, means(0.0, 850.0), spread(900.0), REFERENCE, 0.0)
    assert found.for_findings == pytest.approx(6_000.0)
    assert found.cautious == pytest.approx(6_000.0)


def test_the_price_is_uncapped() -> None:
    """With a cap information would harm: a clean inspected car is worth more than an unseen one."""
    assert price_for_findings(6_000.0, 400.0, means(0.0, 300.0), spread(0.0), REFERENCE, 0.0).for_findings > 6_000.0


def test_the_price_falls_by_the_cost_beyond_the_references() -> None:
    found = price_for_findings(6_000.0, 400.0, means(500.0, 1_000.0, 450.0), spread(2_000.0), REFERENCE, 40.0)
    assert found.for_findings == pytest.approx(6_000.0 - (1_500.0 - 850.0) - (450.0 - 390.0) + 40.0)
    assert found.cautious == pytest.approx(6_000.0 - (2_000.0 - 900.0))


@pytest.mark.parametrize("immediate", [0.0, 500.0, 50_000.0])
def test_the_lines_add_up_to_the_cautious_price(immediate: float) -> None:
    found = price_for_findings(6_000.0, 400.0, means(immediate, 1_000.0), spread(2_000.0), REFERENCE, 40.0)
    assert sum(line.amount for line in found.items) == pytest.approx(found.cautious)
    assert found.cautious <= found.for_findings


def test_nobody_sells_for_less_than_scrap() -> None:
    found = price_for_findings(6_000.0, 400.0, means(50_000.0, 0.0), spread(60_000.0), REFERENCE, 0.0)
    assert (found.for_findings, found.cautious) == (400.0, 400.0)
