"""Copies side by side: what holds for alike ones must come out, and unlike ones by enumeration."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from riskapi.domain.copies import one_copy_events
from riskapi.domain.spends import OneCopy, side_by_side

RNG = np.random.default_rng(11)
NODES, HORIZONS, MOST = 3, 2, 4


def one_copy(scale: float = 1.0) -> OneCopy:
    state = RNG.dirichlet([5, 2, 1], NODES) * scale
    masses = np.concatenate([state, np.ones((NODES, 1))], axis=1)
    pmf = RNG.dirichlet(np.ones(MOST), (NODES, HORIZONS, 4)) * masses[:, None, :, None]
    planned = RNG.dirichlet(np.ones(3), (NODES, 4)) * masses[..., None]
    worth = np.stack([pmf[:, -1] @ np.arange(MOST), planned @ np.arange(3)], axis=2)
    return OneCopy(state, one_copy_events(pmf), planned, worth)


@pytest.mark.parametrize("copies", [2, 3, 5])
def test_alike_copies_side_by_side_are_so_many_copies(copies: int) -> None:
    one = one_copy(0.8)
    apart, together = side_by_side(one.times(1), one.times(copies - 1)), one.times(copies)
    assert apart.state == pytest.approx(together.state)
    shortest = min(apart.events.shape[-1], together.events.shape[-1])
    assert apart.events[..., :shortest] == pytest.approx(together.events[..., :shortest], abs=1e-12)
    assert apart.planned == pytest.approx(together.planned)
    assert apart.worth == pytest.approx(together.worth)


def test_unlike_copies_by_enumeration() -> None:
    a, b = one_copy(0.01), one_copy()
    found = side_by_side(a.times(1), b.times(1))
    expected = np.zeros_like(found.events)
    for s, t, n, m in product(range(3), range(3), range(MOST), range(MOST)):
        expected[:, :, max(s, t), (s == 2) + (t == 2), n + m] += a.events[:, :, s, :, n].sum(axis=2) * b.events[
            :, :, t, :, m
        ].sum(axis=2)
    assert found.events[:, :, :3] == pytest.approx(expected[:, :, :3], abs=1e-14)
    assert found.state == pytest.approx(found.events[:, 0, :3].sum(axis=(2, 3)))
    assert found.worth[:, :3, 0] == pytest.approx(expected[:, -1, :3].sum(axis=2) @ np.arange(2 * MOST - 1))
    assert found.planned[:, :3].sum(axis=2) == pytest.approx(found.state)
    assert found.events[:, :, 3].sum(axis=(2, 3)) == pytest.approx(1.0)


def test_what_happened_before_weighs_everything_but_a_part_renewed_today() -> None:
    one, likelihood = one_copy(), np.array([0.5, 0.1, 0.0])
    less = one.weighed(likelihood)
    assert less.state == pytest.approx(one.state * likelihood[:, None])
    for weighed, before, axis in (
        (less.events, one.events, 2),
        (less.planned, one.planned, 1),
        (less.worth, one.worth, 1),
    ):
        old, new = (np.moveaxis(x, axis, 0) for x in (before, weighed))
        factor = likelihood.reshape(-1, *[1] * (new.ndim - 2))
        assert new[:3] == pytest.approx(old[:3] * factor)
        assert (new[3] == old[3]).all()
