"""Expected money, exactly by moments."""

from __future__ import annotations

import numpy as np
import pytest

from riskapi.domain.means import (
    chance_of_nothing,
    chance_of_nothing_now,
    expected,
    horizon_means,
    likelihood_ratio,
    mean_costs,
)
from tests.domain.weighed import full, plain

FULL = full()
BASIS, MEANS = FULL.basis, FULL.means
POSTERIOR, TABLE = BASIS.posterior, BASIS.outlook.table


def test_the_ratio_turns_masses_into_posterior_chances() -> None:
    assert likelihood_ratio(POSTERIOR, TABLE) * TABLE.masses == pytest.approx(POSTERIOR.state, abs=1e-14)


def test_horizon_means_grow_to_the_mean_of_the_term() -> None:
    means = horizon_means(BASIS)
    assert (np.diff(means) > 0.0).all()
    assert means[-1] == pytest.approx(float(MEANS.unplanned.sum()), rel=1e-12)
    assert means[0] > float(MEANS.immediate.sum())


def test_immediate_costs_are_the_faulty_copies_times_their_price() -> None:
    lanes, money = BASIS.outlook.lanes, mean_costs(BASIS)
    single = [w for w, wp in enumerate(lanes.weak_points) if wp.id != "coil"]
    by_hand = (POSTERIOR.state[:, 2] * money.found).sum(axis=1)
    assert MEANS.immediate[single] == pytest.approx(by_hand[single])


def test_discounting_touches_only_what_comes_later() -> None:
    later = MEANS.unplanned - MEANS.immediate
    discounted = MEANS.discounted - MEANS.immediate
    assert (discounted < later).all()
    assert (discounted > later * 1.02**-3).all()
    assert MEANS.planned_discounted.sum() < MEANS.planned.sum()


def test_planned_money_is_times_times_price() -> None:
    belt = [wp.id for wp in BASIS.outlook.lanes.weak_points].index("belt")
    assert MEANS.planned[belt] == pytest.approx(MEANS.renewals[belt] * mean_costs(BASIS).renewal[belt, 0])
    assert MEANS.planned.sum() == MEANS.planned[belt]


def test_nothing_needs_nothing_now_and_later() -> None:
    assert 0.0 < chance_of_nothing(BASIS) < chance_of_nothing_now(BASIS) < 1.0


def test_without_findings_nothing_now_is_a_product_under_each_root() -> None:
    """Weak points are independent given the roots."""
    basis = plain().basis
    sound = 1.0 - basis.outlook.table.masses[:, 2] / basis.outlook.table.masses.sum(axis=1)
    by_hand = basis.posterior.root_chance @ sound.prod(axis=0)
    assert chance_of_nothing_now(basis) == pytest.approx(float(by_hand), abs=1e-9)


def test_means_are_recomputed_alike() -> None:
    assert expected(BASIS).unplanned.tolist() == MEANS.unplanned.tolist()
