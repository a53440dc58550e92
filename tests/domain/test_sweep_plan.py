"""In which order the sweep goes, and what it refuses."""

from __future__ import annotations

import numpy as np
import pytest

from riskapi.domain.sweep_plan import LIMIT, OpenSymptom, Plan, make_plan
from riskapi.errors import TooComplex

BOTH = np.array([[1.0, 1.0], [0.5, 1.0], [0.2, 1.0]])


def symptom(name: str, *parents: int, higher: tuple[int, ...] = (), classes: int = 2) -> OpenSymptom:
    table = np.ones((3, classes))
    return OpenSymptom(
        name, np.linspace(0.5, 1.0, classes), dict.fromkeys(parents, table), dict.fromkeys(higher, table)
    )


def steps(plan: Plan) -> list[list[tuple[str, int]]]:
    return [[(step.kind, step.index) for step in component] for component in plan.components]


def test_what_touches_no_open_symptom_is_lone() -> None:
    plan = make_plan(4, [symptom("a", 1, 2)])
    assert plan.lone == (0, 3)
    assert steps(plan) == [[("part", 1), ("part", 2), ("close", 0)]]


def test_symptoms_without_a_common_parent_are_components_of_their_own() -> None:
    plan = make_plan(4, [symptom("a", 0, 1), symptom("b", 2, 3)])
    assert len(plan.components) == 2
    assert plan.largest == 2


def test_a_chain_of_symptoms_keeps_few_open() -> None:
    """Weak point i shows in symptoms i and i + 1: two open at a time are enough for any length."""
    plan = make_plan(12, [symptom(f"s{k}", *(i for i in (k - 1, k) if 0 <= i < 12)) for k in range(13)])
    assert plan.largest == 4
    visited = [index for kind, index in steps(plan)[0] if kind == "part"]
    assert sorted(visited) == list(range(12))


def test_a_symptom_closes_after_its_last_parent_and_the_zones_above_it() -> None:
    plan = make_plan(2, [symptom("low", 1, higher=(1,)), symptom("top", 0)])
    order = steps(plan)[0]
    assert order.index(("close", 1)) > order.index(("part", 0))
    assert order.index(("close", 0)) > max(order.index(("close", 1)), order.index(("part", 1)))


def test_a_symptom_without_parents_is_closed_all_the_same() -> None:
    assert steps(make_plan(1, [symptom("alone")])) == [[("close", 0)]]


def test_the_axes_of_a_step_are_those_of_its_array() -> None:
    plan = make_plan(3, [symptom("a", 0, 1), symptom("b", 1, 2)])
    open_now: list[int] = []
    for step in plan.components[0]:
        open_now += step.opened
        assert sorted(step.axes) == sorted(open_now)
        if step.kind == "close":
            open_now.remove(step.index)
    assert open_now == []


def test_too_close_a_knot_is_refused_by_name() -> None:
    """Every weak point shows in every symptom: nothing can be closed before the last is visited."""
    count = LIMIT.bit_length()
    knot = [symptom(f"s{k}", *range(3)) for k in range(count)]
    with pytest.raises(TooComplex) as caught:
        make_plan(3, knot)
    assert caught.value.causes == tuple(f"s{k}" for k in range(count))
