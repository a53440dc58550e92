"""All results of a few checks together: their joint chances, and the expected cost jointly with each combination.

From these the value of sample information of the whole set is exact (Raiffa & Schlaifer 1961). The number of
combinations is the product of the symptoms' levels, so only few checks can be taken together.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from math import prod

import numpy as np

from riskapi.domain.costing import Basis
from riskapi.domain.knowledge import Check
from riskapi.domain.next_checks import OpenChecks, Split, column_factors, joint_costs, root_table
from riskapi.domain.posterior import Group
from riskapi.domain.timeline import Floats

MOST = 243  # combinations of levels


def joinable(checks: Sequence[Check], left: OpenChecks, basis: Basis, most: int = MOST) -> tuple[Check, ...]:
    """The first of these checks that can be taken together: no tied symptom, one reader of each, at most `most`
    combinations, two that read a root. What is left out only takes information away."""
    tables = basis.posterior.groups[0].tables
    taken: list[Check] = []
    sizes: dict[str, int] = {}
    for check in checks:
        if check.symptom is None:
            taken.append(check)
        elif check.symptom not in left.tied and check.symptom not in sizes:
            size = tables[check.symptom].background.size
            if size * prod(sizes.values()) <= most:
                sizes[check.symptom] = size
                taken.append(check)
    roots = [c for c in taken if c.symptom is None]
    return tuple(c for c in taken if c.symptom is not None or c in roots[:2])


def joint_results(checks: Sequence[Check], basis: Basis) -> Split:
    """Chance of every combination of results, and the expected discounted cost jointly with it [money]; one axis for
    each check, in order. The checks must be joinable."""
    by_symptom = [check for check in checks if check.symptom is not None]
    by_root = [check for check in checks if check.symptom is None]
    names = [str(check.symptom) for check in by_symptom]
    sizes = [basis.posterior.groups[0].tables[name].background.size for name in names]
    roots = basis.posterior.root_chance.size
    chance, cost = np.zeros((*sizes, roots)), np.zeros((*sizes, roots))
    for group in basis.posterior.groups:
        chance[..., group.roots], cost[..., group.roots] = _combinations(group, basis, names, sizes)
    read = [np.array(check.table) for check in by_symptom]
    told = [root_table(check, basis.outlook.lanes) for check in by_root]
    order = [check.id for check in (*by_symptom, *by_root)]
    axes = [order.index(check.id) for check in checks]
    return Split(*(_read(values, read, told).transpose(axes) for values in (chance, cost)))


def _combinations(group: Group, basis: Basis, names: Sequence[str], sizes: Sequence[int]) -> tuple[Floats, Floats]:
    """Of levels and root combinations of one candidate engine, (levels of each symptom.., roots) each."""
    columns = [(name, level) for name, size in zip(names, sizes, strict=True) for level in range(size)]
    single = column_factors(group.tables, columns, basis.outlook.table.masses.shape[0])
    starts = np.cumsum([0, *sizes])[:-1]
    picked = np.array([starts + levels for levels in product(*map(range, sizes))], dtype=int).reshape(prod(sizes), -1)
    shown = single[:, :, picked].prod(axis=3) if columns else np.ones((*single.shape[:2], 1))
    background = np.array([group.tables[name].background[level] for name, level in columns])
    index = np.array(group.roots)
    seen = (group.observed.factors * shown)[..., None]
    masses = seen * basis.outlook.table.masses[:, :, None, index]
    z, slopes = group.observed.sweep.gradients(masses.reshape(*masses.shape[:2], -1))
    money = (slopes.reshape(masses.shape) * seen * joint_costs(basis)[:, :, None, index]).sum(axis=(0, 1))
    scale = group.observed.constant[0] * basis.posterior.root_factor[index]
    scale = scale * background[picked].prod(axis=1)[:, None]
    chance = np.broadcast_to(z, prod(masses.shape[2:])).reshape(masses.shape[2:])
    return tuple(_differences((x * scale).reshape(*sizes, index.size)) for x in (chance, money))  # type: ignore[return-value]


def _differences(values: Floats) -> Floats:
    """From cumulative to single levels along every axis but the last."""
    for axis in range(values.ndim - 1):
        values = np.diff(values, axis=axis, prepend=0.0)
    return values


def _read(values: Floats, read: Sequence[Floats], told: Sequence[Floats]) -> Floats:
    """From levels to results along every axis, and from the roots on the last axis to the results that read them."""
    for axis, table in enumerate(read):
        values = np.moveaxis(np.tensordot(values, table, axes=(axis, 0)), -1, axis)
    for table in told:  # (results, roots)
        values = values[..., None, :] * table
    return np.asarray(values.sum(axis=-1))


def value_of(joint: Split, mean: float, gain: float) -> float:
    """Value of sample information for 'buy or walk away' [money], at least 0; `gain` is what buying gains as things
    stand, `mean` the expected cost now."""
    net = gain * joint.chance - (joint.cost - mean * joint.chance)
    return max(float(np.maximum(net, 0.0).sum()) - max(gain, 0.0), 0.0)
