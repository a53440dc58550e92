"""The car as usually sold."""

from __future__ import annotations

from dataclasses import replace

import pytest

from riskapi.domain.case import Case
from riskapi.domain.reference_car import ReferenceCost, reference_cost
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


def test_every_weak_point_has_its_share() -> None:
    found = reference(CASE)
    assert sum(surprise for _, surprise, _ in found.each) == pytest.approx(found.discounted, rel=1e-12)
    assert sum(planned for _, _, planned in found.each) == pytest.approx(found.planned_discounted, rel=1e-12)
