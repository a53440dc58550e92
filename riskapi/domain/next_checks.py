"""What to look at next: the value of each check that has not been done, from means alone.

For a symptom that nobody has read, P(level <= l, findings) is the evidence of the network with every parent's
masses multiplied by its cumulative chance at l, so all such symptoms are swept side by side. With a price the value
is that of sample information for 'buy or walk away' (Raiffa & Schlaifer 1961); without one it is the
standard deviation of the expected cost over the check's results.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from riskapi.domain.assessment import NextCheck
from riskapi.domain.costing import Basis
from riskapi.domain.evidence import SymptomTables
from riskapi.domain.knowledge import Check, Pack
from riskapi.domain.lanes import LaneSet
from riskapi.domain.means import likelihood_ratio, mean_costs
from riskapi.domain.posterior import Group
from riskapi.domain.readings import CountedFinding
from riskapi.domain.roots import root_likelihood
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
    stand [money]."""

    outcomes: tuple[tuple[Check, Split], ...]
    mean: float

    def ranked(self, gain: float | None) -> tuple[NextCheck, ...]:
        """By value less price; `gain` is the price for the findings less the asking price [money], None without."""
        basis = "spread" if gain is None else "decision"
        values = [(check, _value(outcome, self.mean, gain)) for check, outcome in self.outcomes]
        rows = [NextCheck(c.id, c.set_up, v, basis, c.price, c.minutes) for c, v in values if v > SMALLEST]
        return tuple(sorted(rows, key=lambda row: (-(row.value - row.check_cost), row.check)))


def next_checks(
    pack: Pack,
    basis: Basis,
    findings: Sequence[CountedFinding],
    dealt_with: frozenset[str],
    gain: float | None,
) -> tuple[NextCheck, ...]:
    """Checks not done yet, by value less price; see `open_checks` and `OpenChecks.ranked`."""
    return open_checks(pack, basis, findings, dealt_with).ranked(gain)


def open_checks(pack: Pack, basis: Basis, findings: Sequence[CountedFinding], dealt_with: frozenset[str]) -> OpenChecks:
    """Checks not done yet; `dealt_with` are ids of done, refused or void checks."""
    costs = _joint_costs(basis)
    by_root = Split(
        basis.posterior.root_chance,
        np.asarray((likelihood_ratio(basis.posterior, basis.outlook.table) * costs).sum(axis=(0, 1))),
    )
    checks = [c for c in pack.checks if c.id not in dealt_with and c.from_case is None]
    levels = _levels(basis, costs, _fresh(checks, findings, pack))
    found = ((check, _outcome(check, levels, by_root, basis.outlook.lanes)) for check in checks)
    valued = tuple((check, outcome) for check, outcome in found if outcome is not None)
    return OpenChecks(valued, float(by_root.cost.sum()))


def _fresh(checks: Iterable[Check], findings: Iterable[CountedFinding], pack: Pack) -> list[str]:
    """Symptoms that these checks read and nobody has read yet.

    Zones are left out: they hang together through what runs down, so their levels are no products.
    """
    read = {finding.check.symptom for finding in findings}
    names = {c.symptom for c in checks if c.symptom is not None and c.symptom not in read}
    return sorted(name for name in names if pack.symptom(name).zone is None)


def _joint_costs(basis: Basis) -> Floats:
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
    seen = (group.observed.factors * _column_factors(group.tables, columns, masses.shape[0]))[..., None]
    background = np.array([group.tables[name].background[level] for name, level in columns])
    weighed = seen * masses[:, :, None, index]  # (W, 3, C, R)
    z, slopes = group.observed.sweep.gradients(weighed.reshape(*weighed.shape[:2], -1))
    scale = group.observed.constant[0] * basis.posterior.root_factor[index]
    z = np.broadcast_to(z, len(columns) * index.size).reshape(len(columns), index.size)
    money = (slopes.reshape(weighed.shape) * seen * costs[:, :, None, index]).sum(axis=(0, 1))
    return Split(background * (z @ scale), background * (money @ scale))


def _column_factors(tables: Mapping[str, SymptomTables], columns: Sequence[tuple[str, int]], count: int) -> Floats:
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
    probes = [CountedFinding(check.id, check, k, check.table, "", "self", "") for k in range(len(check.results))]
    likelihood = np.array([root_likelihood(probe, lanes.roots, lanes.candidates) for probe in probes])
    return Split(likelihood @ by_root.chance, likelihood @ by_root.cost)


def _value(outcome: Split, mean: float, gain: float | None) -> float:
    """Value of sample information, or the standard deviation of the expected cost where no price is given."""
    possible = outcome.chance > IMPOSSIBLE
    shift = np.where(possible, outcome.cost / np.where(possible, outcome.chance, 1.0) - mean, 0.0)
    if gain is None:
        return float(np.sqrt((outcome.chance * shift**2).sum()))
    return float((outcome.chance * np.maximum(gain - shift, 0.0)).sum() - max(gain, 0.0))
