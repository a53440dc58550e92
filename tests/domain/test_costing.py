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
    Spender,
    SpendKind,
    distribution,
    make_transforms,
    unplanned,
    uses_of,
)
from riskapi.domain.lattice import Lattice, beyond
from riskapi.domain.means import chance_of_nothing, chance_of_nothing_now, horizon_means
from riskapi.domain.outlook import mass_table
from tests.domain.weighed import full, plain

FULL = full()
BASIS = FULL.basis
LATTICE = Lattice(20.0, 1024)
TRANSFORMS = make_transforms(BASIS.prices, LATTICE, (*REPAIRS, *RENEWALS))
POINTS = np.arange(LATTICE.size) * LATTICE.step


def pmf(spend: SpendKind, renewed: tuple[int, ...] = ()) -> np.ndarray:
    return distribution(BASIS, TRANSFORMS, spend, renewed)


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
        before, after = (float(beyond(pmf(unplanned(2), r), LATTICE, amount)) for r in ((), (chain,)))
        assert after < before


def test_at_frequency_zero_without_tilt_a_transform_is_the_mass() -> None:
    """With all costs at zero the characteristic functions are one and the masses stay."""
    flat = replace(TRANSFORMS, single={kind: np.ones_like(rows) for kind, rows in TRANSFORMS.single.items()})
    roots = BASIS.posterior.groups[0].roots
    spender = Spender(BASIS.outlook, flat, roots, 0)
    masses = spender.by_root(spender.of(unplanned(2)))[..., 0].real
    assert masses == pytest.approx(BASIS.outlook.table.masses[..., list(roots)], abs=1e-9)


def test_to_uses_is_the_transpose_of_by_root() -> None:
    spender = Spender(BASIS.outlook, TRANSFORMS, BASIS.posterior.groups[0].roots, 0)
    rng = np.random.default_rng(11)
    rows = rng.random((spender.uses.lanes.size, 3, 4)) + 0j
    slopes = rng.random(spender.by_root(rows).shape)
    absent = spender.by_root(0.0 * rows)
    assert ((spender.by_root(rows) - absent) * slopes).sum() == pytest.approx((rows * spender.to_uses(slopes)).sum())


def test_nodes_average_to_the_masses() -> None:
    spender = Spender(BASIS.outlook, TRANSFORMS, BASIS.posterior.groups[0].roots, 0)
    assert spender.of_nodes().mean(axis=1) == pytest.approx(spender.of(unplanned(2)), abs=1e-12)


def test_uses_mix_to_what_the_table_holds() -> None:
    outlook = plain().basis.outlook
    uses = uses_of(outlook, range(len(outlook.lanes.roots)))
    total = np.zeros(mass_table(outlook).masses.shape)
    total[:, 0] += uses.absent
    for mix in uses.mixings:
        states = np.array([outlook.spends[lane].state.mean(axis=0) for lane in uses.lanes[mix.use]])
        total[mix.weak_point, :, mix.root] += mix.weight[:, None] * states
    assert total == pytest.approx(outlook.table.masses)
