"""Geometry of the drawings on the pages; the template draws it, a table beside it says the same."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from riskapi.report import format as fmt

WIDTH, HEIGHT, LEFT, RIGHT, TOP, BOTTOM = 400.0, 220.0, 54.0, 12.0, 10.0, 26.0
_LINES = 4


@dataclass(frozen=True, slots=True)
class Fan:
    """Paths and labels in the units of the drawing."""

    fan: str
    middle: str
    means: tuple[tuple[float, float], ...]
    levels: tuple[tuple[float, str], ...]  # y and label of each grid line
    years: tuple[tuple[float, str], ...]  # x and label of each year


def fan(by_year: Sequence[dict[str, Any]]) -> Fan:
    """The fan of cost by year: from nothing today, the 10th to the 90th of 100 cars, the middle car, the averages."""
    rows = [{"year": 0.0, "mean": 0.0, "p10": 0.0, "p50": 0.0, "p90": 0.0}, *by_year]
    step = _step(max(max(row["p90"], row["mean"]) for row in rows))
    top = step * _LINES
    last = float(rows[-1]["year"])

    def x(year: float) -> float:
        return round(LEFT + (WIDTH - LEFT - RIGHT) * year / last, 1)

    def y(amount: float) -> float:
        return round(HEIGHT - BOTTOM - (HEIGHT - TOP - BOTTOM) * amount / top, 1)

    upper = [(x(row["year"]), y(row["p90"])) for row in rows]
    lower = [(x(row["year"]), y(row["p10"])) for row in reversed(rows)]
    every = math.ceil(len(by_year) / 10)
    return Fan(
        fan=_path([*upper, *lower]) + "Z",
        middle=_path([(x(row["year"]), y(row["p50"])) for row in rows]),
        means=tuple((x(row["year"]), y(row["mean"])) for row in by_year),
        levels=tuple((y(step * count), fmt.number(step * count)) for count in range(_LINES + 1)),
        years=tuple((x(row["year"]), fmt.times(row["year"])) for row in by_year[every - 1 :: every]),
    )


def _step(highest: float) -> float:
    """A round step so that four of them reach the highest amount."""
    if highest <= 0.0:
        return 25.0
    power: float = 10.0 ** math.floor(math.log10(highest / _LINES))
    return next(factor * power for factor in (1.0, 2.0, 2.5, 5.0, 10.0) if factor * power * _LINES >= highest)


def _path(points: Sequence[tuple[float, float]]) -> str:
    return "M" + "L".join(f"{px:g} {py:g}" for px, py in points)
