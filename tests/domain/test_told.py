"""What a set of checks tells of the cost: against regression on made-up joint distributions, and laws."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from riskapi.domain.next_checks import open_checks
from riskapi.domain.result_moments import Moments, moments
from riskapi.domain.told import Told, told_by
from tests.domain.results_together import together
from tests.domain.weighed import weigh
from tests.simulator import tiny, tiny_cases

SIZES = (2, 3, 2, 2)
NAMES = tuple(f"c{k}" for k in range(len(SIZES)))


def made_up(seed: int) -> tuple[np.ndarray, np.ndarray]:
    """Chances of all combinations of results, and the expected cost given each."""
    rng = np.random.default_rng(seed)
    chance = rng.random(SIZES) ** 3
    return chance / chance.sum(), rng.normal(0.0, 100.0, SIZES)


def features(chance: np.ndarray) -> np.ndarray:
    """Indicators of every result but the first, for each combination, (combinations, features)."""
    at = np.indices(chance.shape).reshape(chance.ndim, -1)
    return np.array([at[c] == k for c, size in enumerate(chance.shape) for k in range(1, size)], dtype=float).T


def moments_of(chance: np.ndarray, cost: np.ndarray) -> Moments:
    weight, seen = chance.ravel(), features(chance)
    mean = weight @ seen
    covariance = seen.T @ (weight[:, None] * seen) - np.outer(mean, mean)
    starts = np.cumsum([0, *(size - 1 for size in SIZES)])
    place = {name: slice(int(a), int(b)) for name, (a, b) in zip(NAMES, pairwise(starts), strict=True)}
    return Moments(place, covariance, seen.T @ (weight * cost.ravel()) - mean * (weight @ cost.ravel()))


def told_of(seed: int) -> Told:
    return told_by(moments_of(*made_up(seed)), [(name,) for name in NAMES])


def by_regression(seed: int, chosen: list[int]) -> float:
    """Variance explained by weighted least squares of the cost on the chosen results (numpy.linalg.lstsq)."""
    chance, cost = made_up(seed)
    weight, y = chance.ravel(), cost.ravel()
    starts = np.cumsum([0, *(size - 1 for size in SIZES)])
    columns = [k for c in chosen for k in range(starts[c], starts[c + 1])]
    design = np.column_stack([np.ones(weight.size), features(chance)[:, columns]])
    root = np.sqrt(weight)[:, None]
    fitted = design @ np.linalg.lstsq(design * root, y * root[:, 0], rcond=None)[0]
    return float(weight @ (fitted - weight @ y) ** 2)


subsets = st.sets(st.integers(0, len(SIZES) - 1), min_size=1).map(sorted)


@given(st.integers(0, 10_000), subsets)
@settings(max_examples=60)
def test_a_set_explains_what_regression_on_its_results_explains(seed: int, chosen: list[int]) -> None:
    assert told_of(seed).together(chosen) == pytest.approx(by_regression(seed, chosen), rel=1e-6, abs=1e-6)


@given(st.integers(0, 10_000), subsets)
@settings(max_examples=60)
def test_gains_one_after_the_other_add_up_and_none_is_negative(seed: int, chosen: list[int]) -> None:
    told, total = told_of(seed), 0.0
    for act in chosen:
        gain = told.gain(act)
        assert gain >= 0.0
        total, told = total + gain, told.after(act)
    assert total == pytest.approx(told_of(seed).together(chosen), rel=1e-6, abs=1e-6)


@given(st.integers(0, 10_000), subsets)
@settings(max_examples=60)
def test_a_floor_of_what_all_combinations_of_results_tell(seed: int, chosen: list[int]) -> None:
    """Never above the variance of E[cost | results], and equal to it for one check."""
    chance, cost = made_up(seed)
    others = tuple(c for c in range(len(SIZES)) if c not in chosen)
    marginal = chance.sum(axis=others)
    given_results = (chance * cost).sum(axis=others) / marginal
    exact = float((marginal * (given_results - (chance * cost).sum()) ** 2).sum())
    mine = told_of(seed).together(chosen)
    assert mine <= exact * (1.0 + 1e-9) + 1e-9
    if len(chosen) == 1:
        assert mine == pytest.approx(exact, rel=1e-6)


@given(st.integers(0, 10_000), subsets)
@settings(max_examples=60)
def test_the_gains_over_the_least_independence_bound_a_set(seed: int, chosen: list[int]) -> None:
    """Das & Kempe (2011), lemma 2.4: f(S) <= sum of gains / smallest eigenvalue."""
    told = told_of(seed)
    least = told.least_independence(list(range(len(SIZES))))
    assert 0.0 <= least <= 1.0
    if least > 1e-6:
        assert told.together(chosen) <= sum(told.gain(c) for c in chosen) / least * (1.0 + 1e-9)


def test_only_some_of_the_candidates() -> None:
    told = told_of(3)
    assert told.only([2, 1]).together([0, 1]) == pytest.approx(told.together([1, 2]))


def test_checks_of_a_car_together_against_all_their_assessments() -> None:
    """A floor of the exact value of two checks, and the exact one for each."""
    pack = tiny.pack()
    start = weigh(tiny_cases.plain_case(), pack)
    left = open_checks(pack, start.basis, (), frozenset())
    names = ["listen", "deposits"]
    told = told_by(moments(left, start.basis, [pack.check(n) for n in names]), [(n,) for n in names])
    chance, cost = together(start, names)
    exact = float((chance * (cost / chance - cost.sum()) ** 2).sum())
    assert told.together([0, 1]) <= exact * (1.0 + 1e-6)
    assert told.together([0, 1]) > 0.9 * exact
    for place, name in enumerate(names):
        assert np.sqrt(told.gain(place)) == pytest.approx(left.values(None)[name], rel=1e-6)
