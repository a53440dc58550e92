"""Levels of symptoms that are no products over their parents: zones that something runs down to, and what was read.

A symptom is tied when a zone above runs down to it, when a zone below it was looked at, or when somebody read it
already. Each is opened in the sweep beside what was observed, one column per level, so its chances are exact.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import prod

import numpy as np

from riskapi.domain.costing import Basis
from riskapi.domain.evidence import Observed, SymptomTables, observe
from riskapi.domain.posterior import Group
from riskapi.domain.readings import CountedFinding
from riskapi.domain.sweep import Sweep
from riskapi.domain.timeline import Floats


def tied(tables: Mapping[str, SymptomTables], read: Iterable[str]) -> frozenset[str]:
    """Symptoms whose levels are not a product over their parents, given that the symptoms `read` were read."""
    above, fed = set(read), {lower for table in tables.values() for lower, _ in table.runs_down}
    while more := {name for name, table in tables.items() for low, _ in table.runs_down if low in above} - above:
        above |= more
    return frozenset(fed | above)


def above(tables: Mapping[str, SymptomTables], name: str) -> frozenset[str]:
    """The zones from which something runs down to this one, near or far."""
    found: set[str] = set()
    while (
        more := {high for high, table in tables.items() for low, _ in table.runs_down if low == name or low in found}
        - found
    ):
        found |= more
    return frozenset(found)


def read_so_far(findings: Iterable[CountedFinding]) -> dict[str, Floats]:
    """Per symptom the product of its readings, (levels,)."""
    found: dict[str, Floats] = {}
    for finding in findings:
        if finding.check.symptom is not None:
            mine = np.array(finding.likelihood)
            found[finding.check.symptom] = found.get(finding.check.symptom, np.ones_like(mine)) * mine
    return found


@dataclass(frozen=True)
class TiedLevels:
    """One or more tied symptoms opened side by side under one candidate engine: a column for each combination of their
    levels (first symptom slowest)."""

    group: Group
    basis: Basis
    observed: Observed
    levels: int

    @property
    def touched(self) -> frozenset[int]:
        """The weak points that hang together with these symptoms or with what was observed."""
        return frozenset(range(self.observed.factors.shape[0])) - frozenset(self.observed.plan.lone)

    def chances(self, shown: Floats) -> Floats:
        """P(levels, root | findings), each with what else is `shown` (W, 3, columns), a factor on the masses of which
        the first column is one: (levels, columns, roots).

        A column that shows in untouched weak points only is a product; the others are swept.
        """
        index = np.array(self.group.roots)
        masses = self.basis.outlook.table.masses[:, :, None, index] * self.observed.factors[..., None]
        swept = (shown[sorted(self.touched)] != 1.0).any(axis=(0, 1))
        swept[0] = True
        result = np.empty((self.levels, shown.shape[2], index.size))
        result[:, swept] = self._swept(masses, shown[:, :, swept])
        free = list(self.observed.plan.lone)
        with_it = np.einsum("wsc,wsbr->wbcr", shown[free][:, :, ~swept], masses[free])
        without = masses[free].sum(axis=1)[:, :, None]
        result[:, ~swept] = result[:, :1] * (with_it / np.where(without > 0.0, without, 1.0)).prod(axis=0)
        return result

    def _swept(self, masses: Floats, shown: Floats) -> Floats:
        weighed = masses[:, :, :, None] * shown[:, :, None, :, None]
        z = self._sweep(shown.shape[2] * masses.shape[3]).evidence(weighed.reshape(*weighed.shape[:2], -1))
        return np.asarray(np.broadcast_to(z, prod(weighed.shape[2:])).reshape(weighed.shape[2:]) * self._scale())

    def costs(self, costs: Floats) -> tuple[Floats, Floats]:
        """Chance of each level, and the expected cost jointly with it [money], (levels,) each; `costs` (W, 3, R) is
        the expected cost of the term jointly with each mass."""
        index = np.array(self.group.roots)
        seen = self.observed.factors[..., None] * np.ones(index.size)  # (W, 3, levels, roots)
        masses = self.basis.outlook.table.masses[:, :, None, index] * seen
        z, slopes = self._sweep(index.size).gradients(masses.reshape(*masses.shape[:2], -1))
        shape, scale = masses.shape[2:], self._scale()[:, 0]
        money = (slopes.reshape(masses.shape) * seen * costs[:, :, None, index]).sum(axis=(0, 1))
        chance = np.broadcast_to(z, shape[0] * shape[1]).reshape(shape)
        return np.asarray((chance * scale).sum(axis=1)), np.asarray((money * scale).sum(axis=1))

    def _sweep(self, each: int) -> Sweep:
        """The sweep for `each` columns per combination of levels."""
        return Sweep(self.observed.plan, [np.repeat(w, each, axis=1) for w in self.observed.weights])

    def _scale(self) -> Floats:
        """What evidence is multiplied with to be a chance given all findings, (levels, 1, roots)."""
        roots = self.basis.posterior.root_factor[np.array(self.group.roots)]
        return np.asarray(self.observed.constant[:, None, None] * roots)


def open_tied(group: Group, basis: Basis, read: Mapping[str, Floats], names: Sequence[str]) -> TiedLevels:
    """These symptoms opened beside the findings; `read` as of `read_so_far`. Raises TooComplex."""
    sizes = [group.tables[name].background.size for name in names]
    batch = prod(sizes)
    likelihoods = {name: np.repeat(seen[:, None], batch, axis=1) for name, seen in read.items()}
    for axis, (name, size) in enumerate(zip(names, sizes, strict=True)):
        one_level = np.eye(size).repeat(prod(sizes[axis + 1 :]), axis=1)
        mine = np.tile(one_level, (1, prod(sizes[:axis])))
        likelihoods[name] = likelihoods.get(name, np.ones((size, batch))) * mine
    observed = observe(basis.outlook.table.masses.shape[0], group.tables, likelihoods, batch)
    return TiedLevels(group, basis, observed, batch)
