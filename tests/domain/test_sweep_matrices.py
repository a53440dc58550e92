"""The sweep written out as matrices against the step-by-step sweep on random networks."""

from __future__ import annotations

import numpy as np
import pytest

from riskapi.domain import sweep_matrices
from riskapi.domain.evidence import Observed, observe
from riskapi.domain.sweep import Sweep
from riskapi.domain.sweep_matrices import LARGEST, NARROW, MatrixSweep, fixed_sweep
from riskapi.domain.sweep_plan import OpenSymptom, Plan, make_plan
from tests.domain.networks import WEAK_POINTS, random_likelihoods, random_tables
from tests.simulator.networks import open_symptoms, random_network


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


def wide(classes: int) -> tuple[Plan, list[np.ndarray]]:
    """One weak point that shows in two symptoms of so many classes, which others have touched before it."""
    table = np.linspace(1.0, 0.4, 3)[:, None] ** np.arange(classes)[::-1]
    symptoms = [
        OpenSymptom(f"s{k}", np.linspace(0.2, 1.0, classes), dict.fromkeys((0, 1, 2), table), {}) for k in (0, 1)
    ]
    return make_plan(3, symptoms), [np.linspace(0.1, 0.9, classes)[:, None]] * 2


def test_wide_visits_stay_with_the_steps() -> None:
    """The second of the three finds the whole array before it, classes ** 2 entries."""
    assert isinstance(fixed_sweep(*wide(8)), MatrixSweep)
    assert isinstance(fixed_sweep(*wide(9)), Sweep)
    assert LARGEST == 8**2


@pytest.mark.parametrize("columns", [1, 2, NARROW, NARROW + 1])
@pytest.mark.parametrize("seed", range(30))
def test_narrow_batches_take_several_weak_points_per_visit(seed: int, columns: int) -> None:
    """Larger networks than above: many symptoms open at a time, arcs, components, symptoms without parents."""
    net = random_network(np.random.default_rng(seed), causes=10, symptoms=7, most_parents=2)
    symptoms, weights = open_symptoms(net)
    plan = make_plan(10, symptoms)
    mass = np.random.default_rng(seed).dirichlet([5.0, 1.0, 1.0], (10, columns)).transpose(0, 2, 1).copy()
    evidence, joint = MatrixSweep(plan, weights).marginals(mass)
    want, wanted = Sweep(plan, weights).marginals(mass)
    assert evidence == pytest.approx(np.broadcast_to(want, columns), rel=1e-12)
    assert joint == pytest.approx(wanted, rel=1e-12, abs=1e-300)
    assert MatrixSweep(plan, weights).evidence(mass) == pytest.approx(evidence, rel=1e-12)


def test_symptoms_without_a_parent_are_a_factor() -> None:
    alone = OpenSymptom("alone", np.array([0.25, 1.0]), {}, {})
    plan, mass = make_plan(2, [alone]), masses(2, 20, waves=True)[:2]
    evidence, slopes = MatrixSweep(plan, [np.array([[0.5], [0.1]])]).gradients(mass)
    assert evidence == pytest.approx((0.25 * 0.5 + 0.75 * 0.1) * mass.sum(axis=1).prod(axis=0))
    assert (mass[0] * slopes[0]).sum(axis=0) == pytest.approx(evidence)
