"""The search of an order against all orders, and against going for the smallest array step by step."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import permutations

import numpy as np
import pytest

from riskapi.domain.sweep_order import Bools, Symptoms, closing_order, visiting_order


def tangle(seed: int, points: int, count: int, zones: bool = False) -> Symptoms:
    """Symptoms of two to five random causes, of two to four classes; with `zones` some run down to earlier ones."""
    rng = np.random.default_rng(seed)
    parents = np.zeros((count, points), dtype=bool)
    for row in parents:
        row[rng.permutation(points)[: rng.integers(2, 6)]] = True
    higher = np.triu(rng.random((count, count)) < 0.2, 1) if zones else np.zeros((count, count), dtype=bool)
    return Symptoms(parents, higher, np.log2(rng.integers(2, 5, count)))


def work(symptoms: Symptoms, order: Sequence[int]) -> float:
    """Entries swept when symptoms close in this order: three times the array per visit, once per closing."""
    visited, closed, total = set[int](), set[int](), 0.0
    for f in order:
        mine = set(np.flatnonzero(symptoms.parents[f]).tolist())
        opened = {g for g in range(len(order)) if is_open(symptoms, g, visited | mine, closed)} | {f}
        total += (3 * len(mine - visited) + 1) * np.prod([2 ** symptoms.size[g] for g in opened - closed])
        visited |= mine
        closed.add(f)
    return float(total)


def is_open(symptoms: Symptoms, g: int, visited: set[int], closed: set[int]) -> bool:
    return any(symptoms.parents[g, i] for i in visited) or any(symptoms.higher[g, f] for f in closed)


def allowed(symptoms: Symptoms, order: Sequence[int]) -> bool:
    """Every zone closes after those above it."""
    place = {f: k for k, f in enumerate(order)}
    return all(place[above] < place[low] for low, above in zip(*np.nonzero(symptoms.higher), strict=True))


@pytest.mark.parametrize("zones", [False, True])
@pytest.mark.parametrize("seed", range(8))
def test_no_order_of_a_small_component_is_less_work(seed: int, zones: bool) -> None:
    symptoms = tangle(seed, points=9, count=6, zones=zones)
    best = min(work(symptoms, order) for order in permutations(range(6)) if allowed(symptoms, order))
    found = closing_order(symptoms)
    assert allowed(symptoms, found)
    assert work(symptoms, found) == pytest.approx(best)


def smallest_next(symptoms: Symptoms) -> list[int]:
    """Always the symptom that leaves the smallest array."""
    order: list[int] = []
    while len(order) < len(symptoms.size):
        left = [f for f in range(len(symptoms.size)) if f not in order]
        order.append(min(left, key=lambda f: work(symptoms, [*order, f]) - work(symptoms, order)))
    return order


def test_of_large_components_it_is_much_less_work_than_step_by_step() -> None:
    ratios = []
    for seed in range(10):
        symptoms = tangle(seed, points=25, count=16)
        ratios.append(work(symptoms, smallest_next(symptoms)) / work(symptoms, closing_order(symptoms)))
    assert min(ratios) >= 1.0 - 1e-12
    assert np.median(ratios) > 1.2


@pytest.mark.parametrize("seed", range(6))
def test_every_weak_point_is_visited_once_and_no_later_than_for_its_first_closing(seed: int) -> None:
    symptoms = tangle(seed, points=12, count=7, zones=True)
    showing = np.flatnonzero(symptoms.parents.any(axis=0)).tolist()
    order = visiting_order(symptoms)
    assert sorted(order) == showing
    closing = closing_order(symptoms)
    first: Bools = symptoms.parents[closing].argmax(axis=0)
    assert [first[i] for i in order] == sorted(first[i] for i in order)


def test_of_those_visited_for_the_same_closing_the_ones_that_open_nothing_come_first() -> None:
    """Weak points 0 and 1 for the first symptom, of which 0 opens the second one as well."""
    parents = np.array([[True, True, False], [True, False, True]])
    symptoms = Symptoms(parents, np.zeros((2, 2), dtype=bool), np.log2([2, 2]))
    assert closing_order(symptoms) == [0, 1]
    assert visiting_order(symptoms) == [1, 0, 2]
