"""First and second moments of what checks would show: how results go together, and how each goes with the cost.

Everything is exact: the chance that two symptoms stand at two levels is the evidence of the network with both
parents' factors on the masses; tied symptoms (riskapi.domain.tied_levels) are opened in the sweep. Given a symptom's
level its readers err independently. A feature is one result of a check; the first result of each is left out, since the
results of a check sum to one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from riskapi.domain.costing import Basis
from riskapi.domain.knowledge import Check
from riskapi.domain.lanes import LaneSet
from riskapi.domain.next_checks import OpenChecks, column_factors, root_table
from riskapi.domain.posterior import Group
from riskapi.domain.tied_levels import TiedLevels, above, open_tied
from riskapi.domain.timeline import Floats

CHUNK = 4096  # columns swept side by side


@dataclass(frozen=True)
class Moments:
    """Features of the checks in order: `place` of each check's features, their covariance (F, F), and their covariance
    with the expected discounted cost (F,) [money]."""

    place: Mapping[str, slice]
    covariance: Floats
    with_cost: Floats


def moments(left: OpenChecks, basis: Basis, checks: Sequence[Check]) -> Moments:
    """Of these checks, all of which `left` must have valued."""
    levels = _Levels(basis, left, sorted({c.symptom for c in checks if c.symptom is not None}))
    joint = levels.joint()
    splits = {check.id: split for check, split in left.outcomes}
    features = [_features(check, levels, basis.outlook.lanes) for check in checks]
    starts = np.cumsum([0, *(f.shape[1] for f in features)])
    place = {c.id: slice(int(a), int(b)) for c, a, b in zip(checks, starts, starts[1:], strict=False)}
    read = np.concatenate(features, axis=1) if features else np.zeros((joint.shape[0], 0))
    both = read.T @ joint @ read
    chance = np.concatenate([splits[c.id].chance[1:] for c in checks]) if checks else np.zeros(0)
    for at in place.values():  # the results of one check shut each other out
        both[at, at] = np.diag(chance[at])
    cost = [splits[c.id].cost[1:] - left.mean * splits[c.id].chance[1:] for c in checks]
    return Moments(place, both - np.outer(chance, chance), np.concatenate(cost) if cost else np.zeros(0))


def _features(check: Check, levels: _Levels, lanes: LaneSet) -> Floats:
    """P(result | level of the source) for all results but the first, rows over all levels of all sources."""
    if check.symptom is not None:
        table = np.array(check.table)[:, 1:]
        return levels.spread(check.symptom, table)
    return levels.spread("", root_table(check, lanes)[1:].T)


class _Levels:
    """Joint chances of the levels of symptoms two by two, and of the root combinations (source '')."""

    def __init__(self, basis: Basis, left: OpenChecks, names: Sequence[str]) -> None:
        self.basis, self.left = basis, left
        tables = basis.posterior.groups[0].tables
        self.plain = [name for name in names if name not in left.tied]
        self.tied = [name for name in names if name in left.tied]
        self.above = {name: above(tables, name) for name in self.tied}
        sizes = {name: tables[name].background.size for name in names}
        self.at: dict[str, slice] = {}
        start = 0
        for name in (*self.plain, *self.tied):
            self.at[name] = slice(start, start + sizes[name])
            start += sizes[name]
        self.at[""] = slice(start, start + basis.posterior.root_chance.size)
        self.size = start + basis.posterior.root_chance.size
        self.columns = [(name, level) for name in self.plain for level in range(sizes[name] - 1)]
        self.steps = self._differences(sizes)

    def spread(self, name: str, table: Floats) -> Floats:
        """Rows of a source put in their place among those of all sources."""
        rows = np.zeros((self.size, table.shape[1]))
        rows[self.at[name]] = table
        return rows

    def _differences(self, sizes: Mapping[str, int]) -> Floats:
        """From the cumulative columns, the empty one first, to the levels of the plain symptoms."""
        steps = np.zeros((sum(sizes[name] for name in self.plain), len(self.columns) + 1))
        column = 1
        for name in self.plain:
            first, last = self.at[name].start, self.at[name].stop - 1
            for level in range(first, last):
                steps[level, column] = 1.0
                steps[level + 1, column] = -1.0
                column += 1
            steps[last, 0] = 1.0
        return steps

    def joint(self) -> Floats:
        """P(one source at a level, another at a level) for all sources; a source with itself: only equal levels."""
        joint = np.zeros((self.size, self.size))
        for group in self.basis.posterior.groups:
            self._add_plain(group, joint)
            opened = {name: open_tied(group, self.basis, self.left.read, [name]) for name in self.tied}
            for name in self.tied:
                self._add_tied(group, name, opened[name], joint)
            for pair in combinations(self.tied, 2):
                self._add_both_tied(group, pair, opened, joint)
        joint[self.at[""], self.at[""]] = np.diag(self.basis.posterior.root_chance)
        joint = np.triu(joint) + np.triu(joint, 1).T
        return self._own_blocks(joint)

    def _own_blocks(self, joint: Floats) -> Floats:
        """A symptom stands at one level: its own block is diagonal, with the chances summed over the roots."""
        for name, at in self.at.items():
            if name:
                joint[at, at] = np.diag(joint[at, self.at[""]].sum(axis=1))
        return joint

    def _roots(self, group: Group) -> Floats:
        return np.asarray(np.array(group.roots) + self.at[""].start)

    def _add_plain(self, group: Group, joint: Floats) -> None:
        count = self.steps.shape[0]
        if not count:
            return
        cumulative = pairs_under(group, self.basis, self.columns)
        joint[:count, :count] += self.steps @ cumulative.sum(axis=2) @ self.steps.T
        joint[:count, self._roots(group)] += self.steps @ cumulative[0]

    def _add_tied(self, group: Group, name: str, opened: TiedLevels, joint: Floats) -> None:
        shown = column_factors(group.tables, self.columns, self.basis.outlook.table.masses.shape[0])
        shown = np.concatenate([np.ones((*shown.shape[:2], 1)), shown], axis=2)
        chances = opened.chances(shown) * backgrounds(group, self.columns)[:, None]
        with_plain = self.steps @ chances.sum(axis=2).T
        for higher in self.above[name].intersection(self.plain):  # what runs down from it is no product
            with_plain[self.at[higher]] = self._both(group, (higher, name))
        joint[: self.steps.shape[0], self.at[name]] += with_plain
        joint[self.at[name], self._roots(group)] += chances[:, 0]

    def _add_both_tied(
        self, group: Group, pair: tuple[str, str], opened: Mapping[str, TiedLevels], joint: Floats
    ) -> None:
        """Two symptoms that share no weak point and no zone above them are independent under a root combination."""
        first, second = pair
        zones = (self.above[first] | {first}) & (self.above[second] | {second})
        if zones or opened[first].touched & opened[second].touched:
            joint[self.at[first], self.at[second]] += self._both(group, pair)
            return
        roots = self._roots(group)
        each = joint[self.at[first], roots], joint[self.at[second], roots]
        whole = each[0].sum(axis=0)
        joint[self.at[first], self.at[second]] += each[0] / np.where(whole > 0.0, whole, 1.0) @ each[1].T

    def _both(self, group: Group, pair: tuple[str, str]) -> Floats:
        """P(first at a level, second at a level), both opened side by side."""
        nothing = np.ones((*self.basis.outlook.table.masses.shape[:2], 1))
        chances = open_tied(group, self.basis, self.left.read, pair).chances(nothing).sum(axis=(1, 2))
        sizes = [group.tables[name].background.size for name in pair]
        return np.asarray(chances.reshape(sizes))


def backgrounds(group: Group, columns: Sequence[tuple[str, int]]) -> Floats:
    """What the background makes of every column, the empty one first, (C + 1,)."""
    return np.array([1.0, *(group.tables[name].background[level] for name, level in columns)])


def pairs_under(group: Group, basis: Basis, columns: Sequence[tuple[str, int]]) -> Floats:
    """P(two symptoms at or below their levels, root | findings) for every two columns, the empty one first,
    (C + 1, C + 1, roots). Entries of one symptom with itself mean nothing."""
    index = np.array(group.roots)
    masses = basis.outlook.table.masses[..., index] * group.observed.factors  # (W, 3, roots); one column was observed
    shown = column_factors(group.tables, columns, masses.shape[0])
    shown = np.concatenate([np.ones((*shown.shape[:2], 1)), shown], axis=2)
    found = _swept_pairs(group, masses, shown) if group.observed.plan.components else _lone_pairs(masses, shown)
    background = backgrounds(group, columns)
    scale = group.observed.constant[0] * basis.posterior.root_factor[index]
    return np.asarray(found * np.outer(background, background)[..., None] * scale)


def _lone_pairs(masses: Floats, shown: Floats) -> Floats:
    """Where no symptom is open, weak points are independent under a root: a product over them, and two columns differ
    from the product of both only in the weak points that they share."""
    roots = masses.shape[2]
    single = np.einsum("wsc,wsr->wcr", shown, masses)
    whole = single.prod(axis=0)  # (columns, roots)
    empty = np.where(whole[:1] > 0.0, whole[:1], 1.0)
    result = whole[:, None] * whole[None] / empty
    for w in range(shown.shape[0]):
        mine = np.flatnonzero((shown[w] != 1.0).any(axis=0))
        if mine.size:
            both = np.einsum("sa,sb,sr->abr", shown[w][:, mine], shown[w][:, mine], masses[w])
            apart = single[w, mine][:, None] * single[w, mine][None]
            result[np.ix_(mine, mine, np.arange(roots))] *= np.where(
                apart > 0.0, both * single[w, :1] / np.where(apart > 0.0, apart, 1.0), 0.0
            )
    return np.asarray(result)


def _swept_pairs(group: Group, masses: Floats, shown: Floats) -> Floats:
    """The same by the sweep, a root combination and a stretch of pairs at a time."""
    count, roots = shown.shape[2], masses.shape[2]
    first, second = np.triu_indices(count)
    found = np.zeros((count, count, roots))
    for start in range(0, first.size, CHUNK):
        a, b = first[start : start + CHUNK], second[start : start + CHUNK]
        both = shown[:, :, a] * shown[:, :, b]
        for r in range(roots):
            z = group.observed.sweep.evidence(masses[:, :, r, None] * both)
            found[a, b, r] = found[b, a, r] = z
    return found
