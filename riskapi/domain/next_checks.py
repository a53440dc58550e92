"""What to look at next: the value of each check that has not been done, from means alone.

For a symptom that nobody has read, P(level <= l, findings) is the evidence of the network with every parent's
masses multiplied by its cumulative chance at l, so all such symptoms are swept side by side. With a price the value
is that of sample information for 'buy or walk away' (Raiffa & Schlaifer 1961); without one it is the
standard deviation of the expected cost over the check's results.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from riskapi.domain.assessment import NextCheck
from riskapi.domain.costing import PriceTable
from riskapi.domain.evidence import SymptomTables
from riskapi.domain.identify import EngineIdentity
from riskapi.domain.knowledge import Check, Pack
from riskapi.domain.lanes import Root
from riskapi.domain.money import severity_means
from riskapi.domain.outlook import MassTable
from riskapi.domain.posterior import Group, Posterior, root_likelihood
from riskapi.domain.readings import CountedFinding
from riskapi.domain.sweep import Sweep
from riskapi.domain.timeline import Floats

SMALLEST = 0.5  # money below which a check is not worth listing


@dataclass(frozen=True, slots=True)
class Stake:
    """What the decision is about: `gain` = price for the findings less asking price [money], None without a price."""

    gain: float | None
    mean: float


def next_checks(
    pack: Pack,
    identity: EngineIdentity,
    posterior: Posterior,
    table: MassTable,
    prices: PriceTable,
    roots: Sequence[Root],
    readings: Sequence[CountedFinding],
    dealt_with: frozenset[str],
    gain: float | None,
) -> tuple[NextCheck, ...]:
    """Checks not done yet, by value less price; `dealt_with` are done, refused or void checks."""
    costs = _joint_costs(table, prices, roots)
    stake = Stake(gain, _mean(posterior, table, costs))
    read = {finding.check.symptom for finding in readings if finding.check.symptom is not None}
    open_checks = [c for c in pack.checks if c.id not in dealt_with and c.from_case is None]
    fresh = {
        c.symptom for c in open_checks if c.symptom is not None and c.symptom not in read and not _zone(pack, c.symptom)
    }
    levels = _levels(posterior, table, costs, sorted(fresh))
    by_root = _by_root(posterior, table, costs)
    rows = []
    for check in open_checks:
        outcome = _outcome(check, levels, by_root, identity, roots)
        if outcome is not None:
            value = _value(*outcome, stake)
            if value > SMALLEST:
                basis = "spread" if gain is None else "decision"
                rows.append(NextCheck(check.id, check.set_up, value, basis, check.price, check.minutes))
    return tuple(sorted(rows, key=lambda row: (-(row.value - row.check_cost), row.check)))


def _zone(pack: Pack, symptom: str) -> bool:
    """Zones hang together through what runs down, so their levels are no products; they are left out here."""
    return pack.symptom(symptom).zone is not None


def _joint_costs(table: MassTable, prices: PriceTable, roots: Sequence[Root]) -> Floats:
    """Expected discounted cost jointly with each state's mass, (W, 3, R)."""
    service, found, renewal = severity_means(prices, roots, table.masses.shape[0])
    return np.asarray(
        table.found * found[:, None] + table.present * service[:, None] + table.planned_present * renewal[:, None]
    )


def _mean(posterior: Posterior, table: MassTable, costs: Floats) -> float:
    return float(_by_root(posterior, table, costs)[1].sum())


def _by_root(posterior: Posterior, table: MassTable, costs: Floats) -> tuple[Floats, Floats]:
    """Per root combination its chance and its share of the expected cost, (R,) each."""
    safe = np.where(table.masses > 0.0, table.masses, 1.0)
    ratio = np.where(table.masses > 0.0, posterior.state / safe, 0.0)
    return posterior.root_chance, np.asarray((ratio * costs).sum(axis=(0, 1)))


def _levels(
    posterior: Posterior, table: MassTable, costs: Floats, symptoms: Sequence[str]
) -> Mapping[str, tuple[Floats, Floats]]:
    """Per symptom the chance of each level and the expected cost jointly with it, given the findings."""
    if not symptoms:
        return {}
    first = posterior.groups[0].tables
    columns = [(name, level) for name in symptoms for level in range(first[name].background.size)]
    chance, cost = np.zeros(len(columns)), np.zeros(len(columns))
    for group in posterior.groups:
        c, m = _group_columns(group, posterior, table, costs, columns)
        chance += c
        cost += m
    result = {}
    at = 0
    for name in symptoms:
        size = first[name].background.size
        result[name] = (
            np.diff(chance[at : at + size], prepend=0.0),
            np.diff(cost[at : at + size], prepend=0.0),
        )
        at += size
    return result


def _group_columns(
    group: Group, posterior: Posterior, table: MassTable, costs: Floats, columns: Sequence[tuple[str, int]]
) -> tuple[Floats, Floats]:
    """P(level <= l) and E[cost; level <= l] of every column under one candidate engine."""
    index = np.array(group.roots)
    factor = _column_factors(group.tables, columns, table.masses.shape[0])  # (W, 3, C)
    background = np.array([group.tables[name].background[level] for name, level in columns])
    seen = (group.observed.factors * factor)[..., None]
    masses = seen * table.masses[:, :, None, index]
    shape = (*masses.shape[:2], -1)
    z, slopes = Sweep(group.observed.plan, group.observed.weights).gradients(masses.reshape(shape))
    scale = group.observed.constant[0] * posterior.root_factor[index]
    z = np.broadcast_to(z, (len(columns) * index.size,)).reshape(len(columns), index.size)
    money = (slopes.reshape(masses.shape) * seen * costs[:, :, None, index]).sum(axis=(0, 1))
    return background * (z @ scale), background * (money @ scale)


def _column_factors(tables: Mapping[str, SymptomTables], columns: Sequence[tuple[str, int]], count: int) -> Floats:
    factor = np.ones((count, 3, len(columns)))
    for c, (name, level) in enumerate(columns):
        for w, cdf in tables[name].parents.items():
            factor[w, :, c] = cdf[:, level]
    return factor


def _outcome(
    check: Check,
    levels: Mapping[str, tuple[Floats, Floats]],
    by_root: tuple[Floats, Floats],
    identity: EngineIdentity,
    roots: Sequence[Root],
) -> tuple[Floats, Floats] | None:
    """Chance of each result and expected cost jointly with it; None when this check cannot be valued here."""
    if check.symptom is not None:
        if check.symptom not in levels:
            return None
        reader = np.array(check.table)
        chance, cost = levels[check.symptom]
        return chance @ reader, cost @ reader
    probe = [CountedFinding(check.id, check, k, check.table, "", "self", "") for k in range(len(check.results))]
    likelihood = np.array([root_likelihood(finding, roots, identity) for finding in probe])
    return likelihood @ by_root[0], likelihood @ by_root[1]


def _value(chance: Floats, cost: Floats, stake: Stake) -> float:
    """Value of sample information, or the standard deviation of the expected cost where no price is given."""
    safe = np.where(chance > 1e-12, chance, 1.0)
    shift = np.where(chance > 1e-12, cost / safe - stake.mean, 0.0)
    if stake.gain is None:
        return float(np.sqrt((chance * shift**2).sum()))
    return float((chance * np.maximum(stake.gain - shift, 0.0)).sum() - max(stake.gain, 0.0))
