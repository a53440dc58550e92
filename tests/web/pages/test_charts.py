"""Geometry of the fan."""

from __future__ import annotations

import re

import pytest

from riskapi.web.pages.charts import BOTTOM, HEIGHT, LEFT, RIGHT, TOP, WIDTH, fan


def rows(*highs: float) -> list[dict[str, float]]:
    return [
        {"year": float(place), "mean": high * 0.5, "p10": high * 0.1, "p50": high * 0.4, "p90": high}
        for place, high in enumerate(highs, 1)
    ]


@pytest.mark.parametrize("highs", [(0.0,), (1.0,), (900.0, 1800.0, 4350.0), tuple(float(n) for n in range(1, 16))])
def test_it_stays_in_the_drawing_and_begins_at_nothing(highs: tuple[float, ...]) -> None:
    drawn = fan(rows(*highs))
    numbers = [float(found) for found in re.findall(r"-?\d+(?:\.\d+)?", drawn.fan)]
    xs, ys = numbers[::2], numbers[1::2]
    assert all(LEFT <= x <= WIDTH - RIGHT for x in xs)
    assert all(TOP <= y <= HEIGHT - BOTTOM for y in ys)
    assert (xs[0], ys[0]) == (LEFT, HEIGHT - BOTTOM)
    assert xs[len(highs)] == WIDTH - RIGHT
    assert len(drawn.years) <= 15


def test_more_money_is_drawn_higher() -> None:
    drawn = fan(rows(500.0, 1500.0))
    assert drawn.means[1][1] < drawn.means[0][1]
    assert [label for _, label in drawn.levels] == ["0", "500", "1,000", "1,500", "2,000"]
