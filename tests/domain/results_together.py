"""Results of several checks together by brute force: an assessment for every combination of results."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import product

import numpy as np

from riskapi.domain.posterior import evidence_of
from riskapi.errors import FindingsClash
from tests.domain.weighed import Weighed, weigh
from tests.simulator import tiny_cases


def together(start: Weighed, checks: Sequence[str]) -> tuple[np.ndarray, np.ndarray]:
    """Chance of every combination, and the expected discounted cost jointly with it; one axis for each check."""
    sizes = [len(start.pack.check(name).results) for name in checks]
    chance, cost = np.zeros(sizes), np.zeros(sizes)
    for at in product(*map(range, sizes)):
        seen = [
            tiny_cases.found(name, start.pack.check(name).results[k].id) for name, k in zip(checks, at, strict=True)
        ]
        try:
            one = weigh(replace(start.case, findings=(*start.case.findings, *seen)), start.pack)
        except FindingsClash:
            continue
        chance[at] = _probability(one) / _probability(start)
        cost[at] = chance[at] * float((one.means.discounted + one.means.planned_discounted).sum())
    return chance, cost


def _probability(one: Weighed) -> float:
    outlook, groups = one.basis.outlook, one.basis.posterior.groups
    return evidence_of(outlook.lanes, groups, one.readings.counted, outlook.table.masses)
