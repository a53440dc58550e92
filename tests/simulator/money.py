"""What a job costs: draws of beta-PERT parts prices, fixed hours, and the cheapest way out for the owner."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.random import Generator

from riskapi.domain.knowledge import AccessStep, Operation, OutcomeTable, PartPrice
from tests.simulator.clocks import Floats


@dataclass(frozen=True)
class Prices:
    """Price level of the case and what the workshop can do. `write_off` None: the car is never given up."""

    operations: Mapping[str, Operation]
    steps: Mapping[str, AccessStep]
    installation: str | None
    labour_rate: float
    parts_index: float
    parts_class: float
    tax: float
    write_off: float | None


@dataclass(frozen=True)
class Job:
    """Low, likely and high sum of all parts [pack currency], and hours."""

    low: float
    likely: float
    high: float
    hours: float


def job(prices: Prices, operations: Iterable[str]) -> Job:
    """One job of these operations with what belongs to them; each operation and access step counts once."""
    wanted = _closure(operations, lambda name: prices.operations[name].follow_on)
    steps = _closure(
        (step for name in wanted for step in prices.operations[name].access),
        lambda name: (under,) if (under := prices.steps[name].under) else (),
    )
    parts = [p for name in wanted for p in prices.operations[name].parts]
    parts += [p for name in steps for p in prices.steps[name].one_use]
    hours = sum(prices.operations[name].hours for name in wanted)
    hours += sum(prices.steps[name].hours * _fitting(prices.steps[name], prices.installation) for name in steps)
    return Job(*_sums(parts), hours)


def _fitting(step: AccessStep, installation: str | None) -> float:
    """How much longer a step takes this way round; the mean of both when it is not known."""
    both = {"transverse": step.transverse, "longitudinal": step.longitudinal}
    return both[installation] if installation else sum(both.values()) / 2


def _closure(start: Iterable[str], more: Callable[[str], Iterable[str]]) -> list[str]:
    seen: dict[str, None] = {}
    waiting = list(start)
    while waiting:
        name = waiting.pop()
        if name not in seen:
            seen[name] = None
            waiting.extend(more(name))
    return list(seen)


def _sums(parts: Iterable[PartPrice]) -> tuple[float, float, float]:
    parts = tuple(parts)
    return sum(p.low for p in parts), sum(p.likely for p in parts), sum(p.high for p in parts)


def pert(low: float, likely: float, high: float, count: int, rng: Generator) -> Floats:
    """Beta-PERT draws: mean mu = (low + 4 likely + high) / 6, variance (mu - low)(high - mu) / 7."""
    if high <= low:
        return np.full(count, float(likely))
    rise = 1 + 4 * (likely - low) / (high - low)
    return np.asarray(low + (high - low) * rng.beta(rise, 6 - rise, count))


def pay(prices: Prices, work: Job, count: int, rng: Generator) -> Floats:
    """Price of this job [currency], drawn `count` times."""
    parts = pert(work.low, work.likely, work.high, count, rng)
    labour = work.hours * prices.labour_rate
    return np.asarray((parts * prices.parts_index * prices.parts_class + labour) * (1 + prices.tax))


def cheapest(prices: Prices, work: Job, count: int, rng: Generator) -> Floats:
    """The job, another engine, or giving the car up, whichever costs least in each draw."""
    cost = pay(prices, work, count, rng)
    for operation in prices.operations.values():
        if operation.kind == "another_engine":
            cost = np.minimum(cost, pay(prices, job(prices, [operation.id]), count, rng))
    return cost if prices.write_off is None else np.minimum(cost, prices.write_off)


def outcome(prices: Prices, chances: list[float], table: OutcomeTable, count: int, rng: Generator) -> Floats:
    """Draw which row happens to each car (`chances` of all but the last), and what it costs there."""
    rows, chances = (*table.rows, table.otherwise), [*chances, 1.0 - sum(chances)]
    if min(chances) < -1e-9:
        raise ValueError("the chances of the rows exceed 1")
    picked = rng.choice(len(rows), size=count, p=np.clip(chances, 0, None) / sum(np.clip(chances, 0, None)))
    cost = np.zeros(count)
    for index, row in enumerate(rows):
        here = np.flatnonzero(picked == index)
        if len(here):
            cost[here] = cheapest(prices, job(prices, row.operations), len(here), rng)
    return cost
