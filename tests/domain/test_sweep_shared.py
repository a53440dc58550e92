"""Roots that share lives against every root by itself."""

from __future__ import annotations

import numpy as np
import pytest

from riskapi.domain import sweep_shared
from riskapi.domain.sweep import Sweep
from riskapi.domain.sweep_matrices import MatrixSweep
from riskapi.domain.sweep_plan import OpenSymptom, make_plan
from riskapi.domain.sweep_shared import SharedSweep
from tests.simulator.networks import open_symptoms, random_network

CAUSES, LIVES = 10, 30


def network(seed: int) -> tuple[MatrixSweep, Sweep]:
    """Several components, arcs, many symptoms open at a time."""
    symptoms, weights = open_symptoms(random_network(np.random.default_rng(seed), CAUSES, symptoms=7, most_parents=2))
    plan = make_plan(CAUSES, symptoms)
    return MatrixSweep(plan, weights), Sweep(plan, weights)


def lives_and_rows(seed: int, roots: int, most: int) -> tuple[np.ndarray, np.ndarray]:
    """Which of up to `most` lives of its own each weak point has under each root, and the masses of all lives."""
    rng = np.random.default_rng(seed)
    own = rng.integers(0, rng.integers(1, most + 1, (CAUSES, 1)), (CAUSES, roots))
    rows = rng.random((LIVES, 3, 40)) * np.exp(2j * np.pi * rng.random((LIVES, 3, 40)))
    return own + np.arange(CAUSES)[:, None] * (LIVES // CAUSES), rows


def by_root(sweep: Sweep, lives: np.ndarray, rows: np.ndarray) -> np.ndarray:
    return np.stack([sweep.connected(rows[column]) for column in lives.T])


@pytest.mark.parametrize("roots", [1, 2, 12])
@pytest.mark.parametrize("seed", range(12))
def test_every_root_has_its_own_evidence(seed: int, roots: int) -> None:
    matrices, steps = network(seed)
    lives, rows = lives_and_rows(seed, roots, LIVES // CAUSES)
    wanted = by_root(steps, lives, rows)
    for sweep in (matrices, steps):
        assert SharedSweep(sweep, lives).evidence(rows) == pytest.approx(wanted, rel=1e-12, abs=1e-15)


def test_roots_that_differ_nowhere_are_swept_once() -> None:
    matrices, _ = network(4)
    lives, rows = lives_and_rows(4, 1, 1)
    shared = SharedSweep(matrices, lives.repeat(6, axis=1))
    assert all(stop.life.size == 1 for passage in shared.passages for stop in passage.stops)
    assert np.ptp(shared.evidence(rows), axis=0) == pytest.approx(0.0)


@pytest.mark.parametrize("place", [0, -1])
def test_the_halves_meet_where_the_roots_part(place: int) -> None:
    """A weak point that alone tells the roots apart: only what is between it and the meeting is swept per root."""
    matrices, steps = network(7)
    lives, rows = lives_and_rows(7, 5, 1)
    lives[matrices.plan.order[place]] = np.arange(5)
    shared = SharedSweep(matrices, lives)
    classes = [stop.life.size for passage in shared.passages for stop in passage.stops]
    assert sorted(classes)[-2:] == [1, 5]
    assert shared.evidence(rows) == pytest.approx(by_root(steps, lives, rows), rel=1e-12, abs=1e-15)


def test_long_batches_are_cut_into_blocks(monkeypatch: pytest.MonkeyPatch) -> None:
    matrices, _ = network(2)
    lives, rows = lives_and_rows(2, 4, 3)
    whole = SharedSweep(matrices, lives).evidence(rows)
    monkeypatch.setattr(sweep_shared, "BLOCK", 1)
    assert SharedSweep(matrices, lives).evidence(rows) == pytest.approx(whole, rel=1e-14)


def test_a_symptom_without_parents_is_a_factor() -> None:
    alone = OpenSymptom("alone", np.array([0.25, 1.0]), {}, {})
    sweep = MatrixSweep(make_plan(2, [alone]), [np.array([[0.5], [0.1]])])
    found = SharedSweep(sweep, np.zeros((2, 3), dtype=np.intp)).evidence(np.ones((1, 3, 20), dtype=complex))
    assert found == pytest.approx(np.full((3, 20), 0.25 * 0.5 + 0.75 * 0.1))
