"""The plane of chance and cost: names that do not meet, and points where they belong."""

from __future__ import annotations

import math
import random
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riskapi.report.chart_plane import meet, place, plane_picture
from riskapi.report.look import HUE, SHADE
from riskapi.report.sections import Plane, PlanePoint
from riskapi.report.shapes import Dot
from tests.report.pictures import outside

AREA = (46.0, 30.0, 490.0, 210.0)


def plane(points: tuple[PlanePoint, ...], named: int = 12) -> Plane:
    return Plane(points, named, "EUR", "fails in so many of 100 cars", "what it costs")


def crowd(count: int, seed: int) -> tuple[PlanePoint, ...]:
    """Points in a heap, with names of all lengths."""
    chance = random.Random(seed)
    return tuple(
        PlanePoint(
            "word " * chance.randint(1, 12) + str(n), 10 ** chance.uniform(-3, 0), 10 ** chance.uniform(1.5, 3.8)
        )
        for n in range(count)
    )


@pytest.mark.parametrize("seed", range(8))
def test_names_meet_neither_each_other_nor_a_point_nor_the_edge(seed: int) -> None:
    chance = random.Random(seed)
    points = [(chance.uniform(50, 480), chance.uniform(35, 200)) for _ in range(40)]
    placed = [p for p in place([("Chain tensioner loses its hold", *at) for at in points[:14]], points, AREA) if p]
    assert len(placed) >= 5
    for k, label in enumerate(placed):
        left, bottom, right, top = label.area
        assert AREA[0] <= left
        assert right <= AREA[2]
        assert AREA[1] <= bottom
        assert top <= AREA[3]
        assert not any(meet(label.area, other.area) for other in placed[k + 1 :])
        assert not any(left < x < right and bottom < y < top for x, y in points)


@pytest.mark.parametrize("seed", range(4))
def test_a_crowd_stays_within_the_picture(seed: int) -> None:
    assert outside(plane_picture(plane(crowd(60, seed)), 499.0)) == []


def test_twice_as_likely_and_half_as_dear_lies_on_the_same_line_of_expected_cost() -> None:
    points = (PlanePoint("a", 0.1, 1000.0), PlanePoint("b", 0.2, 500.0), PlanePoint("c", 0.4, 250.0))
    dots = [shape for shape in plane_picture(plane(points), 499.0).contents if isinstance(shape, Dot)]
    slopes = [(b.y - a.y) / (b.x - a.x) for a, b in pairwise(dots)]
    assert slopes[0] == pytest.approx(slopes[1])
    assert slopes[0] < 0


def test_only_the_costliest_have_names_and_no_point_is_left_out() -> None:
    picture = plane_picture(plane(crowd(30, 1), named=5), 499.0)
    dots = [shape for shape in picture.contents if isinstance(shape, Dot)]
    assert [sum(dot.fill == ink for dot in dots) for ink in (HUE, SHADE)] == [5, 25]


@given(st.lists(st.tuples(st.floats(0.0, 1.0), st.floats(0.0, 1e9)), max_size=8))
def test_any_figures_make_a_picture(figures: list[tuple[float, float]]) -> None:
    picture = plane_picture(plane(tuple(PlanePoint("Pump", *figure) for figure in figures)), 499.0)
    assert all(math.isfinite(shape.x) for shape in picture.contents if isinstance(shape, Dot))
    assert outside(picture) == []
