"""Expected money and chances of an event, exactly by moments: no lattice is needed for them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from riskapi.domain.costing import Basis, Prices
from riskapi.domain.knowledge import FAULTY
from riskapi.domain.outlook import MassTable, failures_by
from riskapi.domain.posterior import Posterior, together
from riskapi.domain.timeline import Floats


@dataclass(frozen=True, slots=True)
class Means:
    """Expected money per weak point over the term, (W,) each [money]: surprise, of it immediate, surprise discounted,
    planned, planned discounted; `renewals` is the expected number of planned renewals."""

    unplanned: Floats
    immediate: Floats
    discounted: Floats
    planned: Floats
    planned_discounted: Floats
    renewals: Floats


@dataclass(frozen=True, slots=True)
class MeanCosts:
    """Mean cost of one failure in service, of one found faulty, of one planned renewal, (W, R) each [money]."""

    service: Floats
    found: Floats
    renewal: Floats


def mean_costs(basis: Basis) -> MeanCosts:
    """Mean costs per weak point and root combination."""
    lanes = basis.outlook.lanes
    engines = [root.candidate for root in lanes.roots]
    each = [[_means(basis.prices[w, c]) for c in range(len(lanes.candidates))] for w in range(len(lanes.weak_points))]
    return MeanCosts(*np.array(each).reshape(len(each), -1, 3).transpose(2, 0, 1)[..., engines])


def _means(price: Prices) -> tuple[float, float, float]:
    return price.in_service.mean, price.found.mean, price.planned.mean if price.planned is not None else 0.0


def likelihood_ratio(posterior: Posterior, table: MassTable) -> Floats:
    """Posterior joint state chance per unit of mass, (W, 3, R): multiplies any mass of the same state."""
    safe = np.where(table.masses > 0.0, table.masses, 1.0)
    return np.asarray(np.where(table.masses > 0.0, posterior.state / safe, 0.0))


def expected(basis: Basis) -> Means:
    """Exact means over the whole term."""
    table, money = basis.outlook.table, mean_costs(basis)
    ratio = likelihood_ratio(basis.posterior, table)

    def total(numbers: Floats, each: Floats) -> Floats:
        return np.asarray((ratio * numbers * each[:, None, :]).sum(axis=(1, 2)))

    at_once = total(table.found, money.found)
    return Means(
        unplanned=at_once + total(table.failures, money.service),
        immediate=at_once,
        discounted=at_once + total(table.present, money.service),
        planned=total(table.planned, money.renewal),
        planned_discounted=total(table.planned_present, money.renewal),
        renewals=total(table.planned, np.ones_like(money.renewal)),
    )


def horizon_means(basis: Basis) -> list[float]:
    """Expected surprise cost up to each horizon [money]."""
    table, money = basis.outlook.table, mean_costs(basis)
    ratio = likelihood_ratio(basis.posterior, table)
    at_once = float((ratio * table.found * money.found[:, None]).sum())
    weight = ratio * money.service[:, None]
    return [at_once + float((weight * failures).sum()) for failures in failures_by(basis.outlook)]


def chance_of_nothing(basis: Basis) -> float:
    """Chance of no surprise repair in the whole term."""
    return _chance(basis.posterior, basis.outlook.table.quiet)


def chance_of_nothing_now(basis: Basis) -> float:
    """Chance that nothing is faulty today."""
    masses = basis.outlook.table.masses.copy()
    masses[:, FAULTY] = 0.0
    return _chance(basis.posterior, masses)


def _chance(posterior: Posterior, values: Floats) -> float:
    """Probability, given the findings, of an event whose joint masses per state are `values` (W, 3, R)."""
    total = 0.0
    for group in together(posterior.groups):
        index = np.array(group.roots)
        z = group.observed.sweep.evidence(group.observed.factors * values[..., index])
        total += float(group.observed.constant[0] * (posterior.root_factor[index] * z).sum())
    return min(max(total, 0.0), 1.0)
