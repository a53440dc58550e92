"""The exact sweep: derivatives, batches, and number types (exact posteriors: see test_evidence.py)."""

from __future__ import annotations

import numpy as np
import pytest

from riskapi.domain.evidence import observe
from riskapi.domain.sweep import Sweep, column_blocks, products_of_others
from riskapi.domain.sweep_matrices import MatrixSweep
from tests.domain.networks import WEAK_POINTS, random_likelihoods, random_tables


def random_sweep(seed: int, batch: int = 1) -> tuple[Sweep, np.ndarray]:
    rng = np.random.default_rng(seed)
    tables = random_tables(rng)
    seen = {name: np.repeat(v[:, None], batch, axis=1) for name, v in random_likelihoods(rng, tables).items()}
    observed = observe(WEAK_POINTS, tables, seen, batch)
    masses = np.moveaxis(rng.dirichlet([3.0, 1.0, 1.0], (batch, WEAK_POINTS)), 0, -1) * observed.factors
    return Sweep(observed.plan, observed.weights), masses


@pytest.mark.parametrize("seed", range(8))
def test_gradients_against_finite_differences(seed: int) -> None:
    """The evidence is linear in each single mass, so a difference of any size is exact."""
    sweep, masses = random_sweep(seed)
    evidence, slopes = sweep.gradients(masses)
    for i in range(WEAK_POINTS):
        for state in range(3):
            moved = masses.copy()
            moved[i, state] += 0.25
            difference = (sweep.evidence(moved) - evidence) / 0.25
            assert slopes[i, state] == pytest.approx(difference, rel=1e-9, abs=1e-14)


@pytest.mark.parametrize("seed", range(8))
def test_the_states_of_each_weak_point_sum_to_the_evidence(seed: int) -> None:
    sweep, masses = random_sweep(seed, batch=3)
    evidence, joint = sweep.marginals(masses)
    assert joint.sum(axis=1) == pytest.approx(np.broadcast_to(evidence, (WEAK_POINTS, 3)), rel=1e-12)
    assert sweep.evidence(masses) == pytest.approx(evidence, rel=1e-14)


def test_complex_masses_are_swept_like_real_ones() -> None:
    """Characteristic functions take the place of masses: with real ones in complex dress nothing changes."""
    sweep, masses = random_sweep(4, batch=2)
    assert sweep.evidence(masses.astype(complex)) == pytest.approx(sweep.evidence(masses))
    turned = masses * np.exp(1j * np.array([0.3, -0.2, 0.5]))[None, :, None]
    value, slopes = sweep.gradients(turned)
    assert (turned[0] * slopes[0]).sum(axis=0) == pytest.approx(value)


def test_evidence_scales_with_each_weak_point() -> None:
    sweep, masses = random_sweep(6)
    halved = masses.copy()
    halved[2] *= 0.5
    assert sweep.evidence(halved) == pytest.approx(0.5 * sweep.evidence(masses))


def test_a_weak_point_that_is_impossible_makes_everything_impossible() -> None:
    sweep, masses = random_sweep(6)
    masses[1] = 0.0
    evidence, slopes = sweep.gradients(masses)
    assert float(evidence.sum()) == 0.0
    assert (slopes[1] > 0.0).any()  # no division: what it would have been is still known


@pytest.mark.parametrize("kind", [Sweep, MatrixSweep])
def test_long_batches_are_swept_in_blocks_of_columns(
    monkeypatch: pytest.MonkeyPatch, kind: type[Sweep] | type[MatrixSweep]
) -> None:
    """Blocks that do not divide the batch, and likelihoods that are one column or many."""
    steps, masses = random_sweep(3, batch=1)
    many = np.repeat(masses, 23, axis=2) * np.random.default_rng(3).random((WEAK_POINTS, 3, 23))
    sweep = kind(steps.plan, steps.weights)
    whole, connected = sweep.gradients(many), sweep.connected(many)
    monkeypatch.setattr("riskapi.domain.sweep.BLOCK", 5 * steps.plan.largest * many.itemsize)
    assert [cut.stop - cut.start for cut in column_blocks(steps.plan, many)] == [5] * 5
    for found, wanted in zip((*sweep.gradients(many), sweep.connected(many)), (*whole, connected), strict=True):
        assert found == pytest.approx(wanted, rel=1e-13)


def test_likelihoods_of_many_columns_are_cut_with_the_masses(monkeypatch: pytest.MonkeyPatch) -> None:
    sweep, masses = random_sweep(5, batch=7)
    weights = [w * np.linspace(0.5, 1.0, 7) for w in sweep.weights]
    whole = Sweep(sweep.plan, weights).gradients(masses)
    monkeypatch.setattr("riskapi.domain.sweep.BLOCK", 3 * sweep.plan.largest * masses.itemsize)
    for found, wanted in zip(Sweep(sweep.plan, weights).gradients(masses), whole, strict=True):
        assert found == pytest.approx(wanted, rel=1e-13)


def test_products_of_the_others_need_no_division() -> None:
    rows = np.array([[2.0, 0.0], [3.0, 5.0], [0.5, 0.0]])
    assert products_of_others(rows) == pytest.approx(np.array([[1.5, 0.0], [1.0, 0.0], [6.0, 0.0]]))
    assert products_of_others(rows[:1]) == pytest.approx(np.ones((1, 2)))
    assert products_of_others(rows[:0]).shape == (0, 2)
