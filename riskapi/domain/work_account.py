"""The chosen jobs line by line: operations, access paid once, and what they cost together and apart."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from riskapi.domain.jobs import PriceLevel, access_under
from riskapi.domain.knowledge import Pack
from riskapi.domain.mends import OPERATION, Item, ItemCost, item_cost
from riskapi.domain.plan_records import PlanAccess, PlanJob, PlanOperation, Work
from riskapi.domain.possible_work import PossibleJob, Selection

REASONS = ("danger", "faulty", "saves")
Scenarios = frozenset[int]


def account(
    pack: Pack, level: PriceLevel, selection: Selection, chosen: Sequence[int], reasons: Mapping[str, str]
) -> Work:
    """The chosen jobs as lines that add up; `reasons` by weak point id, 'saves' where none is given."""
    jobs = sorted((selection.jobs[j] for j in chosen), key=lambda job: _order(job, reasons))
    programme = selection.programme
    rows = _rows(selection, chosen)
    operations = [
        _operation(pack, level, selection, jobs, name, turns, where)
        for (kind, name, where), turns in rows.items()
        if kind == OPERATION
    ]
    access = [
        _access(pack, level, selection, operations, name, where)
        for (kind, name, where), _ in rows.items()
        if kind != OPERATION
    ]
    as_found = sum(job.as_found for job in jobs)
    together = programme.cost_of(frozenset[int]().union(*(programme.needs[j] for j in chosen)))
    return Work(
        jobs=tuple(PlanJob(job.id, job.name, job.kind, reasons.get(job.id, "saves")) for job in jobs),
        operations=tuple(sorted(operations, key=lambda row: (_first(jobs, row), -row.cost, row.id))),
        access=tuple(sorted(access, key=lambda row: (-row.cost, row.id))),
        as_found=as_found,
        cost=together + as_found,
        apart=sum(programme.cost_of(programme.needs[j]) for j in chosen) + as_found,
    )


def _order(job: PossibleJob, reasons: Mapping[str, str]) -> tuple[int, float, str]:
    return REASONS.index(reasons.get(job.id, "saves")), -job.gain, job.id


def _first(jobs: Sequence[PossibleJob], row: PlanOperation) -> int:
    return min(position for position, job in enumerate(jobs) if job.id in row.jobs)


def _rows(selection: Selection, chosen: Sequence[int]) -> dict[tuple[str, str, Scenarios], int]:
    """(kind, id, scenarios) -> how many times: items alike under the same scenarios in one row."""
    where: dict[Item, set[int]] = {}
    for j in chosen:
        for index in selection.programme.needs[j]:
            scenario, item = selection.items[index]
            where.setdefault(item, set()).add(scenario)
    rows: dict[tuple[str, str, Scenarios], int] = {}
    for item in sorted(where):
        key = item.kind, item.id, frozenset(where[item])
        rows[key] = rows.get(key, 0) + 1
    return rows


def _chance(selection: Selection, where: Scenarios) -> float:
    every = len(where) == len(selection.chances)
    return 1.0 if every else sum(selection.chances[scenario] for scenario in sorted(where))


def _operation(
    pack: Pack,
    level: PriceLevel,
    selection: Selection,
    jobs: Sequence[PossibleJob],
    name: str,
    times: int,
    where: Scenarios,
) -> PlanOperation:
    each: ItemCost = item_cost(pack, level, OPERATION, name)
    wanted = tuple(job.id for job in jobs if any(item.kind == OPERATION and item.id == name for item in _items(job)))
    title = pack.operation(name).name
    chance = _chance(selection, where)
    return PlanOperation(name, title, times, chance, times * each.hours, times * each.money, wanted)


def _items(job: PossibleJob) -> frozenset[Item]:
    return frozenset[Item]().union(*(mend.items for mend in job.mends))


def _access(
    pack: Pack,
    level: PriceLevel,
    selection: Selection,
    operations: Sequence[PlanOperation],
    name: str,
    where: Scenarios,
) -> PlanAccess:
    each = item_cost(pack, level, "access", name)
    users = dict.fromkeys(row.id for row in operations if name in access_under([pack.operation(row.id)], pack))
    return PlanAccess(
        name, pack.access_step(name).name, _chance(selection, where), each.hours, each.money, tuple(users)
    )
