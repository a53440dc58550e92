"""The sweep written out as matrices against the step-by-step sweep on random networks."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from riskapi.domain import sweep_matrices
from riskapi.domain.evidence import Observed, observe
from riskapi.domain.sweep import Sweep
from riskapi.domain.sweep_matrices import LARGEST, MatrixSweep, fixed_sweep
from tests.domain.networks import WEAK_POINTS, random_likelihoods, random_tables


def observed(seed: int) -> Observed:
    rng = np.random.default_rng(seed)
    tables = random_tables(rng)
    likelihoods = random_likelihoods(rng, tables)
    return observe(WEAK_POINTS, tables, {name: value[:, None] for name, value in likelihoods.items()}, 1)


def masses(seed: int, batch: int, *, waves: bool) -> np.ndarray:
    """(weak points, 3, batch), complex of any phase with `waves`."""
    rng = np.random.default_rng(seed)
    size = rng.random((WEAK_POINTS, 3, batch))
    return size * np.exp(2j * np.pi * rng.random(size.shape)) if waves else size


@pytest.mark.parametrize("waves", [False, True])
@pytest.mark.parametrize("seed", range(8))
def test_evidence_and_gradients_are_those_of_the_steps(seed: int, waves: bool) -> None:
    seen, mass = observed(seed), masses(seed, 5, waves=waves)
    steps, matrices = Sweep(seen.plan, seen.weights), MatrixSweep(seen.plan, seen.weights)
    assert matrices.evidence(mass) == pytest.approx(steps.evidence(mass), rel=1e-12, abs=1e-15)
    for found, wanted in zip(matrices.gradients(mass), steps.gradients(mass), strict=True):
        assert found == pytest.approx(np.broadcast_to(wanted, found.shape), rel=1e-12, abs=1e-15)


def test_long_batches_are_multiplied_in_blocks(monkeypatch: pytest.MonkeyPatch) -> None:
    seen, mass = observed(3), masses(3, 50, waves=True)
    sweep = MatrixSweep(seen.plan, seen.weights)
    whole = sweep.evidence(mass)
    monkeypatch.setattr(sweep_matrices, "ALONE", 7)
    assert sweep.evidence(mass) == pytest.approx(whole, rel=1e-14)


def test_without_symptoms_every_weak_point_counts_by_its_total() -> None:
    nothing, mass = observe(WEAK_POINTS, {}, {}, 1), masses(1, 4, waves=False)
    assert isinstance(nothing.sweep, MatrixSweep)
    assert nothing.sweep.evidence(mass) == pytest.approx(mass.sum(axis=1).prod(axis=0))


def test_large_arrays_stay_with_the_steps() -> None:
    seen = observed(0)
    assert isinstance(fixed_sweep(replace(seen.plan, largest=LARGEST), seen.weights), MatrixSweep)
    assert isinstance(fixed_sweep(replace(seen.plan, largest=LARGEST + 1), seen.weights), Sweep)
