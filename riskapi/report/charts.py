"""Bars of chances and the cost by year, in one hue, with their words beside them."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

from reportlab.lib.colors import Color

from riskapi.domain.assessment import YearCost
from riskapi.report import format as fmt
from riskapi.report.edition_texts import tell
from riskapi.report.look import BOLD, HUE, INK, MIST, QUIET, REGULAR, SHADE, TINT, printable, register_fonts
from riskapi.report.sections import Chance, Shares, YearChart
from riskapi.report.shapes import Anchor, Box, Dot, Line, Outline, Picture, Shape, Word
from riskapi.report.texts import say
from riskapi.report.typeset import width_of

Point = tuple[float, float]

_SMALL = 7.5
YEAR_CHART_HEIGHT = 142.0
_TONES = (MIST, SHADE, HUE)


def text_width(text: str, size: float, font: str = REGULAR) -> float:
    """Width of a text as it is printed [points]."""
    register_fonts()
    return width_of(font, printable(text)) * size


def chance_cell(chance: Chance, width: float) -> Picture:
    """A short bar with its words to the right, for a table cell `width` points wide."""
    label = max(text_width(words, 8.2) for words in (chance.words, fmt.percent(0.004)))
    length = max(12.0, width - label - 5)
    return Picture(width, 9.5, [*bar(0, 1.8, length, 6, chance.share), Word(length + 5, 1.9, chance.words, 8.2)])


def chance_bar(caption: str, chance: Chance, width: float) -> Picture:
    """A bar from 0 to 100 of 100 cars with a caption; a bracket shows what parameter doubt allows."""
    register_fonts()
    shapes: list[Shape] = [
        Word(0, 33, caption, 8, ink=QUIET),
        Word(width, 33, chance.words, 8.2, BOLD, "end"),
        *bar(0, 19, width, 9.5, chance.share),
    ]
    for tick in (0, 25, 50, 75, 100):
        x = width * tick / 100
        anchor: Anchor = "start" if tick == 0 else "end" if tick == 100 else "middle"
        shapes += [Line(x, 16.5, x, 19), Word(x, 0.5, fmt.number(tick), _SMALL, anchor=anchor, ink=QUIET)]
    if chance.low is not None and chance.high is not None:
        shapes += _bracket(width * held(chance.low), width * held(chance.high), 13)
    return Picture(width, 42, shapes)


def shares_bar(shares: Shares, width: float) -> Picture:
    """One bar cut into shares of a hundred cars, from nothing to much, with the words of each below."""
    register_fonts()
    placed = _label_places([text_width(part.words, 8) + 27 for part in shares.parts], width)
    below = 13.0 * (1 + max((row for _, row in placed), default=0)) + 4
    shapes: list[Shape] = []
    start = 0.0
    for place, (part, (x, row)) in enumerate(zip(shares.parts, placed, strict=True)):
        tone, y = _TONES[place % len(_TONES)], below - 13.0 * (row + 1)
        shapes.append(Box(start, below, width * held(part.share), 11, tone))
        start += width * held(part.share)
        shapes += [Box(x, y - 0.4, 7, 7, tone), Word(x + 11, y, part.words, 8)]
    return Picture(width, below + 13, shapes)


def _label_places(lengths: list[float], width: float) -> list[tuple[float, int]]:
    """Where each label starts and in which row, left to right, on to the next row where one is full."""
    places, x, row = [], 0.0, 0
    for length in lengths:
        if x > 0.0 and x + length - 16 > width:
            x, row = 0.0, row + 1
        places.append((x, row))
        x += length
    return places


# ---- cost by year ----------------------------------------------------------------------------------------------


def year_chart(chart: YearChart, width: float, height: float = YEAR_CHART_HEIGHT) -> Picture:
    """A fan from the 10th to the 90th of 100 cars, a line at the middle car, a dot at the average of each year."""
    register_fonts()
    ceiling, step = scale(max((max(point.p90, point.mean) for point in chart.points), default=0.0))
    left = max(50.0, 10 + text_width(fmt.number(ceiling, 0 if step >= 1.0 else 2), 8))
    right, bottom, top = 46.0, 20.0, height - 24.0
    end = max((point.year for point in chart.points), default=0.0) or 1.0

    def at(point: YearCost, amount: float) -> Point:
        x = left + 8 + (width - left - right - 8) * point.year / end
        return x, bottom + (top - bottom) * max(0.0, amount) / ceiling

    shapes: list[Shape] = [*_legend(width, height - 8)]
    shapes += _value_axis(chart.currency, (left, width - right + 6, bottom, top), ceiling, step)
    shapes.append(Outline(_fan(chart.points, at), SHADE))
    middle = [at(point, point.p50) for point in chart.points]
    shapes += [Line(*a, *b, HUE, 2.0) for a, b in pairwise(middle)]
    every = math.ceil(len(chart.points) / 12)
    for place, point in enumerate(chart.points):
        x, y = at(point, point.mean)
        shapes.append(Dot(x, y, 3.0, HUE))
        if place % every == 0:
            shapes.append(Word(x, 6, _year_words(point, len(chart.points)), 8, anchor="middle"))
        if len(chart.points) <= 7:
            shapes.append(_mean_word(point, x, y, width))
    if len(chart.points) > 7:
        shapes.append(Word(left - 9, 6, say("years_axis_many"), 8, anchor="end", ink=QUIET))
    return Picture(width, height, shapes)


def _mean_word(point: YearCost, x: float, y: float, width: float) -> Word:
    """The average beside its dot, on the side where there is room."""
    words = fmt.number(fmt.rough(point.mean))
    if x + 5 + text_width(words, 8, BOLD) <= width:
        return Word(x + 5, y + 3, words, 8, BOLD)
    return Word(x - 5, y + 4, words, 8, BOLD, "end")


def _year_words(point: YearCost, count: int) -> str:
    if point.year == 0.0:
        return tell("years_axis_today")
    return say("years_axis", year=fmt.years(point.year)) if count <= 7 else fmt.times(point.year)


def _fan(points: tuple[YearCost, ...], at: Callable[[YearCost, float], Point]) -> tuple[Point, ...]:
    """Up along the 90th of 100 cars and back along the 10th; a single year gets some width."""
    low, high = [at(p, p.p10) for p in points], [at(p, p.p90) for p in points]
    if len(points) == 1:
        low, high = [(x + d, y) for (x, y) in low for d in (-8, 8)], [(x + d, y) for (x, y) in high for d in (-8, 8)]
    return (*high, *reversed(low))


def _value_axis(currency: str, box: tuple[float, float, float, float], ceiling: float, step: float) -> list[Shape]:
    left, right, bottom, top = box
    digits = 0 if step >= 1.0 else 2
    shapes: list[Shape] = []
    for count in range(round(ceiling / step) + 1):
        y = bottom + (top - bottom) * count * step / ceiling
        shapes.append(Line(left - 6, y, right, y, TINT))
        shapes.append(Word(left - 9, y - 2.6, fmt.number(count * step, digits), 8, anchor="end", ink=QUIET))
    shapes.append(Word(0, top + 15, currency, 8, ink=QUIET))
    return shapes


def _legend(width: float, y: float) -> list[Shape]:
    shapes: list[Shape] = []
    x = width
    for key in ("legend_mean", "legend_middle", "legend_column"):
        words = say(key)
        x -= text_width(words, 8)
        shapes.append(Word(x, y, words, 8, ink=QUIET))
        x -= 16
        shapes.append(_legend_sign(key, x, y))
        x -= 14
    return shapes


def _legend_sign(key: str, x: float, y: float) -> Shape:
    if key == "legend_mean":
        return Dot(x + 6, y + 2.8, 3.0, HUE)
    return Line(x, y + 2.8, x + 12, y + 2.8, HUE, 2.0) if key == "legend_middle" else Box(x, y - 0.5, 12, 7, SHADE)


# ---- parts that other pictures use too -------------------------------------------------------------------------


def held(share: float) -> float:
    """Within 0..1."""
    return min(1.0, max(0.0, share))


def bar(x: float, y: float, length: float, height: float, share: float, ink: Color = HUE) -> list[Shape]:
    """A bar filled up to its share; what is not nothing is seen."""
    filled = length * held(share)
    shapes: list[Shape] = [Box(x, y, length, height, TINT)]
    return [*shapes, Box(x, y, max(0.8, filled), height, ink)] if filled > 0.0 else shapes


def _bracket(low: float, high: float, y: float) -> list[Shape]:
    ends = [Line(x, y - 2.5, x, y + 2.5, INK, 1.2) for x in (low, high)]
    return [Line(low, y, high, y, INK, 1.2), *ends]


def scale(largest: float, steps: int = 5) -> tuple[float, float]:
    """A round upper end above `largest` and the step of its lines; something sensible for nothing at all."""
    if largest <= 0.0:
        return 100.0, 25.0
    raw = largest * 1.06 / steps
    power = 10.0 ** math.floor(math.log10(raw))
    step = next(factor * power for factor in (1.0, 2.0, 2.5, 5.0, 10.0) if factor * power >= raw)
    return step * math.ceil(largest * 1.06 / step), step
