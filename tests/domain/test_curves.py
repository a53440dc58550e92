"""Each distribution on a lattice that fits it."""

from __future__ import annotations

from functools import lru_cache

import pytest

from riskapi.domain.curves import Curves, after_work, draw_curves, fitted_lattice
from tests.domain.weighed import full

FULL = full()
MEAN = float(FULL.means.unplanned.sum())


@lru_cache
def curves(budget: float) -> Curves:
    return draw_curves(FULL.basis, budget, MEAN)


@pytest.mark.parametrize("budget", [12.0, 20.0, 35.0, 300.0, 1_500.0, 6_000.0])
def test_the_lattice_is_fine_and_long_enough(budget: float) -> None:
    """The model: h <= 0.5 % of max(P90, budget), N h >= 2 max(P90, budget)."""
    lattice = fitted_lattice(FULL.basis, budget, MEAN)
    p90 = curves(budget).whole.quantile(0.9)
    assert lattice.step <= 0.005 * max(p90, budget) * 1.1  # the P90 is that of a pilot
    assert lattice.span >= 1.8 * min(max(p90, budget), 4.0 * p90)  # a tenth is given up before the points double


def test_figures_do_not_depend_on_the_lattice() -> None:
    """Quantiles on lattices for different budgets agree to within a step."""
    reference = curves(1_500.0).whole
    for budget in (12.0, 20.0, 300.0, 6_000.0):
        other = curves(budget).whole
        step = max(reference.lattice.step, other.lattice.step)
        for level in (0.5, 0.8, 0.9):
            assert other.quantile(level) == pytest.approx(reference.quantile(level), abs=step)


def test_a_budget_far_beyond_has_a_lattice_of_its_own() -> None:
    far = curves(80_000.0)
    assert far.score.lattice.span > 80_000.0
    assert far.whole.lattice.span < far.score.lattice.span
    assert 0.0 <= far.score.beyond(80_000.0) < 1e-4
    assert far.whole.quantile(0.8) == pytest.approx(curves(1_500.0).whole.quantile(0.8), rel=0.02)


def test_a_dearer_budget_is_exceeded_less_often() -> None:
    chances = [curves(b).score.beyond(b) for b in (20.0, 300.0, 1_500.0, 6_000.0, 80_000.0)]
    assert chances == sorted(chances, reverse=True)


def test_later_horizons_cost_more() -> None:
    drawn = curves(1_500.0)
    rising = [drawn.immediate, *drawn.earlier, drawn.whole]
    chances = [curve.beyond(1_500.0) for curve in rising]
    assert chances == sorted(chances)


def test_work_done_lowers_the_score_and_no_work_leaves_it() -> None:
    drawn = curves(1_500.0)
    assert after_work(FULL.basis, drawn, ()) is drawn.score
    better = after_work(FULL.basis, drawn, ("chain", "seal"))
    assert better.beyond(1_500.0) < drawn.score.beyond(1_500.0)
