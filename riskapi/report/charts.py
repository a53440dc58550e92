"""Drawings of the report: chance bars and the cost by year, in one hue, with their words beside them."""

from __future__ import annotations

import math
from typing import Literal

from reportlab.graphics.shapes import Circle, Drawing, Line, Rect, String
from reportlab.lib.colors import Color
from reportlab.pdfbase.pdfmetrics import stringWidth

from riskapi.domain.assessment import YearCost
from riskapi.report import format as fmt
from riskapi.report.look import BOLD, HUE, INK, QUIET, REGULAR, RULE, SHADE, TINT, printable, register_fonts
from riskapi.report.sections import Chance, YearChart
from riskapi.report.texts import say

Anchor = Literal["start", "middle", "end"]

_SMALL = 7.5
YEAR_CHART_HEIGHT = 180.0


def chance_cell(chance: Chance, width: float) -> Drawing:
    """A short bar with its words to the right, for a table cell `width` points wide."""
    register_fonts()
    words = printable(chance.words)
    label = max(stringWidth(words, REGULAR, 8.6), stringWidth("under 1 %", REGULAR, 8.6))
    length = max(12.0, width - label - 6)
    drawing = Drawing(width, 10)
    _bar(drawing, 0, 1.5, length, 7, chance.share)
    drawing.add(_text(length + 6, 2, words, 8.6))
    return drawing


def chance_bar(caption: str, chance: Chance, width: float) -> Drawing:
    """A bar from 0 to 100 of 100 cars with a caption; a bracket shows what parameter doubt allows."""
    register_fonts()
    drawing = Drawing(width, 44)
    drawing.add(_text(0, 35, printable(caption), 8.2, ink=QUIET))
    drawing.add(_text(width, 35, printable(chance.words), 8.2, BOLD, "end"))
    _bar(drawing, 0, 20, width, 10, chance.share)
    for tick in (0, 25, 50, 75, 100):
        x = width * tick / 100
        anchor: Anchor = "start" if tick == 0 else "end" if tick == 100 else "middle"
        drawing.add(_line(x, 17.5, x, 20))
        drawing.add(_text(x, 1, fmt.number(tick), _SMALL, anchor=anchor, ink=QUIET))
    if chance.low is not None and chance.high is not None:
        _bracket(drawing, width * _held(chance.low), width * _held(chance.high), 14)
    return drawing


def year_chart(chart: YearChart, width: float, height: float = YEAR_CHART_HEIGHT) -> Drawing:
    """Columns from the 10th to the 90th of 100 cars, a line at the middle car, a dot at the average."""
    register_fonts()
    drawing = Drawing(width, height)
    left, bottom, top = 52.0, 20.0, height - 26.0
    ceiling, step = _scale(max((max(point.p90, point.mean) for point in chart.points), default=0.0))
    _legend(drawing, width, height - 9)
    _value_axis(drawing, chart.currency, (left, width, bottom, top), ceiling, step)
    slot = (width - left) / max(1, len(chart.points))
    every, few = math.ceil(len(chart.points) / 16), len(chart.points) <= 7
    for place, point in enumerate(chart.points):
        middle = left + slot * (place + 0.5)
        _year_column(drawing, point, middle, min(46.0, slot * 0.5), bottom, (top - bottom) / ceiling)
        if place % every == 0:
            label = say("years_axis", year=fmt.years(point.year)) if few else fmt.times(point.year)
            drawing.add(_text(middle, 6, label, 8, anchor="middle"))
    if not few:
        drawing.add(_text(left - 9, 6, say("years_axis_many"), 8, anchor="end", ink=QUIET))
    return drawing


# ---- parts -----------------------------------------------------------------------------------------------------


def _held(share: float) -> float:
    return min(1.0, max(0.0, share))


def _text(
    x: float, y: float, text: str, size: float, font: str = REGULAR, anchor: Anchor = "start", ink: Color = INK
) -> String:
    return String(x, y, text, fontName=font, fontSize=size, textAnchor=anchor, fillColor=ink)


def _block(x: float, y: float, width: float, height: float, ink: Color) -> Rect:
    block = Rect(x, y, width, height)
    block.fillColor, block.strokeColor = ink, None
    return block


def _line(x1: float, y1: float, x2: float, y2: float, ink: Color = RULE, width: float = 0.6) -> Line:
    return Line(x1, y1, x2, y2, strokeColor=ink, strokeWidth=width)


def _bar(drawing: Drawing, x: float, y: float, length: float, height: float, share: float) -> None:
    drawing.add(_block(x, y, length, height, TINT))
    filled = length * _held(share)
    if filled > 0.0:
        drawing.add(_block(x, y, max(0.8, filled), height, HUE))


def _bracket(drawing: Drawing, low: float, high: float, y: float) -> None:
    drawing.add(_line(low, y, high, y, INK, 1.2))
    for x in (low, high):
        drawing.add(_line(x, y - 2.5, x, y + 2.5, INK, 1.2))


def _scale(largest: float) -> tuple[float, float]:
    """A round upper end above `largest` and the step of its lines; something sensible for nothing at all."""
    if largest <= 0.0:
        return 100.0, 25.0
    raw = largest * 1.06 / 5
    power = 10.0 ** math.floor(math.log10(raw))
    step = next(factor * power for factor in (1.0, 2.0, 2.5, 5.0, 10.0) if factor * power >= raw)
    return step * math.ceil(largest * 1.06 / step), step


def _value_axis(
    drawing: Drawing, currency: str, box: tuple[float, float, float, float], ceiling: float, step: float
) -> None:
    left, right, bottom, top = box
    digits = 0 if step >= 1.0 else 2
    for count in range(round(ceiling / step) + 1):
        y = bottom + (top - bottom) * count * step / ceiling
        drawing.add(_line(left - 6, y, right, y))
        drawing.add(_text(left - 9, y - 2.6, fmt.number(count * step, digits), 8, anchor="end", ink=QUIET))
    drawing.add(_text(0, top + 17, printable(currency), 8, ink=QUIET))


def _year_column(
    drawing: Drawing, point: YearCost, middle: float, width: float, bottom: float, per_unit: float
) -> None:
    def height(amount: float) -> float:
        return bottom + max(0.0, amount) * per_unit

    low, high = height(point.p10), height(point.p90)
    drawing.add(_block(middle - width / 2, low, width, max(0.8, high - low), SHADE))
    half = height(point.p50)
    drawing.add(_line(middle - width / 2, half, middle + width / 2, half, HUE, 2.2))
    mean = height(point.mean)
    drawing.add(Circle(middle, mean, 3.2, fillColor=HUE, strokeColor=None))
    if width >= 20:
        label = fmt.number(fmt.rough(point.mean))
        drawing.add(_text(middle + width / 2 + 3, mean - 2.8, label, 8, BOLD))


def _legend(drawing: Drawing, width: float, y: float) -> None:
    x = width
    for key in ("legend_mean", "legend_middle", "legend_column"):
        words = say(key)
        x -= stringWidth(words, REGULAR, 8)
        drawing.add(_text(x, y, words, 8, ink=QUIET))
        x -= 16
        _legend_sign(drawing, key, x, y)
        x -= 14


def _legend_sign(drawing: Drawing, key: str, x: float, y: float) -> None:
    if key == "legend_mean":
        drawing.add(Circle(x + 6, y + 2.8, 3.2, fillColor=HUE, strokeColor=None))
    elif key == "legend_middle":
        drawing.add(_line(x, y + 2.8, x + 12, y + 2.8, HUE, 2.2))
    else:
        drawing.add(_block(x, y - 0.5, 12, 7, SHADE))
