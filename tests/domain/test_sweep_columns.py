"""Columns of readings under roots, where alike ones are swept together, against every cell by itself."""

from __future__ import annotations

import numpy as np
import pytest

from riskapi.domain import sweep_columns
from riskapi.domain.sweep import Sweep
from riskapi.domain.sweep_columns import Columns
from riskapi.domain.sweep_plan import make_plan
from tests.simulator.networks import open_symptoms, random_network

CAUSES = 10


def columns(seed: int, count: int, roots: int) -> Columns:
    """What-if columns, each of which leaves out one reading or one factor, under roots of which some agree."""
    rng = np.random.default_rng(seed)
    symptoms, likelihoods = open_symptoms(random_network(rng, CAUSES, symptoms=7, most_parents=2))
    weights = [np.repeat(each, count, axis=1) for each in likelihoods]
    factors = np.repeat(rng.random((CAUSES, 3, 1)), count, axis=2)
    for column in range(1, count):
        if column % 2:
            weights[column % len(weights)][:, column] = 1.0
        else:
            factors[column % CAUSES, :, column] = 1.0
    masses = rng.dirichlet([5.0, 1.0, 1.0], (CAUSES, 3)).transpose(0, 2, 1)
    shared = rng.integers(0, 3, (CAUSES, roots))
    shared[: CAUSES // 2] = shared[: CAUSES // 2, :1]
    own = np.take_along_axis(masses, shared[:, None].repeat(3, axis=1), axis=2)
    return Columns(make_plan(CAUSES, symptoms), weights, factors, own)


def cell_by_cell(found: Columns) -> tuple[np.ndarray, np.ndarray]:
    roots = found.masses.shape[2]
    batch = (found.factors[..., None] * found.masses[:, :, None]).reshape(CAUSES, 3, -1)
    evidence, slopes = Sweep(found.plan, [np.repeat(w, roots, axis=1) for w in found.weights]).gradients(batch)
    return evidence.reshape(-1, roots), slopes.reshape(CAUSES, 3, -1, roots)


@pytest.mark.parametrize(("count", "roots"), [(1, 1), (1, 5), (9, 1), (12, 6)])
@pytest.mark.parametrize("seed", range(10))
def test_every_cell_has_its_own_evidence_and_slopes(seed: int, count: int, roots: int) -> None:
    found = columns(seed, count, roots)
    for mine, wanted in zip(found.gradients(), cell_by_cell(found), strict=True):
        assert mine == pytest.approx(wanted, rel=1e-12, abs=1e-300)


def test_many_roots_are_taken_in_runs(monkeypatch: pytest.MonkeyPatch) -> None:
    found = columns(5, 4, 6)
    whole = found.gradients()
    monkeypatch.setattr(sweep_columns, "ENTRIES", 1)
    for mine, wanted in zip(found.gradients(), whole, strict=True):
        assert mine == pytest.approx(wanted, rel=1e-14)
