"""What to look at next: the value of each check that has not been done, from means alone.

For a symptom that nobody has read, P(level <= l, findings) is the evidence of the network with every parent's
masses multiplied by its cumulative chance at l, so all such symptoms are swept side by side; tied ones
(riskapi.domain.tied_levels) are opened one by one. With a price the value is that of sample information for 'buy or
walk away' (Raiffa & Schlaifer 1961); without one it is the standard deviation of the expected cost over the check's
results.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from riskapi.domain.costing import Basis
from riskapi.domain.evidence import SymptomTables
from riskapi.domain.knowledge import Check, Pack
from riskapi.domain.lanes import LaneSet
from riskapi.domain.means import likelihood_ratio, mean_costs
from riskapi.domain.posterior import Group
from riskapi.domain.readings import CountedFinding, thinned
from riskapi.domain.roots import root_likelihood
from riskapi.domain.tied_levels import open_tied, read_so_far, tied
from riskapi.domain.timeline import Floats

SMALLEST = 0.5  # money below which a check is not worth listing
IMPOSSIBLE = 1e-12  # chance below which a result is taken never to come out


@dataclass(frozen=True, slots=True)
class Split:
    """Chances of some alternatives, and the expected discounted cost jointly with each [money]."""

    chance: Floats
    cost: Floats


@dataclass(frozen=True, slots=True)
class OpenChecks:
    """The checks that can be valued with what their results would tell; `mean`: expected discounted cost as things
    stand [money]; `read`: what was read of each symptom (levels,); `tied`: symptoms whose levels are no products."""

    outcomes: tuple[tuple[Check, Split], ...]
    mean: float
    read: Mapping[str, Floats]
    tied: frozenset[str]

    def values(self, gain: float | None) -> dict[str, float]:
        """Value of each check by itself [money]: of sample information for this gain of buying, without one the
        standard deviation of the expected cost over its results."""
        return {check.id: _value(outcome, self.mean, gain) for check, outcome in self.outcomes}


def open_checks(
    pack: Pack, basis: Basis, findings: Sequence[CountedFinding], dealt_with: frozenset[str], tied_too: bool = True
) -> OpenChecks:
    """Checks not done yet; `dealt_with` are ids of done, refused or void checks. Without `tied_too` those that read a
    tied symptom (see riskapi.domain.tied_levels) are left out: each of them takes a sweep of its own.
    """
    costs = joint_costs(basis)
    by_root = Split(
        basis.posterior.root_chance,
        np.asarray((likelihood_ratio(basis.posterior, basis.outlook.table) * costs).sum(axis=(0, 1))),
    )
    checks = [_as_told(c, pack) for c in pack.checks if c.id not in dealt_with and c.from_case is None]
    read = read_so_far(findings)
    knots = tied(basis.posterior.groups[0].tables, read)
    names = sorted({c.symptom for c in checks if c.symptom is not None})
    # a place that no weak point of this engine wets may not even be there
    shown = [name for name in knots if any(group.tables[name].parents for group in basis.posterior.groups)]
    levels = _levels(basis, costs, [name for name in names if name not in knots])
    levels |= {name: _tied_levels(basis, costs, read, name) for name in names if tied_too and name in shown}
    found = ((check, _outcome(check, levels, by_root, basis.outlook.lanes)) for check in checks)
    valued = tuple((check, outcome) for check, outcome in found if outcome is not None)
    return OpenChecks(valued, float(by_root.cost.sum()), read, knots)


def _as_told(check: Check, pack: Pack) -> Check:
    """The check as it will be answered: what only the seller can tell is hearsay."""
    power = dict(pack.defaults.hearsay).get(check.told_by, 1.0)
    return check if power >= 1.0 else replace(check, table=thinned(check.table, power))


def _tied_levels(basis: Basis, costs: Floats, read: Mapping[str, Floats], name: str) -> Split:
    """The same as `_levels` of one tied symptom."""
    groups = basis.posterior.groups
    chance, cost = zip(*(open_tied(g, basis, read, [name]).costs(costs) for g in groups), strict=True)
    return Split(np.sum(chance, axis=0), np.sum(cost, axis=0))


def joint_costs(basis: Basis) -> Floats:
    """Expected discounted cost jointly with each state's mass, (W, 3, R)."""
    table, money = basis.outlook.table, mean_costs(basis)
    return np.asarray(
        table.found * money.found[:, None]
        + table.present * money.service[:, None]
        + table.planned_present * money.renewal[:, None]
    )


def _levels(basis: Basis, costs: Floats, symptoms: Sequence[str]) -> dict[str, Split]:
    """Per symptom the chance of each level and the expected cost jointly with it, given the findings."""
    sizes = [basis.posterior.groups[0].tables[name].background.size for name in symptoms]
    columns = [(name, level) for name, size in zip(symptoms, sizes, strict=True) for level in range(size)]
    if not columns:
        return {}
    chance, cost = np.zeros(len(columns)), np.zeros(len(columns))
    for group in basis.posterior.groups:
        mine = _group_columns(group, basis, costs, columns)
        chance += mine.chance
        cost += mine.cost
    cuts = np.cumsum(sizes)[:-1]
    return {
        name: Split(np.diff(c, prepend=0.0), np.diff(m, prepend=0.0))
        for name, c, m in zip(symptoms, np.split(chance, cuts), np.split(cost, cuts), strict=True)
    }


def _group_columns(group: Group, basis: Basis, costs: Floats, columns: Sequence[tuple[str, int]]) -> Split:
    """P(level <= l) and E[cost; level <= l] of every column under one candidate engine."""
    index = np.array(group.roots)
    masses = basis.outlook.table.masses
    seen = (group.observed.factors * column_factors(group.tables, columns, masses.shape[0]))[..., None]
    background = np.array([group.tables[name].background[level] for name, level in columns])
    weighed = seen * masses[:, :, None, index]  # (W, 3, C, R)
    z, slopes = group.observed.sweep.gradients(weighed.reshape(*weighed.shape[:2], -1))
    scale = group.observed.constant[0] * basis.posterior.root_factor[index]
    z = np.broadcast_to(z, len(columns) * index.size).reshape(len(columns), index.size)
    money = (slopes.reshape(weighed.shape) * seen * costs[:, :, None, index]).sum(axis=(0, 1))
    return Split(background * (z @ scale), background * (money @ scale))


def column_factors(tables: Mapping[str, SymptomTables], columns: Sequence[tuple[str, int]], count: int) -> Floats:
    """P(each weak point leaves the column's symptom at or below its level | state), (W, 3, C)."""
    factor = np.ones((count, 3, len(columns)))
    for c, (name, level) in enumerate(columns):
        for w, cdf in tables[name].parents.items():
            factor[w, :, c] = cdf[:, level]
    return factor


def _outcome(check: Check, levels: Mapping[str, Split], by_root: Split, lanes: LaneSet) -> Split | None:
    """Chance of each result and expected cost jointly with it; None when this check cannot be valued here."""
    if check.symptom is not None:
        if check.symptom not in levels:
            return None
        level, reader = levels[check.symptom], np.array(check.table)
        return Split(level.chance @ reader, level.cost @ reader)
    likelihood = root_table(check, lanes)
    return Split(likelihood @ by_root.chance, likelihood @ by_root.cost)


def root_table(check: Check, lanes: LaneSet) -> Floats:
    """P(result | root combination) of a check that reads a root, (results, R)."""
    probes = [CountedFinding(check.id, check, k, check.table, "", "self", "") for k in range(len(check.results))]
    return np.array([root_likelihood(probe, lanes.roots, lanes.candidates) for probe in probes])


def _value(outcome: Split, mean: float, gain: float | None) -> float:
    """Value of sample information, or the standard deviation of the expected cost where no price is given."""
    possible = outcome.chance > IMPOSSIBLE
    shift = np.where(possible, outcome.cost / np.where(possible, outcome.chance, 1.0) - mean, 0.0)
    if gain is None:
        return float(np.sqrt((outcome.chance * shift**2).sum()))
    return max(
        float((outcome.chance * np.maximum(gain - shift, 0.0)).sum()) - max(gain, 0.0), 0.0
    )  # 0 but for rounding
