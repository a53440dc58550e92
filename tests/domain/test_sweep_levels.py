"""The maximum of two independent levels, and its transpose."""

from __future__ import annotations

import numpy as np
import pytest

from riskapi.domain.sweep_levels import density, lowered, raised, split

RNG = np.random.default_rng(5)
CDFS = [np.array([0.7, 1.0]), np.array([0.2, 0.5, 1.0]), np.array([0.1, 0.1, 0.6, 0.9]), np.ones(3)]


def test_density_adds_up_to_the_cumulative_chances() -> None:
    assert np.cumsum(density(CDFS[2])) == pytest.approx(CDFS[2])


def test_split_is_a_view() -> None:
    t = RNG.random((2, 3, 4, 5))
    view = split(t, 1)
    assert view.shape == (2, 3, 20)
    assert np.shares_memory(t, view)


@pytest.mark.parametrize("cdf", CDFS, ids=str)
@pytest.mark.parametrize("axis", [0, 1, 2])
def test_raised_is_the_maximum_of_two_independent_levels(cdf: np.ndarray, axis: int) -> None:
    """By definition P(max <= l) = P(a <= l) P(b <= l): cumulative chances multiply."""
    t = np.moveaxis(RNG.random((2, 3, 4, cdf.size)), -1, axis).copy()
    found = np.cumsum(np.moveaxis(raised(t, axis, cdf), axis, -1), axis=-1)
    assert found == pytest.approx(np.cumsum(np.moveaxis(t, axis, -1), axis=-1) * cdf)


@pytest.mark.parametrize("cdf", CDFS, ids=str)
def test_lowered_is_the_transpose(cdf: np.ndarray) -> None:
    """<raised(t), a> = <t, lowered(a)> for all t and a, complex ones too."""
    shape = (3, cdf.size, 4)
    t = RNG.random(shape) + 1j * RNG.random(shape)
    a = RNG.random(shape)
    assert (raised(t, 1, cdf) * a).sum() == pytest.approx((t * lowered(a, 1, cdf)).sum())


def test_a_parent_that_shows_nothing_changes_nothing() -> None:
    t = RNG.random((2, 3))
    assert raised(t, 1, np.ones(3)) == pytest.approx(t)
    assert lowered(t, 1, np.ones(3)) == pytest.approx(t)
