"""The cost distribution: the sweep with characteristic functions, against moments and against draws."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from riskapi.domain.costing import (
    IMMEDIATE,
    PLANNED,
    RENEWALS,
    REPAIRS,
    SpendKind,
    distribution,
    distributions,
    make_transforms,
    spender_of,
    unplanned,
)
from riskapi.domain.evidence import Observed
from riskapi.domain.lattice import Lattice, beyond
from riskapi.domain.means import chance_of_nothing, chance_of_nothing_now, horizon_means
from riskapi.domain.sweep import OpenSymptom, make_plan
from tests.domain.weighed import full

FULL = full()
BASIS = FULL.basis
LATTICE = Lattice(20.0, 1024)
TRANSFORMS = make_transforms(BASIS.prices, LATTICE, (*REPAIRS, *RENEWALS))
POINTS = np.arange(LATTICE.size) * LATTICE.step


def pmf(spend: SpendKind) -> np.ndarray:
    return distribution(BASIS, TRANSFORMS, spend)


SPENDS = {
    "one year": (unplanned(0), horizon_means(BASIS)[0]),
    "two years": (unplanned(1), horizon_means(BASIS)[1]),
    "the term": (unplanned(2), float(FULL.means.unplanned.sum())),
    "immediate": (IMMEDIATE, float(FULL.means.immediate.sum())),
    "planned": (PLANNED, float(FULL.means.planned.sum())),
}


@pytest.mark.parametrize("name", SPENDS)
def test_mass_and_mean_are_those_of_the_exact_moments(name: str) -> None:
    """The means come by another way, without lattice or transform. A step is 20; rounding moves a mean far less."""
    spend, mean = SPENDS[name]
    found = pmf(spend)
    assert found.sum() == pytest.approx(1.0, abs=1e-5)
    assert found @ POINTS == pytest.approx(mean, abs=1.0)


def test_the_chance_of_nothing_is_the_zero_atom() -> None:
    """No repair here costs less than half a step, so the first cell holds nothing else."""
    assert pmf(unplanned(2))[0] == pytest.approx(chance_of_nothing(BASIS), abs=1e-6)
    assert pmf(IMMEDIATE)[0] == pytest.approx(chance_of_nothing_now(BASIS), abs=1e-6)


def test_costs_grow_with_the_horizon() -> None:
    """Law: up to a later year at least as much is spent, so every chance of exceeding grows."""
    curves = [pmf(spend) for spend in (IMMEDIATE, unplanned(0), unplanned(1), unplanned(2))]
    for amount in (0.0, 500.0, 1_500.0, 4_000.0):
        chances = [float(beyond(curve, LATTICE, amount)) for curve in curves]
        assert (np.diff(chances) >= -1e-9).all()


def test_putting_weak_points_right_lowers_the_cost() -> None:
    chain = [wp.id for wp in BASIS.outlook.lanes.weak_points].index("chain")
    for amount in (500.0, 1_500.0, 4_000.0):
        before, after = (float(beyond(pmf(unplanned(2, r)), LATTICE, amount)) for r in ((), (chain,)))
        assert after < before


def test_several_spends_at_once_are_those_spends() -> None:
    kinds = [IMMEDIATE, unplanned(0), unplanned(2), unplanned(2, [1])]
    for kind, row in zip(kinds, distributions(BASIS, TRANSFORMS, kinds), strict=True):
        assert row == pytest.approx(pmf(kind), abs=1e-12)


def test_the_sweep_of_all_weak_points_gives_the_same() -> None:
    """The readable way: every weak point's masses and transforms through the whole sweep, nothing multiplied apart."""
    total = np.zeros(LATTICE.frequencies, dtype=complex)
    for one in BASIS.counting:
        rows = spender_of(BASIS.outlook, TRANSFORMS, one.uses).rows([unplanned(2)])[:, 0]
        masses = one.uses.by_root(rows) * one.group.observed.factors[..., None]
        z = one.group.observed.sweep.evidence(masses.reshape(*masses.shape[:2], -1)).reshape(len(one.roots), -1)
        total += one.group.observed.constant[0] * (BASIS.posterior.root_factor[one.roots] @ z)
    assert LATTICE.pmf(total) == pytest.approx(pmf(unplanned(2)), abs=1e-10)  # rounding over the tilt of exp(-14)


def test_where_every_weak_point_touches_an_open_symptom_nothing_is_multiplied_apart() -> None:
    """All of them in one symptom that tells nothing: the distribution stays what it is."""
    one, count = BASIS.counting[0], len(BASIS.outlook.lanes.weak_points)
    mute = OpenSymptom("mute", np.array([0.5, 1.0]), {w: np.ones((3, 2)) for w in range(count)}, {})
    plan = make_plan(count, [mute])
    observed = Observed(plan, (np.ones((2, 1)),), np.ones((count, 3, 1)), np.ones(1))
    nothing = replace(one.group, observed=observed)
    tied = replace(BASIS, posterior=replace(BASIS.posterior, groups=(nothing,)))
    free = replace(one.group, observed=Observed(make_plan(count, []), (), np.ones((count, 3, 1)), np.ones(1)))
    apart = replace(BASIS, posterior=replace(BASIS.posterior, groups=(free,)))
    assert tied.counting[0].lone[0].lanes.size == 0
    kinds = [IMMEDIATE, unplanned(2)]
    # rounding, 1e-15, comes out of the tilt times exp(14)
    assert distributions(tied, TRANSFORMS, kinds) == pytest.approx(distributions(apart, TRANSFORMS, kinds), abs=1e-8)
