"""The sweep on plans that are swept many times with the same likelihoods, as products of small matrices.

A narrow batch takes several weak points per visit, since then the number of calls matters and not that of
multiplications. A plan whose matrices would be large stays with the steps.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import reduce
from itertools import islice

import numpy as np

from riskapi.domain.sweep import Sweep, column_blocks, products_of_others
from riskapi.domain.sweep_levels import Array
from riskapi.domain.sweep_plan import Plan
from riskapi.domain.sweep_visits import Component, widest, written_out
from riskapi.domain.timeline import Floats

LARGEST = 64  # entries of the array's touched part up to which matrices are faster than steps
NARROW = 8  # columns up to which a batch is swept several weak points at a time
TOGETHER = 3  # weak points of one visit of a narrow batch
ALONE = 2**17  # multiplications up to which linear-algebra libraries work in one thread; more would wait for each other


class MatrixSweep:
    """Evidence, gradients and marginals like Sweep's, for likelihoods common to everything computed side by side."""

    def __init__(self, plan: Plan, weights: Sequence[Floats]) -> None:
        self._steps, self.plan = Sweep(plan, weights), plan
        self._lone = list(plan.lone)
        self._written: dict[int, tuple[Component, ...]] = {}

    def components(self, columns: int) -> tuple[Component, ...]:
        """The components of the plan as matrices for a batch of so many columns; written out when first asked for."""
        together = TOGETHER if columns <= NARROW else 1
        if together not in self._written:
            self._written[together] = tuple(written_out(self._steps, each, together) for each in self.plan.components)
        return self._written[together]

    def evidence(self, masses: Array) -> Array:
        """Sum over all states of masses x likelihood, shape (B,); `masses` is (weak points, 3, B), real or complex."""
        lone: Array = masses[self._lone].sum(axis=1).prod(axis=0)
        return lone * self.connected(masses)

    def connected(self, masses: Array) -> Array:
        """The part of `evidence` that hangs together with open symptoms; other weak points' masses are not read."""
        return np.concatenate([self._connected(masses[..., cut]) for cut in column_blocks(self.plan, masses)])

    def _connected(self, masses: Array) -> Array:
        components = self.components(masses.shape[2])
        joint = iter(_joint(_members(components), masses))
        result: Array = np.ones(1)
        for component in components:
            result = result * _passed(component, list(islice(joint, len(component.visits))))[-1][0]
        return np.broadcast_to(result, masses.shape[2])

    def marginals(self, masses: Floats) -> tuple[Floats, Floats]:
        """Evidence (B,) and joint masses of every state with the evidence, (weak points, 3, B)."""
        total, slopes = self.gradients(masses)
        return total, masses * slopes

    def gradients(self, masses: Array) -> tuple[Array, Array]:
        """Evidence (B,) and its derivative by every mass, (weak points, 3, B): the likelihood of all else."""
        blocks = [self._gradients(masses[..., cut]) for cut in column_blocks(self.plan, masses)]
        if len(blocks) == 1:
            return blocks[0]
        totals, slopes = zip(*blocks, strict=True)
        return np.concatenate(totals), np.concatenate(slopes, axis=2)

    def _gradients(self, masses: Array) -> tuple[Array, Array]:
        components = self.components(masses.shape[2])
        members = _members(components)
        joint = iter(_joint(members, masses))
        joints = [list(islice(joint, len(component.visits))) for component in components]
        trails = [_passed(component, mine) for component, mine in zip(components, joints, strict=True)]
        ends = [np.broadcast_to(trail[-1], (1, masses.shape[2])) for trail in trails]
        factors = np.concatenate([*ends, masses[self._lone].sum(axis=1)])
        others = products_of_others(factors)
        slopes = np.empty(masses.shape, dtype=masses.dtype)
        slopes[self._lone] = others[len(trails) :, None]
        rows: list[Array] = []
        for component, mine, trail, other in zip(components, joints, trails, others, strict=False):
            rows += _returned(component, mine, trail, other[None])
        _split_up(members, rows, masses, slopes)
        return factors.prod(axis=0), slopes


def _members(components: Sequence[Component]) -> list[tuple[int, ...]]:
    return [visit.members for component in components for visit in component.visits]


def _joint(groups: Sequence[tuple[int, ...]], masses: Array) -> list[Array]:
    """Per group of weak points the masses of every combination of states, (S, B), the last member fastest."""
    rows: list[Array] = [masses[group[0]] for group in groups]
    for size, places in _by_size(groups).items():
        if size > 1:
            members = np.array([groups[v] for v in places])
            for v, row in zip(places, _combined([masses[members[:, k]] for k in range(size)]), strict=True):
                rows[v] = row
    return rows


def _by_size(groups: Sequence[Sequence[int]]) -> dict[int, list[int]]:
    """Positions of the groups of every size."""
    found: dict[int, list[int]] = {}
    for position, group in enumerate(groups):
        found.setdefault(len(group), []).append(position)
    return found


def _combined(masses: Sequence[Array]) -> Array:
    """Products (V, 3 ** k, B) of the masses (V, 3, B) of k members, the last member fastest."""
    visits, _, columns = masses[0].shape
    return reduce(lambda rows, more: (rows[:, :, None] * more[:, None]).reshape(visits, -1, columns), masses)


def _passed(component: Component, joint: Sequence[Array]) -> list[Array]:
    """The array before every visit, arranged for it, and after the last one (1, B)."""
    columns = joint[0].shape[1] if joint else 1
    t: Array = np.broadcast_to(component.start, (component.start.shape[0], columns))
    trail = []
    for visit, masses in zip(component.visits, joint, strict=True):
        trail.append(visit.arranged(t))
        t = _mixed(masses, product(visit.ahead, trail[-1]))
    return [*trail, t]


def _returned(component: Component, joint: Sequence[Array], trail: Sequence[Array], adjoint: Array) -> list[Array]:
    """Per visit the derivatives (S, B) by its joint masses; `adjoint` (1, B) is that by the component's evidence."""
    columns, rows = adjoint.shape[1], []
    for visit, masses, before in zip(component.visits[::-1], joint[::-1], trail[-2::-1], strict=True):
        states = product(visit.back, adjoint.reshape(visit.back.shape[1], -1)).reshape(len(masses), -1, columns)
        rows.append(_summed(states, before.reshape(-1, columns)))
        adjoint = visit.restored(_mixed(masses, states), columns)
    return rows[::-1]


def _split_up(groups: Sequence[tuple[int, ...]], joint: Sequence[Array], masses: Array, slopes: Array) -> None:
    """Fill in the derivatives by each member's masses from those by the combinations' (3 ** members, B)."""
    for size, places in _by_size(groups).items():
        if size == 1:
            for v in places:
                slopes[groups[v][0]] = joint[v]
            continue
        members = np.array([groups[v] for v in places])
        rows = np.stack([joint[v] for v in places])
        each = [masses[members[:, k]] for k in range(size)]
        one = np.ones((len(places), 1, masses.shape[2]))
        for k in range(size):
            left, right = _combined([one, *each[:k]]), _combined([one, *each[k + 1 :]])
            cube = rows.reshape(len(places), left.shape[1], 3, right.shape[1], -1)
            slopes[members[:, k]] = (cube * left[:, :, None, None] * right[:, None, None]).sum(axis=(1, 3))


def product(matrices: Floats, t: Array) -> Array:
    """Matrices (S * T', T) times arrays (T, n); a complex array is multiplied as pairs of reals."""
    reals = np.ascontiguousarray(t).view(np.float64)
    if matrices.size * reals.shape[1] <= ALONE:
        return np.asarray((matrices @ reals).view(t.dtype))
    product = np.empty((matrices.shape[0], reals.shape[1]))
    block = max(ALONE // matrices.size, 1)
    for first in range(0, reals.shape[1], block):
        mine = slice(first, first + block)
        np.matmul(matrices, reals[:, mine], out=product[:, mine])
    return product.view(t.dtype)


def _mixed(joint: Array, states: Array) -> Array:
    """Sum over combinations of states of masses (S, B) x arrays (S, .., B), (A, B)."""
    count, columns = joint.shape
    if columns == 1:
        return np.asarray(joint[:, 0] @ states.reshape(count, -1))[:, None]
    mixed: Array = (joint[:, None] * states.reshape(count, -1, columns)).sum(axis=0)
    return mixed


def _summed(states: Array, before: Array) -> Array:
    """Sum over the array of (S, A, B) x (A, B), (S, B)."""
    if before.shape[1] == 1:
        return np.asarray(states[..., 0] @ before)
    summed: Array = (states * before).sum(axis=1)
    return summed


def fixed_sweep(plan: Plan, weights: Sequence[Floats]) -> MatrixSweep | Sweep:
    """The faster way to sweep this plan again and again with these likelihoods, (E, 1) each."""
    return MatrixSweep(plan, weights) if widest(plan) <= LARGEST else Sweep(plan, weights)
