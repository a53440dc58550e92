"""The few shapes that pictures of the report are made of, drawn straight onto the page.

Lengths in points, origin at the lower left of the picture. A picture is a list of frozen shapes that tests can read.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from reportlab.lib.colors import Color
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from riskapi.report.look import INK, REGULAR, RULE, printable
from riskapi.report.tagging import marked

Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle; without `fill` only its outline, without `stroke` only its area."""

    x: float
    y: float
    width: float
    height: float
    fill: Color | None = None
    stroke: Color | None = None
    line: float = 0.8
    corner: float = 0.0

    def paint(self, canvas: Canvas) -> None:
        """Draw it."""
        _pens(canvas, self.fill, self.stroke, self.line)
        filled, stroked = int(self.fill is not None), int(self.stroke is not None)
        if self.corner:
            canvas.roundRect(self.x, self.y, self.width, self.height, self.corner, stroked, filled)
        else:
            canvas.rect(self.x, self.y, self.width, self.height, stroked, filled)


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line."""

    x1: float
    y1: float
    x2: float
    y2: float
    ink: Color = RULE
    width: float = 0.6
    dashed: bool = False

    def paint(self, canvas: Canvas) -> None:
        """Draw it."""
        _pens(canvas, None, self.ink, self.width)
        if self.dashed:
            canvas.setDash(2.2, 2.2)
        canvas.line(self.x1, self.y1, self.x2, self.y2)
        if self.dashed:
            canvas.setDash()


@dataclass(frozen=True, slots=True)
class Dot:
    """A disc or a ring."""

    x: float
    y: float
    radius: float
    fill: Color | None = None
    stroke: Color | None = None
    line: float = 1.0
    dashed: bool = False

    def paint(self, canvas: Canvas) -> None:
        """Draw it."""
        _pens(canvas, self.fill, self.stroke, self.line)
        if self.dashed:
            canvas.setDash(1.6, 1.6)
        canvas.circle(self.x, self.y, self.radius, int(self.stroke is not None), int(self.fill is not None))
        if self.dashed:
            canvas.setDash()


@dataclass(frozen=True, slots=True)
class Outline:
    """A closed shape through these corners."""

    corners: tuple[tuple[float, float], ...]
    fill: Color | None = None
    stroke: Color | None = None
    line: float = 0.8

    def paint(self, canvas: Canvas) -> None:
        """Draw it."""
        _pens(canvas, self.fill, self.stroke, self.line)
        path = canvas.beginPath()
        path.moveTo(*self.corners[0])
        for corner in self.corners[1:]:
            path.lineTo(*corner)
        path.close()
        canvas.drawPath(path, int(self.stroke is not None), int(self.fill is not None))


@dataclass(frozen=True, slots=True)
class Word:
    """Text on one line, from, around or up to x."""

    x: float
    y: float
    text: str
    size: float = 8.0
    font: str = REGULAR
    anchor: Anchor = "start"
    ink: Color = INK

    def paint(self, canvas: Canvas) -> None:
        """Draw it."""
        canvas.setFont(self.font, self.size)
        canvas.setFillColor(self.ink)
        draw = {"start": canvas.drawString, "middle": canvas.drawCentredString, "end": canvas.drawRightString}
        apart = " " if self.anchor == "start" else ""  # from the next word, for whoever does not see where it stands
        draw[self.anchor](self.x, self.y, printable(self.text) + apart)


@dataclass(frozen=True, slots=True)
class Group:
    """Shapes that are moved together."""

    x: float
    y: float
    shapes: tuple[Box | Line | Dot | Outline | Word, ...]

    def paint(self, canvas: Canvas) -> None:
        """Draw it."""
        canvas.translate(self.x, self.y)
        for shape in self.shapes:
            shape.paint(canvas)
        canvas.translate(-self.x, -self.y)


Shape = Box | Line | Dot | Outline | Word | Group


class Picture(Flowable):
    """Shapes within `width` by `height`, as something that can be set on a page; `alt` says a drawing in words, without
    it the words in it are read."""

    def __init__(self, width: float, height: float, contents: Sequence[Shape], alt: str = "") -> None:
        super().__init__()
        self.width, self.height, self.contents, self.alt = width, height, tuple(contents), alt

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        return self.width, self.height

    def draw(self) -> None:
        told = "P" if any(isinstance(shape, Word) for shape in self.contents) else ""
        with marked(self.canv, "Figure" if self.alt else told, self.alt):
            for shape in self.contents:
                shape.paint(self.canv)


def _pens(canvas: Canvas, fill: Color | None, stroke: Color | None, width: float) -> None:
    if fill is not None:
        canvas.setFillColor(fill)
    if stroke is not None:
        canvas.setStrokeColor(stroke)
        canvas.setLineWidth(width)
