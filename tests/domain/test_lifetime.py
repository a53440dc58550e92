"""Lifetimes: the limited failure population of Chan & Meeker (1999) with competing Weibull clocks, and its doubt."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import norm, weibull_min

from riskapi.domain.knowledge import PartRevision
from riskapi.domain.lifetime import Z80, doubt_nodes, life_arrays, survival
from tests.domain.builders import mode, part

KM = np.linspace(0.0, 400_000.0, 41)
YEARS = np.linspace(0.0, 25.0, 41)

PARTS = {
    "wear by distance": part(mode((2.4, 150_000.0))),
    "wear by age": part(mode(None, (3.0, 12.0))),
    "both clocks": part(mode((2.4, 150_000.0), (3.0, 12.0), 1.6)),
    "a share with a flaw": part(mode((3.0, 300_000.0)), mode((1.8, 90_000.0), None, 1.5), 0.3),
    "a flaw and no wear": part(None, mode((1.8, 90_000.0)), 0.3),
}


def alive(revision: PartRevision, km: np.ndarray, years: np.ndarray, nodes: np.ndarray) -> np.ndarray:
    """S of one part, (K, points)."""
    life = life_arrays([revision]).take(np.array([[0]]))
    return survival(life, km[None, None], years[None, None], nodes)[0, :, 0]


@pytest.mark.parametrize("revision", PARTS.values(), ids=PARTS.keys())
def test_survival_starts_at_one_and_never_rises(revision: PartRevision) -> None:
    """Law of any survival function."""
    values = alive(revision, KM, YEARS, doubt_nodes(8))
    assert values[:, 0] == pytest.approx(1.0)
    assert (np.diff(values, axis=1) <= 0.0).all()
    assert values.min() >= 0.0


def test_negative_distance_and_age_count_as_new() -> None:
    values = alive(PARTS["both clocks"], np.array([-10.0]), np.array([-1.0]), np.zeros(1))
    assert values == pytest.approx(1.0)


def test_competing_clocks_multiply() -> None:
    """Whichever runs out first: hazards add. Source of the single clocks: scipy.stats.weibull_min."""
    expected = weibull_min.sf(KM, 2.4, scale=150_000.0) * weibull_min.sf(YEARS, 3.0, scale=12.0)
    assert alive(PARTS["both clocks"], KM, YEARS, np.zeros(1))[0] == pytest.approx(expected, rel=1e-12)


def test_a_flaw_in_a_share() -> None:
    """Chan & Meeker (1999): S = (1 - p + p S_flaw) S_wear."""
    expected = 0.7 + 0.3 * weibull_min.sf(KM, 1.8, scale=90_000.0)
    expected *= weibull_min.sf(KM, 3.0, scale=300_000.0)
    assert alive(PARTS["a share with a flaw"], KM, YEARS, np.zeros(1))[0] == pytest.approx(expected, rel=1e-12)


def test_without_wear_the_sound_share_lives_for_ever() -> None:
    values = alive(PARTS["a flaw and no wear"], np.array([1e9]), np.array([1.0]), np.zeros(1))
    assert values == pytest.approx(0.7)


def test_a_node_shifts_the_scale() -> None:
    """Doubt is about ln eta: a node z makes the scale exp(sigma z) times as long, sigma = ln(spread) / Z80."""
    z, sigma = 1.3, np.log(1.6) / Z80
    shifted = part(mode((2.4, 150_000.0 * np.exp(sigma * z)), (3.0, 12.0 * np.exp(sigma * z))))
    found = alive(PARTS["both clocks"], KM, YEARS, np.array([z]))
    assert found == pytest.approx(alive(shifted, KM, YEARS, np.zeros(1)), rel=1e-12)


def test_eighty_per_cent_of_the_doubt_lies_within_the_spread() -> None:
    """What the author is asked for: 80 % sure that the scale is within the factor. Source: scipy.stats.norm."""
    assert norm.cdf(Z80) - norm.cdf(-Z80) == pytest.approx(0.8, abs=1e-12)


@pytest.mark.parametrize("count", [2, 3, 8, 16])
def test_doubt_nodes_have_mean_zero_and_unit_variance(count: int) -> None:
    nodes = doubt_nodes(count)
    assert nodes.mean() == pytest.approx(0.0, abs=1e-12)
    assert (nodes**2).mean() == pytest.approx(1.0, rel=1e-12)
    assert (np.diff(nodes) > 0.0).all()
    assert nodes == pytest.approx(-nodes[::-1], abs=1e-9)


def test_one_node_leaves_doubt_out() -> None:
    assert doubt_nodes(1).tolist() == [0.0]


def test_taking_rows_of_parameters() -> None:
    life = life_arrays(list(PARTS.values())).take(np.array([[0, 1], [2, 3]]))
    row = life.row(1)
    assert row.share.tolist() == [[0.0, 0.3]]
    assert row.wear.shape_y.tolist() == [[2.4, 3.0]]
