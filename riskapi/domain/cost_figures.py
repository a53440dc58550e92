"""The cost record: spreads, costs by year, planned work and what immediate jobs share in access."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from riskapi.domain.assessment import Cost, PlannedItem, Spread, YearCost
from riskapi.domain.costing import PLANNED, RENEWALS, Basis, distribution, make_transforms
from riskapi.domain.curves import POINTS, Curve, Curves
from riskapi.domain.jobs import PriceLevel
from riskapi.domain.lattice import make_lattice
from riskapi.domain.means import Means, chance_of_nothing, chance_of_nothing_now, horizon_means
from riskapi.domain.outlook import Outlook
from riskapi.domain.posterior import Posterior
from riskapi.domain.pricing import shared_access_saving


def cost_figures(
    basis: Basis, curves: Curves, means: Means, services: Sequence[PlannedItem], level: PriceLevel
) -> Cost:
    """All cost figures; `services` are planned work at fixed intervals, `level` the prices they are in."""
    at_once = float(means.immediate.sum())
    renewals = [
        PlannedItem(wp.id, wp.name, float(times), float(money))
        for wp, times, money in zip(basis.outlook.lanes.weak_points, means.renewals, means.planned, strict=True)
        if money > 0.0
    ]
    return Cost(
        currency=level.currency,
        unplanned=spread_of(
            curves.whole, float(means.unplanned.sum()), float(means.discounted.sum()), chance_of_nothing(basis)
        ),
        planned=planned_spread(basis, means, services),
        immediate=spread_of(curves.immediate, at_once, at_once, chance_of_nothing_now(basis)),
        shared_access_saving=access_saving(basis, level),
        by_year=year_costs(basis.outlook, (*curves.earlier, curves.whole), horizon_means(basis)),
        planned_items=(*services, *renewals),
        step=curves.whole.lattice.step,
    )


def access_saving(basis: Basis, level: PriceLevel) -> float:
    """Mean saving where immediate jobs share dismantling, under the likeliest candidate engine [money]."""
    states = basis.posterior.state.sum(axis=2)
    return shared_access_saving(basis.prices, states.shape[0], likeliest_candidate(basis.posterior), states, level)


def likeliest_candidate(posterior: Posterior) -> int:
    """Index of the likeliest candidate engine."""
    return int(np.argmax([posterior.root_chance[list(group.roots)].sum() for group in posterior.groups]))


def spread_of(curve: Curve, mean: float, discounted: float, zero: float) -> Spread:
    """Figures of a distribution; the means come from moments, the chance of nothing from the zero atoms [0..1]."""
    p10, p50, p80, p90 = (0.0 if zero >= level else curve.quantile(level) for level in (0.1, 0.5, 0.8, 0.9))
    typical = curve.quantile(zero + 0.5 * (1.0 - zero)) if zero < 1.0 else None
    return Spread(mean, discounted, p10, p50, p80, p90, zero, typical)


def year_costs(outlook: Outlook, curves: Sequence[Curve], means: Sequence[float]) -> tuple[YearCost, ...]:
    """Cumulative surprise cost at each horizon."""
    return tuple(
        YearCost(year, mean, curve.quantile(0.1), curve.quantile(0.5), curve.quantile(0.9))
        for year, mean, curve in zip(outlook.horizons, means, curves, strict=True)
    )


def planned_spread(basis: Basis, means: Means, services: Sequence[PlannedItem]) -> Spread:
    """Planned renewals as a distribution, plus the services at fixed intervals as a constant spent evenly."""
    constant = float(sum(item.cost for item in services))
    outlook = basis.outlook
    later = constant * mid_discount(outlook.discount_rate, outlook.years)
    mean = float(means.planned.sum())
    if mean <= 0.0:
        return Spread(constant, later, constant, constant, constant, constant, float(constant == 0.0))
    lattice = make_lattice(mean, 3.0 * mean, POINTS, 2.0 / POINTS)
    pmf = distribution(basis, make_transforms(basis.prices, lattice, RENEWALS), PLANNED)
    zero = float(pmf[0]) if constant == 0.0 else 0.0
    spread = spread_of(Curve(pmf, lattice), mean + constant, float(means.planned_discounted.sum()) + later, zero)
    return replace(
        spread,
        p10=constant + spread.p10,
        p50=constant + spread.p50,
        p80=constant + spread.p80,
        p90=constant + spread.p90,
    )


def mid_discount(rate: float, years: float) -> float:
    """Mean discount factor of money spread evenly over `years`, at a real rate per year."""
    if rate == 0.0:
        return 1.0
    force = np.log1p(rate)
    return float((1.0 - np.exp(-force * years)) / (force * years))
