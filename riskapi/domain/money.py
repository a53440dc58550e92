"""Cost and risk figures of an assessment from outlook, posterior and prices (model: cost distribution)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from riskapi.domain.assessment import FixedChance, PlannedItem, Spread, YearCost
from riskapi.domain.costing import (
    IMMEDIATE,
    PLANNED,
    PriceTable,
    Transforms,
    distribution,
    make_transforms,
    unplanned,
)
from riskapi.domain.lanes import Root
from riskapi.domain.lattice import Lattice, beyond, make_lattice, quantile
from riskapi.domain.outlook import MassTable, Outlook
from riskapi.domain.posterior import Posterior
from riskapi.domain.sweep import Sweep
from riskapi.domain.timeline import Floats

POINTS, COARSE_POINTS, PILOT_POINTS = 512, 256, 128


@dataclass(frozen=True, slots=True)
class Means:
    """Expected money per weak point (W,): surprise, of it immediate, surprise discounted, planned, planned discounted,
    and expected number of planned renewals; `by_horizon` (H,): surprise in sum up to each horizon."""

    unplanned: Floats
    immediate: Floats
    discounted: Floats
    planned: Floats
    planned_discounted: Floats
    renewals: Floats


def likelihood_ratio(posterior: Posterior, table: MassTable) -> Floats:
    """Posterior joint state chance per unit of mass, (W, 3, R): multiplies any mass of the same state."""
    safe = np.where(table.masses > 0.0, table.masses, 1.0)
    return np.asarray(np.where(table.masses > 0.0, posterior.state / safe, 0.0))


def severity_means(prices: PriceTable, roots: Sequence[Root], count: int) -> tuple[Floats, Floats, Floats]:
    """Mean cost of a failure in service, found faulty, and a planned renewal; (W, R) each."""
    means = np.zeros((3, count, len(roots)))
    for w in range(count):
        for r, root in enumerate(roots):
            price = prices[w, root.candidate]
            planned_mean = price.planned.mean if price.planned is not None else 0.0
            means[:, w, r] = price.in_service.mean, price.found.mean, planned_mean
    return means[0], means[1], means[2]


def expected(posterior: Posterior, table: MassTable, prices: PriceTable, roots: Sequence[Root]) -> Means:
    """Exact means by moments, no lattice."""
    ratio = likelihood_ratio(posterior, table)
    service, found, renewal = severity_means(prices, roots, ratio.shape[0])

    def total(numbers: Floats, money: Floats) -> Floats:
        return np.asarray((ratio * numbers * money[:, None, :]).sum(axis=(1, 2)))

    at_once = total(table.found, found)
    return Means(
        unplanned=at_once + total(table.failures, service),
        immediate=at_once,
        discounted=at_once + total(table.present, service),
        planned=total(table.planned, renewal),
        planned_discounted=total(table.planned_present, renewal),
        renewals=total(table.planned, np.ones_like(renewal)),
    )


def chance_of(posterior: Posterior, values: Floats) -> float:
    """Probability, given the findings, of an event whose joint masses per state are `values` (W, 3, R)."""
    total = 0.0
    for group in posterior.groups:
        index = np.array(group.roots)
        masses = group.observed.factors * values[..., index]
        z = Sweep(group.observed.plan, group.observed.weights).evidence(masses)
        total += float(group.observed.constant[0] * (posterior.root_factor[index] @ z))
    return min(max(total, 0.0), 1.0)


@dataclass(frozen=True, slots=True)
class Curves:
    """Surprise cost of the whole term on one lattice; earlier horizons and the immediate part on a coarser one."""

    lattice: Lattice
    whole: Floats
    transforms: Transforms
    coarse: Lattice
    earlier: tuple[Floats, ...]
    immediate: Floats


def curves(outlook: Outlook, posterior: Posterior, prices: PriceTable, budget: float, mean: float) -> Curves:
    """Distributions on a lattice fitted to the budget and a pilot's P90."""
    lattice = fitted_lattice(outlook, posterior, prices, budget, mean)
    single = make_transforms(prices, lattice, ("service", "found"))

    last = len(outlook.horizons) - 1
    whole = distribution(outlook, posterior, single, unplanned(last))
    coarse = make_lattice(budget, lattice.step * lattice.size / 2.0, COARSE_POINTS, 1.0 / COARSE_POINTS)
    rough = make_transforms(prices, coarse, ("service", "found"))
    earlier = tuple(distribution(outlook, posterior, rough, unplanned(h)) for h in range(last))
    return Curves(lattice, whole, single, coarse, earlier, distribution(outlook, posterior, rough, IMMEDIATE))


def fitted_lattice(
    outlook: Outlook, posterior: Posterior, prices: PriceTable, budget: float, mean: float, size: int = POINTS
) -> Lattice:
    """Step from the larger of budget and the P90 that a coarse pilot finds; N h is at least twice that."""
    largest = max(3.0 * mean, budget)
    pilot = make_lattice(budget, 2.0 * largest, PILOT_POINTS, 2.0 / PILOT_POINTS)
    rough = distribution(
        outlook, posterior, make_transforms(prices, pilot, ("service", "found")), unplanned(len(outlook.horizons) - 1)
    )
    p90 = quantile(rough, pilot, 0.9) + pilot.step
    return make_lattice(budget, p90, size, max(2.0 / size, 0.004))


def spread_of(
    pmf: Floats, lattice: Lattice, mean: float, discounted: float, zero: float, constant: float = 0.0
) -> Spread:
    """Figures of a distribution; the mean comes from moments, the chance of nothing from the zero atoms."""
    p10, p50, p80, p90 = (
        constant + (0.0 if zero >= level else quantile(pmf, lattice, level)) for level in (0.1, 0.5, 0.8, 0.9)
    )
    typical = quantile(pmf, lattice, zero + 0.5 * (1.0 - zero)) if zero < 1.0 else None
    return Spread(mean, discounted, p10, p50, p80, p90, zero, typical)


def year_costs(outlook: Outlook, drawn: Curves, means: Sequence[float]) -> tuple[YearCost, ...]:
    """Cumulative surprise cost at each horizon."""
    rows = [(pmf, drawn.coarse) for pmf in drawn.earlier] + [(drawn.whole, drawn.lattice)]
    return tuple(
        YearCost(year, mean, *(quantile(pmf, lattice, level) for level in (0.1, 0.5, 0.9)))
        for year, mean, (pmf, lattice) in zip(outlook.horizons, means, rows, strict=True)
    )


def horizon_means(outlook: Outlook, posterior: Posterior, table: MassTable, prices: PriceTable) -> list[float]:
    """Expected surprise cost up to each horizon."""
    roots = outlook.lanes.roots
    ratio = likelihood_ratio(posterior, table)
    service, found, _ = severity_means(prices, roots, ratio.shape[0])
    at_once = float((ratio * table.found * found[:, None]).sum())
    result = []
    for h in range(len(outlook.horizons)):
        numbers = np.zeros_like(table.masses)
        rows = [
            np.einsum("ksfn,n->s", s.events[:, h, :3], np.arange(s.events.shape[-1])) / s.state.shape[0]
            for s in outlook.spends
        ]
        for r, mixes in enumerate(outlook.lanes.mixes):
            for w, mix in enumerate(mixes):
                for lane, weight in mix.lanes:
                    numbers[w, :, r] += weight * rows[lane]
        result.append(at_once + float((ratio * numbers * service[:, None]).sum()))
    return result


def planned_spread(
    outlook: Outlook,
    posterior: Posterior,
    prices: PriceTable,
    means: Means,
    services: Sequence[PlannedItem],
    rate: float,
    years: float,
) -> Spread:
    """Planned renewals as a distribution, plus the services at fixed intervals as a constant."""
    constant = sum(item.cost for item in services)
    discounted = constant * _mid_discount(rate, years)
    mean = float(means.planned.sum())
    if mean <= 0.0:
        return Spread(constant, discounted, constant, constant, constant, constant, float(constant == 0.0))
    lattice = make_lattice(mean, 3.0 * mean, POINTS, 2.0 / POINTS)
    pmf = distribution(outlook, posterior, make_transforms(prices, lattice, ("planned",)), PLANNED)
    zero = float(pmf[0]) if constant == 0.0 else 0.0
    return spread_of(pmf, lattice, mean + constant, float(means.planned_discounted.sum()) + discounted, zero, constant)


def _mid_discount(rate: float, years: float) -> float:
    """Mean discount factor of money spread evenly over the term."""
    if rate == 0.0:
        return 1.0
    force = np.log1p(rate)
    return float((1.0 - np.exp(-force * years)) / (force * years))


def fixed_chances(drawn: Floats, lattice: Lattice, amounts: Sequence[float], years: float) -> tuple[FixedChance, ...]:
    """Chances of exceeding the pack's fixed amounts."""
    return tuple(FixedChance(amount, years, float(beyond(drawn, lattice, amount))) for amount in amounts)
