"""Which jobs to do together: an exact integer programme over jobs that share what they need.

Each job has a benefit [money] and needs a set of items (operations, access steps); an item is paid once, however many
of the chosen jobs need it. The cheapest choice minimises

    sum of the cost of items needed by any chosen job  -  sum of the benefits of the chosen jobs

(a selection problem with shared costs, Rhys 1970). Jobs that must be done are paid for first. What can be settled by
an exact argument is settled before the programme is handed to the solver (HiGHS through scipy.optimize.milp).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_array

ItemSet = frozenset[int]

ROUNDS = 25  # of sharing costs in search of a proof that nothing pays back
TINY = 1e-300


@dataclass(frozen=True, slots=True)
class Programme:
    """benefits [money] and needs (indices of items) per job, costs [money, >= 0] per item, jobs to be done anyway."""

    benefits: tuple[float, ...]
    needs: tuple[ItemSet, ...]
    costs: tuple[float, ...]
    forced: ItemSet = frozenset()

    def cost_of(self, items: ItemSet) -> float:
        """Cost of these items, each once [money]."""
        return sum(self.costs[item] for item in sorted(items))

    def net(self, jobs: Sequence[int]) -> float:
        """Cost of what these jobs need together less their benefits [money]; below zero they pay back."""
        items = frozenset[int]().union(*(self.needs[job] for job in jobs))
        return self.cost_of(items) - sum(self.benefits[job] for job in jobs)


def best_jobs(programme: Programme) -> tuple[int, ...]:
    """The cheapest choice that contains all forced jobs, ascending; a job that changes nothing is not done.

    Raises RuntimeError when the solver does not prove its optimum (it always can: not choosing is feasible).
    """
    chosen, left, paid = _settled(programme)
    left = _hopeful(programme, left, paid)
    if left:
        chosen |= _solved(programme, left, paid)
    return tuple(sorted(chosen))


def _settled(programme: Programme) -> tuple[set[int], list[int], set[int]]:
    """Jobs of every optimum, jobs that are still open, and the items paid for.

    A job worth more than all it still has to pay for belongs to every optimum: adding it to any choice gains. A job
    worth no more than the items that it alone needs belongs to none that matters: leaving it out loses nothing.
    """
    chosen = set(programme.forced)
    paid = set().union(*(programme.needs[job] for job in chosen))
    left = [job for job in range(len(programme.benefits)) if job not in chosen and programme.benefits[job] > 0.0]
    settled = True
    while settled:
        settled = False
        users = Counter(item for job in left for item in programme.needs[job] if item not in paid)
        for job in tuple(left):
            unpaid = programme.needs[job] - paid
            own = frozenset(item for item in unpaid if users[item] == 1)
            sure = programme.benefits[job] > programme.cost_of(unpaid)
            if sure:
                chosen.add(job)
                paid |= unpaid
            if sure or programme.benefits[job] <= programme.cost_of(own):
                left.remove(job)
                users.subtract(unpaid)
                settled = True
    return chosen, left, paid


def _hopeful(programme: Programme, left: Sequence[int], paid: set[int]) -> list[int]:
    """The open jobs without the groups that cannot pay back. Jobs that hang together through items are one group."""
    wanted = {job: sorted(programme.needs[job] - paid) for job in left}
    groups = _groups(wanted)
    return [job for group in groups if not _hopeless(programme, group, wanted) for job in sorted(group)]


def _hopeless(programme: Programme, group: set[int], wanted: Mapping[int, Sequence[int]]) -> bool:
    """Whether the costs of the items can be shared so that nobody's share is below his benefit.

    Whatever jobs are chosen pay at least their shares of the items they need, so then no choice gains. Shares go by
    weights, which a few rounds move towards those whose share is too small; any weights give a valid argument.
    """
    weights = {job: programme.benefits[job] for job in group}
    for _ in range(ROUNDS):
        total: dict[int, float] = {}
        for job, weight in weights.items():
            for item in wanted[job]:
                total[item] = total.get(item, 0.0) + weight
        pressure = {  # benefit over share
            job: programme.benefits[job]
            / max(sum(programme.costs[item] * weight / total[item] for item in wanted[job]), TINY)
            for job, weight in weights.items()
        }
        if max(pressure.values()) <= 1.0:
            return True
        weights = {job: weight * min(max(pressure[job], 0.1), 10.0) for job, weight in weights.items()}
    return False


def _groups(wanted: Mapping[int, Sequence[int]]) -> list[set[int]]:
    """Jobs that hang together through the items they want."""
    groups: list[tuple[set[int], set[int]]] = []
    for job, items in wanted.items():
        touching = [group for group in groups if group[1] & set(items)]
        merged = {job}.union(*(jobs for jobs, _ in touching)), set(items).union(*(needs for _, needs in touching))
        groups = [group for group in groups if group not in touching] + [merged]
    return [jobs for jobs, _ in groups]


def _solved(programme: Programme, left: Sequence[int], paid: set[int]) -> set[int]:
    """The best of the open jobs: x = 1 for a job done, y = 1 for an item paid, y >= x for all that a job needs.

    Only x is declared an integer: y falls to the largest x that needs it.
    """
    items = sorted(set().union(*(programme.needs[job] for job in left)) - paid)
    column = {item: len(left) + position for position, item in enumerate(items)}
    pairs = [(x, column[item]) for x, job in enumerate(left) for item in sorted(programme.needs[job] - paid)]
    rows = np.arange(len(pairs))
    data = np.concatenate([np.ones(len(pairs)), -np.ones(len(pairs))])
    at = np.array([y for _, y in pairs] + [x for x, _ in pairs])
    size = len(left) + len(items)
    found = milp(
        c=np.array([-programme.benefits[job] for job in left] + [programme.costs[item] for item in items]),
        constraints=LinearConstraint(csr_array((data, (np.tile(rows, 2), at)), (len(pairs), size)), lb=0.0),
        integrality=np.array([1] * len(left) + [0] * len(items)),
        bounds=Bounds(0.0, 1.0),
        options={"mip_rel_gap": 0.0},
    )
    if found.x is None or found.status != 0:
        raise RuntimeError(f"the repair programme was not solved: {found.message}")
    return {job for job, done in zip(left, found.x, strict=False) if done > 0.5}
