"""Weak points by chance and cost: both axes logarithmic, so that equal expected costs lie on a straight line.

Names are set beside their points where nothing is in the way, farther off with a lead line, or not at all.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from riskapi.report import format as fmt
from riskapi.report.charts import Point, text_width
from riskapi.report.edition_texts import tell
from riskapi.report.look import HUE, INK, QUIET, SHADE, TINT, WHITE
from riskapi.report.sections import Plane, PlanePoint
from riskapi.report.shapes import Box, Dot, Line, Picture, Shape, Word

HEIGHT = 226.0
LEAST_CHANCE = 0.004  # what is rarer lies on the left edge
LABEL = 7.6  # size of a name
LONGEST = 34  # characters of a name on the picture where the whole of it has no place
_CHANCES = (0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0)
_MEANS, _ALONG = tuple(10.0**k for k in range(6)), (0.04, 0.86, 0.12, 0.75, 0.25, 0.6, 0.4, 0.8, 0.5, 0.18, 0.33, 0.68)
_NEAR, _FAR = 6.0, (16.0, 30.0, 44.0)

Area = tuple[float, float, float, float]  # left, bottom, right, top


@dataclass(frozen=True, slots=True)
class Placed:
    """A name set at (x, y), its baseline; `led`: a line joins it with its point."""

    words: str
    x: float
    y: float
    led: bool

    @property
    def area(self) -> Area:
        """What it covers."""
        return self.x - 1, self.y - 2.4, self.x + text_width(self.words, LABEL) + 1, self.y + LABEL - 0.6


@dataclass(frozen=True, slots=True)
class _Frame:
    area: Area
    chances: tuple[float, float]
    costs: tuple[float, float]

    def x(self, chance: float) -> float:
        return self.area[0] + (self.area[2] - self.area[0]) * _along(chance, self.chances)

    def y(self, cost: float) -> float:
        return self.area[1] + (self.area[3] - self.area[1]) * _along(cost, self.costs)


def plane_picture(plane: Plane, width: float) -> Picture:
    """The picture, `width` points wide."""
    points = [point for point in plane.points if point.chance > 0.0 and point.cost > 0.0]
    frame = _frame(points, width)
    shapes: list[Shape] = [*_grid(plane, frame)]
    at = [(frame.x(point.chance), frame.y(point.cost)) for point in points]
    lines = [line for mean in _MEANS if (line := _equal_cost(plane, frame, mean, at)) is not None]
    shapes += [shape for line, label in lines for shape in (line, label)]
    shapes += [Dot(x, y, 2.0, SHADE, QUIET, 0.5) for x, y in at[plane.named :]]
    named = list(zip(points, at, strict=True))[: plane.named]
    labels = [_area(label) for _, label in lines]
    placed = place([(point.name, x, y) for point, (x, y) in named], at, frame.area, labels)
    shapes += [Dot(x, y, 3.2, HUE) for _, (x, y) in named]
    shown = [(label, x, y) for label, (_, (x, y)) in zip(placed, named, strict=True) if label is not None]
    shapes += [_lead(label, x, y) for label, x, y in shown if label.led]
    for label, _, _ in shown:
        shapes += _words(label)
    return Picture(width, HEIGHT, shapes)


def _frame(points: list[PlanePoint], width: float) -> _Frame:
    costs = [point.cost for point in points] or [100.0, 1000.0]
    low, high = min(costs) / 1.4, max(costs) * 1.4
    middle = math.sqrt(low * high)  # at least a factor of 20 between bottom and top
    ends = min(low, middle / 4.5), max(high, middle * 4.5)
    widest = max((text_width(fmt.number(amount), 8) for amount in _round_amounts(*ends)), default=0.0)
    return _Frame((max(46.0, widest + 6), 30, width - 8, HEIGHT - 14), (LEAST_CHANCE, 1.08), ends)


def _along(value: float, ends: tuple[float, float]) -> float:
    low, high = ends
    return math.log(min(high, max(low, value)) / low) / math.log(high / low)


def _grid(plane: Plane, frame: _Frame) -> Iterator[Shape]:
    left, bottom, right, top = frame.area
    for chance in _CHANCES:
        x = frame.x(chance)
        yield Line(x, bottom, x, top, TINT)
        yield Word(x, bottom - 10, fmt.number(chance * 100, 1 if chance < 0.01 else 0), 8, anchor="middle", ink=QUIET)
    for amount in _round_amounts(*frame.costs):
        y = frame.y(amount)
        yield Line(left, y, right, y, TINT)
        yield Word(left - 4, y - 2.6, fmt.number(amount), 8, anchor="end", ink=QUIET)
    yield Word(right, bottom - 22, plane.across, 8, anchor="end", ink=QUIET)
    yield Word(0, HEIGHT - 7, f"{plane.currency}: {plane.upward}", 8, ink=QUIET)


def _round_amounts(low: float, high: float) -> Iterator[float]:
    power = 10.0 ** math.floor(math.log10(low))
    while power <= high:
        yield from (factor * power for factor in (1.0, 2.0, 5.0) if low <= factor * power <= high)
        power *= 10.0


def _equal_cost(plane: Plane, frame: _Frame, mean: float, points: list[Point]) -> tuple[Line, Word] | None:
    """A line on which chance times cost is the same, with the amount where it is in nobody's way; None where short."""
    low, high = max(frame.chances[0], mean / frame.costs[1]), min(1.0, mean / frame.costs[0])
    if low >= high:
        return None
    x1, y1, x2, y2 = frame.x(low), frame.y(mean / low), frame.x(high), frame.y(mean / high)
    if x2 - x1 < 60:
        return None
    words = tell("plane_equal", amount=fmt.money_exact(mean, plane.currency))
    dots = [(x - 3, y - 3, x + 3, y + 3) for x, y in points]
    around = [Word(x1 + (x2 - x1) * k, y1 + (y2 - y1) * k + 3, words, 6.8, ink=QUIET) for k in _ALONG]
    clear = [label for label in around if _free(_area(label), dots, frame.area)]
    return Line(x1, y1, x2, y2, QUIET, 0.5, dashed=True), (clear or around)[0]


def _area(label: Word) -> Area:
    return label.x - 1, label.y - 2, label.x + text_width(label.text, label.size) + 1, label.y + label.size - 1


# ---- names that do not meet ------------------------------------------------------------------------------------


def place(
    named: list[tuple[str, float, float]], points: list[Point], area: Area, others: Sequence[Area] = ()
) -> list[Placed | None]:
    """A place for every name, first come first served: off all points, names and `others`, within the area; None where
    there is none."""
    taken: list[Area] = [*others, *((x - 3, y - 3, x + 3, y + 3) for x, y in points)]
    found: list[Placed | None] = []
    for name, x, y in named:
        label = next((p for words in _lengths(name) for p in _around(words, x, y) if _free(p.area, taken, area)), None)
        if label is not None:
            taken.append(label.area)
        found.append(label)
    return found


def _lengths(name: str) -> tuple[str, ...]:
    """The name, and the beginning of a long one."""
    return (name,) if len(name) <= LONGEST else (name, name[: LONGEST - 1].rstrip() + "\u2026")


def _around(words: str, x: float, y: float) -> Iterator[Placed]:
    wide = text_width(words, LABEL)
    yield Placed(words, x + _NEAR, y - 2.6, led=False)
    yield Placed(words, x - _NEAR - wide, y - 2.6, led=False)
    yield Placed(words, x - wide / 2, y + 6, led=False)
    yield Placed(words, x - wide / 2, y - 11.5, led=False)
    for far in _FAR:
        for up in (far, -far, far / 2, -far / 2):
            yield Placed(words, x + far * 0.7, y + up - 2.6, led=True)
            yield Placed(words, x - far * 0.7 - wide, y + up - 2.6, led=True)


def _free(label: Area, taken: list[Area], area: Area) -> bool:
    inside = area[0] <= label[0] and area[1] <= label[1] and label[2] <= area[2] and label[3] <= area[3]
    return inside and not any(meet(label, other) for other in taken)


def meet(a: Area, b: Area) -> bool:
    """Whether two areas share a point."""
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _words(label: Placed) -> list[Shape]:
    """The name on a white ground, so that no line runs through it."""
    left, bottom, right, top = label.area
    return [Box(left, bottom, right - left, top - bottom, WHITE), Word(label.x, label.y, label.words, LABEL, ink=INK)]


def _lead(label: Placed, x: float, y: float) -> Line:
    end = label.x - 1 if label.x > x else label.area[2]
    return Line(x, y, end, label.y + 2.4, QUIET, 0.5)
