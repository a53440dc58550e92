"""The cost record: spreads, costs by year, planned work."""

from __future__ import annotations

from math import exp, log

import numpy as np
import pytest
from scipy.integrate import quad

from riskapi.domain.assessment import PlannedItem
from riskapi.domain.cost_figures import cost_figures, mid_discount, planned_spread, spread_of
from riskapi.domain.curves import Curve, draw_curves
from riskapi.domain.lattice import Lattice
from tests.domain.weighed import full

FULL = full()
CURVES = draw_curves(FULL.basis, 1_500.0, float(FULL.means.unplanned.sum()))
SERVICES = (PlannedItem("oil", "Oil service", 3.0, 600.0),)
COST = cost_figures(FULL.basis, CURVES, FULL.means, SERVICES, FULL.terms.level)


def test_figures_of_a_distribution_rise_and_means_come_from_moments() -> None:
    for spread in (COST.unplanned, COST.immediate, COST.planned):
        assert spread.p10 <= spread.p50 <= spread.p80 <= spread.p90
        assert 0.0 <= spread.p_zero <= 1.0
    assert COST.unplanned.mean == float(FULL.means.unplanned.sum())
    assert COST.unplanned.discounted_mean < COST.unplanned.mean
    assert COST.immediate.mean == COST.immediate.discounted_mean  # spent on day 0


def test_quantiles_within_the_chance_of_nothing_are_zero() -> None:
    pmf = np.array([0.55, 0.15, 0.1, 0.1, 0.1])
    spread = spread_of(Curve(pmf, Lattice(10.0, 5)), 12.0, 12.0, 0.55)
    assert (spread.p10, spread.p50) == (0.0, 0.0)
    assert spread.p80 > 0.0


def test_typical_if_any_is_the_median_of_what_is_not_nothing() -> None:
    """Common practice, no source: 'no surprise 55 %, typical if any 900'."""
    pmf = np.array([0.6, 0.0, 0.4, 0.0, 0.0])
    assert spread_of(Curve(pmf, Lattice(10.0, 5)), 8.0, 8.0, 0.6).typical_if_any == pytest.approx(20.0)
    assert spread_of(Curve(np.eye(5)[0], Lattice(10.0, 5)), 0.0, 0.0, 1.0).typical_if_any is None


def test_costs_by_year_are_cumulative() -> None:
    assert [row.year for row in COST.by_year] == [1.0, 2.0, 3.0]
    for field in ("mean", "p50", "p90"):
        values = [getattr(row, field) for row in COST.by_year]
        assert values == sorted(values)
    last = COST.by_year[-1]
    assert (last.mean, last.p90) == (pytest.approx(COST.unplanned.mean), pytest.approx(COST.unplanned.p90))


def test_planned_work_is_services_and_renewals() -> None:
    assert [item.id for item in COST.planned_items] == ["oil", "belt"]
    assert sum(item.cost for item in COST.planned_items) == pytest.approx(COST.planned.mean)


def test_services_shift_the_whole_planned_spread() -> None:
    with_them, without = (planned_spread(FULL.basis, FULL.means, s) for s in (SERVICES, ()))
    for field in ("mean", "p10", "p50", "p80", "p90"):
        assert getattr(with_them, field) - getattr(without, field) == pytest.approx(600.0)
    assert with_them.p_zero == 0.0
    assert without.p_zero > 0.0


@pytest.mark.parametrize(("rate", "years"), [(0.02, 3.0), (0.05, 10.0), (0.0, 3.0)])
def test_even_spending_is_discounted_by_the_mean_factor(rate: float, years: float) -> None:
    """Source: scipy.integrate.quad over (1 + rate) ** -t."""
    mean, _ = quad(lambda t: exp(-log(1.0 + rate) * t) / years, 0.0, years)
    assert mid_discount(rate, years) == pytest.approx(mean, rel=1e-10)


def test_the_currency_and_the_step_are_told() -> None:
    assert (COST.currency, COST.step) == ("EUR", CURVES.whole.lattice.step)
    assert COST.shared_access_saving >= 0.0
