"""A part present n times, against explicit enumeration of what each copy does."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from riskapi.domain.copies import (
    all_copies_events,
    all_copies_worth,
    one_copy_events,
    together_planned,
    worst_state,
)

RNG = np.random.default_rng(7)
NODES, STARTS, MOST = 2, 4, 3
COPIES = [1, 2, 3]


def one_copy() -> tuple[np.ndarray, np.ndarray]:
    """Masses (K, 3) that do not sum to 1 (joint with a history), and pmf (K, 1, 4, MOST) of failures in service."""
    state = RNG.dirichlet([5, 2, 1], NODES) * np.array([[0.9], [0.6]])
    shape = RNG.dirichlet(np.ones(MOST), (NODES, 1, STARTS))
    masses = np.concatenate([state, np.ones((NODES, 1))], axis=1)
    return state, shape * masses[:, None, :, None]


STATE, PMF = one_copy()


@pytest.mark.parametrize("copies", COPIES)
def test_worst_state_by_enumeration(copies: int) -> None:
    expected = np.zeros((NODES, 3))
    for states in product(range(3), repeat=copies):
        expected[:, max(states)] += STATE[:, states].prod(axis=1)
    assert worst_state(STATE, copies) == pytest.approx(expected, rel=1e-12)


def test_worst_state_keeps_tiny_masses() -> None:
    """Sums of positive terms: nothing is lost where (A + B)^n - A^n would cancel."""
    state = np.array([[1.0 - 1e-17, 1e-17, 1e-30]])
    assert worst_state(state, 4)[0, 1:] == pytest.approx([4e-17, 4e-30], rel=1e-9)


@pytest.mark.parametrize("copies", COPIES)
def test_events_by_enumeration(copies: int) -> None:
    """Every copy with its start and its number of failures; f counts those found faulty on day 0."""
    expected = np.zeros((NODES, 1, STARTS, copies + 1, copies * (MOST - 1) + 1))
    for states in product(range(3), repeat=copies):
        for numbers in product(range(MOST), repeat=copies):
            mass = np.prod([PMF[:, 0, s, n] for s, n in zip(states, numbers, strict=True)], axis=0)
            expected[:, 0, max(states), states.count(2), sum(numbers)] += mass
    for numbers in product(range(MOST), repeat=copies):
        expected[:, 0, 3, 0, sum(numbers)] += np.prod([PMF[:, 0, 3, n] for n in numbers], axis=0)
    found = all_copies_events(PMF, copies)
    assert found == pytest.approx(expected, abs=1e-15)


def test_one_copy_is_the_case_of_one() -> None:
    assert one_copy_events(PMF) == pytest.approx(all_copies_events(PMF, 1), abs=1e-15)


@pytest.mark.parametrize("copies", COPIES)
def test_worth_of_failures_is_the_expected_number_where_nothing_is_discounted(copies: int) -> None:
    worth = np.stack([PMF[:, 0] @ np.arange(MOST), np.zeros((NODES, STARTS))], axis=2)
    events = all_copies_events(PMF, copies)[:, 0]
    expected = np.einsum("ksfn,n->ks", events, np.arange(events.shape[-1]))
    assert all_copies_worth(STATE, worth, copies)[..., 0] == pytest.approx(expected, rel=1e-9)


@pytest.mark.parametrize("copies", COPIES)
def test_copies_are_renewed_together_when_planned(copies: int) -> None:
    """So their number is that of one copy, and its worth follows the same rule."""
    planned = PMF[:, 0]
    found = together_planned(STATE, planned, copies)
    assert found[:, :3].sum(axis=2) == pytest.approx(worst_state(STATE, copies), rel=1e-9)
    assert found[:, :3] / found[:, :3].sum(axis=2, keepdims=True) == pytest.approx(
        planned[:, :3] / planned[:, :3].sum(axis=2, keepdims=True)
    )
    worth = np.stack([np.zeros((NODES, STARTS)), planned @ np.arange(MOST)], axis=2)
    assert all_copies_worth(STATE, worth, copies)[..., 1] == pytest.approx(found @ np.arange(MOST), rel=1e-9)
