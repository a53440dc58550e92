"""Which lanes are in use, and how they mix into weak points."""

from __future__ import annotations

import numpy as np
import pytest

from riskapi.domain.outlook import mass_table
from riskapi.domain.uses import Lives, Uses, uses_of
from tests.domain.weighed import full, plain

RNG = np.random.default_rng(11)


def every_use() -> Uses:
    lanes = full().basis.outlook.lanes
    return uses_of(lanes, range(len(lanes.roots)))


def rows_for(uses: Uses) -> np.ndarray:
    return RNG.random((uses.lanes.size, 3, 4)) + 0j


def test_uses_mix_to_what_the_table_holds() -> None:
    outlook = plain().basis.outlook
    uses = uses_of(outlook.lanes, range(len(outlook.lanes.roots)))
    states = np.array([outlook.spends[lane].state.mean(axis=0) for lane in uses.lanes])
    assert uses.by_root(states[..., None])[..., 0] == pytest.approx(mass_table(outlook).masses)


def test_to_uses_is_the_transpose_of_by_root() -> None:
    uses = every_use()
    rows = rows_for(uses)
    slopes = RNG.random(uses.by_root(rows).shape)
    mixed = uses.by_root(rows) - uses.by_root(0.0 * rows)
    assert (mixed * slopes).sum() == pytest.approx((rows * uses.to_uses(slopes)).sum())


def test_some_weak_points_mix_as_they_do_among_all() -> None:
    uses, some = every_use(), [1, 3]
    rows = rows_for(uses)
    mine = uses.of(some)
    place = {pair: u for u, pair in enumerate(zip(uses.lanes.tolist(), uses.weak_points.tolist(), strict=True))}
    at = [place[pair] for pair in zip(mine.lanes.tolist(), mine.weak_points.tolist(), strict=True)]
    assert mine.by_root(rows[at]) == pytest.approx(uses.by_root(rows)[some])


def test_the_product_of_lives_is_the_product_over_weak_points() -> None:
    uses = every_use()
    rows = RNG.random((uses.lanes.size, 5)) + 0j
    states = np.stack([rows, 0.0 * rows, 0.0 * rows], axis=1)
    assert uses.lives.product(rows) == pytest.approx(uses.by_root(states)[:, 0].prod(axis=0))


def test_a_part_that_may_be_absent_weighs_what_is_left_of_one() -> None:
    lives = Lives(((), ((0, 0.25),), ((0, 0.5), (1, 0.5))), np.array([[2, 3], [4, 4]]))
    rows = np.array([[0.2, 0.4], [0.6, 0.8]])
    both = 0.5 * rows[0] + 0.5 * rows[1]
    assert lives.product(rows) == pytest.approx(np.array([both, (0.75 + 0.25 * rows[0]) * both]))


def test_without_weak_points_the_product_is_one() -> None:
    uses = every_use().of([])
    assert uses.lives.product(np.zeros((0, 3), dtype=complex)) == pytest.approx(np.ones((uses.absent.shape[1], 3)))
