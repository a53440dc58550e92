"""The cost distribution by drawing cars, as fast as numpy does it: what the exact answer is timed against.

Nothing is played through that can be drawn at once: roots and states come from the exact posterior, the numbers of
repairs from their exact joint chances given the state (of the horizons the earlier ones from the same spot of their
cumulative chances), and all costs of all cars in a few calls. What is left is what a simulation cannot do without.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.random import Generator

from riskapi.domain.costing import Basis
from riskapi.domain.draws import draw_cars
from riskapi.domain.jobs import Job, Severity


@dataclass(frozen=True)
class Events:
    """Repairs of one price: which car each is of, and the first horizon up to which it has happened."""

    severity: Severity
    car: np.ndarray
    horizon: np.ndarray


def drawn_costs(basis: Basis, count: int, rng: Generator) -> np.ndarray:
    """Surprise costs of `count` cars up to each horizon, (cars, horizons) [money]."""
    cars = draw_cars(basis.posterior, basis.outlook.table.masses, count, rng)
    horizons = len(basis.outlook.horizons)
    spent = np.zeros(count * horizons)
    for events in drawn_events(basis, cars.roots, cars.states, rng):
        costs = drawn_severity(events.severity, events.car.size, rng)
        spent += np.bincount(events.car * horizons + events.horizon, costs, spent.size)
    return spent.reshape(count, horizons).cumsum(axis=1)


def drawn_events(basis: Basis, roots: np.ndarray, states: np.ndarray, rng: Generator) -> Iterator[Events]:
    """All repairs of all cars, weak point by weak point."""
    lanes = basis.outlook.lanes
    candidates = np.array([root.candidate for root in lanes.roots])[roots]
    for w in range(len(lanes.weak_points)):
        lane = drawn_lanes(basis, w, roots, states[:, w], rng)
        kind = 3 * (lane + 1) + states[:, w]
        order = np.argsort(kind, kind="stable")
        starts = np.flatnonzero(np.diff(kind[order], prepend=-1))
        for mine in np.split(order, starts[1:]):
            if lane[mine[0]] < 0:
                continue
            found, by_horizon = drawn_numbers(basis, lane[mine[0]], states[mine[0], w], mine.size, rng)
            for candidate in np.unique(candidates[mine]):
                here = candidates[mine] == candidate
                price = basis.prices[w, int(candidate)]
                yield Events(price.found, np.repeat(mine[here], found[here]), np.zeros(found[here].sum(), dtype=int))
                for h, numbers in enumerate(np.diff(by_horizon[here], axis=1, prepend=0).T):
                    yield Events(price.in_service, np.repeat(mine[here], numbers), np.full(numbers.sum(), h))


def drawn_lanes(basis: Basis, w: int, roots: np.ndarray, states: np.ndarray, rng: Generator) -> np.ndarray:
    """The lane that the weak point of each car has lived, given its state; -1 where the engine has no such part."""
    spends, result = basis.outlook.spends, np.empty(roots.size, dtype=int)
    absent = basis.outlook.absent[:, w]
    for r in np.unique(roots):
        mix = basis.outlook.lanes.mixes[r][w].lanes
        for state in range(3):
            mine = np.flatnonzero((roots == r) & (states == state))
            weights = [weight * spends[lane].state[:, state].mean() for lane, weight in mix]
            weights.append(absent[r] if state == 0 else 0.0)
            choices = np.array([*(lane for lane, _ in mix), -1])
            spots = rng.random(mine.size) * sum(weights)
            result[mine] = choices[np.minimum(np.searchsorted(np.cumsum(weights), spots, "right"), choices.size - 1)]
    return result


def drawn_numbers(basis: Basis, lane: int, state: int, count: int, rng: Generator) -> tuple[np.ndarray, np.ndarray]:
    """Copies found faulty (cars,) and failures in service up to each horizon (cars, horizons)."""
    events = basis.outlook.mean_events[lane][:, state]  # (H, F, N)
    copies = np.cumsum(events[-1].sum(axis=1))
    found = np.searchsorted(copies, rng.random(count) * copies[-1], "right")
    spots, numbers = rng.random(count), np.empty((count, len(events)), dtype=int)
    for f in np.unique(found):
        mine = found == f
        for h, chances in enumerate(events[:, f]):
            below = np.cumsum(chances)
            numbers[mine, h] = np.searchsorted(below, spots[mine] * below[-1], "right")
    return found, np.maximum.accumulate(numbers, axis=1)


def drawn_severity(severity: Severity, count: int, rng: Generator) -> np.ndarray:
    """Costs (count,) of repairs [money]: the job of a drawn outcome, or another engine or the write-off if cheaper."""
    shares = np.cumsum([outcome.chance for outcome in severity.outcomes])
    which = np.searchsorted(shares, rng.random(count) * shares[-1], "right")
    costs = np.empty(count)
    for i, outcome in enumerate(severity.outcomes):
        mine = which == i
        costs[mine] = drawn_job(outcome.job, int(mine.sum()), rng)
    for engine in severity.engines:
        dear = costs > engine.low
        costs[dear] = np.minimum(costs[dear], drawn_job(engine, int(dear.sum()), rng))
    return costs if severity.write_off is None else np.minimum(costs, severity.write_off)


def drawn_job(job: Job, count: int, rng: Generator) -> np.ndarray:
    """Costs of one job, beta-PERT: its shapes are 1 + 4 (likely - low) / (high - low) and 6 less that."""
    width = job.high - job.low
    if width <= 0.0:
        return np.full(count, job.low)
    left = 1.0 + 4.0 * (job.likely - job.low) / width
    return job.low + width * rng.beta(left, 6.0 - left, count)
