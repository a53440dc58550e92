"""A look at symptoms on one day as a sum of products, against plain enumeration of levels."""

from __future__ import annotations

from itertools import product
from math import prod

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from riskapi.domain.past_levels import PastSymptom, Term, TooMany, ways

POINTS = ("a", "b", "c")
Random = np.random.Generator


def cdf(random: Random, levels: int) -> np.ndarray:
    return np.append(np.sort(random.uniform(0.05, 0.95, levels - 1)), 1.0)


def table(random: Random, rows: int, levels: int) -> np.ndarray:
    """The first row is 'nothing'; the others fall with the state."""
    shown = np.array([cdf(random, levels) for _ in range(rows - 1)])
    return np.concatenate([np.ones((1, levels)), np.sort(shown, axis=0)[::-1]])


def symptom(random: Random, levels: int, parents: tuple[str, ...], above: dict[str, int], seen: object) -> PastSymptom:
    return PastSymptom(
        background=cdf(random, levels),
        parents={name: table(random, 3, levels) for name in parents},
        above={name: table(random, count, levels) for name, count in above.items()},
        seen=np.ones(levels) if seen is None else np.asarray(seen, dtype=float),
    )


def enumerated(symptoms: dict[str, PastSymptom], states: dict[str, int]) -> float:
    """P(everything read | states), summed over all levels of all symptoms."""
    names, total = list(symptoms), 0.0
    for levels in product(*(range(symptoms[name].seen.size) for name in names)):
        at, chance = dict(zip(names, levels, strict=True)), 1.0
        for name, level in at.items():
            s = symptoms[name]
            below = s.background.copy()
            for point, rows in s.parents.items():
                below = below * rows[states[point]]
            for zone, rows in s.above.items():
                below = below * rows[at[zone]]
            chance *= s.seen[level] * (below[level] - (below[level - 1] if level else 0.0))
        total += chance
    return total


def summed(terms: tuple[Term, ...], states: dict[str, int]) -> float:
    def factor(name: str, row: object) -> float:
        return prod(
            float(high[states[name]] - (0.0 if low is None else low[states[name]]))
            for high, low in row  # type: ignore[attr-defined]
        )

    return sum(term.weight * prod(factor(name, row) for name, row in term.factors) for term in terms)


def agree(symptoms: dict[str, PastSymptom]) -> tuple[Term, ...]:
    terms = ways(symptoms)
    assert all(term.weight > 0.0 for term in terms)
    for values in product(range(3), repeat=len(POINTS)):
        states = dict(zip(POINTS, values, strict=True))
        assert summed(terms, states) == pytest.approx(enumerated(symptoms, states), rel=1e-12, abs=1e-300)
    return terms


@given(
    seed=st.integers(0, 10_000),
    seen=st.lists(st.sampled_from([0.0, 0.1, 0.5, 1.0]), min_size=2, max_size=4).filter(any),
    parents=st.integers(0, 3),
)
def test_a_symptom_with_any_reading(seed: int, seen: list[float], parents: int) -> None:
    agree({"s": symptom(np.random.default_rng(seed), len(seen), POINTS[:parents], {}, seen)})


@pytest.mark.parametrize(
    ("seen", "count"),
    [
        ((1.0, 0.0, 0.0), 1),  # nothing, read perfectly
        ((0.95, 0.1, 0.0), 2),  # nothing, not read perfectly: falls with the level
        ((0.0, 1.0, 0.0), 4),  # background or one of three is the first
        ((0.0, 1.0, 1.0), 4),  # two levels with one likelihood are one class
        ((0.0, 0.2, 0.7), 8),
        ((1.0, 1.0, 1.0), 1),
    ],
)
def test_as_few_ways_as_can_be(seen: tuple[float, ...], count: int) -> None:
    assert len(agree({"s": symptom(np.random.default_rng(1), 3, POINTS, {}, seen)})) == count


def test_a_look_that_says_nothing_is_certain() -> None:
    (term,) = ways({"s": symptom(np.random.default_rng(1), 3, POINTS, {}, (1.0, 1.0, 1.0))})
    assert (term.weight, term.factors) == (1.0, ())


@pytest.mark.parametrize("seen", [(1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.2, 0.1, 0.7)])
@pytest.mark.parametrize("higher", [None, (1.0, 0.0, 0.0), (0.0, 0.3, 1.0)])
def test_zones_not_looked_at_are_summed_out(seen: tuple[float, ...], higher: tuple[float, ...] | None) -> None:
    random = np.random.default_rng(7)
    agree(
        {
            "top": symptom(random, 3, ("a", "b"), {}, None),
            "middle": symptom(random, 3, ("b",), {"top": 3}, higher),
            "low": symptom(random, 3, ("c",), {"middle": 3}, seen),
        }
    )


@pytest.mark.parametrize("seen", [(1.0, 0.0), (0.0, 1.0)])
def test_two_zones_with_one_above_both(seen: tuple[float, ...]) -> None:
    """What ran down on two ways from one zone hangs together: its level is fixed case by case."""
    random = np.random.default_rng(3)
    agree(
        {
            "top": symptom(random, 3, ("a",), {}, None),
            "left": symptom(random, 2, ("b",), {"top": 3}, None),
            "right": symptom(random, 2, (), {"top": 3}, (0.0, 1.0)),
            "low": symptom(random, 2, ("c",), {"left": 2, "right": 2}, seen),
        }
    )


def test_two_lowest_zones_with_one_above_both() -> None:
    random = np.random.default_rng(5)
    agree(
        {
            "top": symptom(random, 3, ("a", "c"), {}, (0.3, 0.3, 1.0)),
            "left": symptom(random, 3, ("b",), {"top": 3}, (0.0, 0.5, 1.0)),
            "right": symptom(random, 2, ("c",), {"top": 3}, (1.0, 0.0)),
        }
    )


def test_what_has_too_many_terms_is_given_up() -> None:
    random = np.random.default_rng(2)
    chain = {"z0": symptom(random, 4, POINTS, {}, None)}
    for k in range(1, 6):
        seen = (0.0, 0.0, 1.0, 0.3) if k == 5 else None
        chain[f"z{k}"] = symptom(random, 4, POINTS, {f"z{k - 1}": 4}, seen)
    with pytest.raises(TooMany):
        ways(chain)
