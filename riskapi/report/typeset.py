"""Plain text set in lines. The general paragraph of the library reads markup and weighs every fragment; a report has
neither markup nor mixed sizes, and this takes a third of its time.

Nothing in a text is taken for markup. Lengths in points.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from typing import Any

from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfgen.canvas import Canvas
from reportlab.pdfgen.textobject import PDFTextObject
from reportlab.platypus import Flowable

from riskapi.report.look import BOLD, printable
from riskapi.report.tagging import marked, role_of

Run = tuple[str, str]  # font, text
Line = tuple[Run, ...]

UNIT = 7  # characters of what may follow a number on its line: units, currencies, 'years', 'of', but no long word


@lru_cache(maxsize=20_000)
def width_of(font: str, text: str) -> float:
    """Width of a text at size 1."""
    face: Any = pdfmetrics.getFont(font)
    widths, default = face.face.charWidths, face.face.defaultWidth
    return float(sum(widths.get(ord(c), default) for c in text)) / 1000.0


def lines_of(text: str, style: ParagraphStyle, width: float, lead: str = "") -> tuple[Line, ...]:
    """The text broken into lines no wider than `width`; `lead` comes first, in bold. A word that is too long is cut."""
    room = width / style.fontSize
    words = [*((BOLD, word) for word in _words(lead)), *((style.fontName, word) for word in _words(text))]
    return tuple(_joined(line) for line in _filled(_short(words, room), room))


def _words(text: str) -> list[str]:
    """The words; a number and what it counts are one, so that no line ends between them."""
    found: list[str] = []
    for word in filter(None, printable(text).replace("\n", " ").split(" ")):
        if found and len(word) <= UNIT and _is_number(found[-1]):
            found[-1] = f"{found[-1]} {word}"
        else:
            found.append(word)
    return found


def _is_number(word: str) -> bool:
    return word[-1].isdigit() and not any(c.isalpha() or c == " " for c in word)


def _short(words: list[Run], room: float) -> Iterator[Run]:
    """The words, those wider than a line cut into pieces, first where a number ends."""
    for font, word in words:
        if width_of(font, word) <= room:
            yield font, word
        else:
            yield from (piece for part in word.split(" ") for piece in _pieces(font, part, room))


class Torn(str):
    """A piece of a word that goes on in the next line."""

    __slots__ = ()


def _pieces(font: str, word: str, room: float) -> Iterator[Run]:
    rest = word
    while len(rest) > 1 and width_of(font, rest) > room:
        cut = max(1, next(n for n in range(1, len(rest) + 1) if width_of(font, rest[:n]) > room) - 1)
        yield font, Torn(rest[:cut])
        rest = rest[cut:]
    yield font, rest


def _filled(words: Iterator[Run], room: float) -> Iterator[list[Run]]:
    line: list[Run] = []
    used = 0.0
    for font, word in words:
        wide, space = width_of(font, word), width_of(font, " ")
        if line and used + space + wide > room:
            yield line
            line, used = [], 0.0
        used += wide + (space if line else 0.0)
        line.append((font, word))
    if line:
        yield line


def _joined(words: list[Run]) -> Line:
    """Words of one font side by side as one text."""
    runs: list[Run] = []
    for font, word in words:
        if runs and runs[-1][0] == font:
            runs[-1] = font, f"{runs[-1][1]} {word}"
        else:
            runs.append((font, f" {word}" if runs else word))
    return tuple(runs)


class Plain(Flowable):
    """A paragraph of plain text; `lead` stands before it in bold, `bullet` left of its first line."""

    def __init__(self, text: str, style: ParagraphStyle, *, lead: str = "", bullet: str = "") -> None:
        super().__init__()
        self.text, self.style, self.lead, self.bullet = text, style, lead, bullet
        self.spaceBefore, self.spaceAfter = style.spaceBefore, style.spaceAfter
        self._set: tuple[float, tuple[Line, ...]] | None = None
        self.width = 0.0

    def getSpaceBefore(self) -> float:  # noqa: N802 (the library's name)
        return float(self.spaceBefore)

    def getSpaceAfter(self) -> float:  # noqa: N802 (the library's name)
        return float(self.spaceAfter)

    def minWidth(self) -> float:  # noqa: N802 (the library's name)
        return 12.0

    def lines(self, width: float) -> tuple[Line, ...]:
        """Its lines in this width."""
        if self._set is None or self._set[0] != width:
            self._set = (
                width,
                lines_of(self.text, self.style, width - self.style.leftIndent - self.style.rightIndent, self.lead),
            )
        return self._set[1]

    def wrap(self, width: float, _height: float) -> tuple[float, float]:
        self.width = width
        return width, len(self.lines(width)) * self.style.leading

    def split(self, width: float, height: float) -> list[Flowable]:
        lines, fit = self.lines(width), int(height / self.style.leading)
        fit = min(fit, len(lines) - 2)  # no line alone on either page
        return [] if fit < 2 else [self._part(lines[:fit], width, self.bullet), self._part(lines[fit:], width, "")]

    def _part(self, lines: tuple[Line, ...], width: float, bullet: str) -> Plain:
        part = Plain("", self.style, bullet=bullet)
        part._set = width, lines
        return part

    def draw(self) -> None:
        with marked(self.canv, role_of(self.style.name)):
            self.paint(self.canv, 0.0, 0.0)

    def paint(self, canvas: Canvas, left: float, bottom: float) -> None:
        """Its lines, with their lower left corner there: a cell of a table needs no coordinates of its own."""
        style, lines = self.style, self.lines(self.width)
        y = bottom + (len(lines) - 1) * style.leading + (style.leading - style.fontSize) / 2 + 0.22 * style.fontSize
        text = canvas.beginText()
        text.setFillColor(style.textColor)
        if self.bullet:
            self._set_line(text, ((style.fontName, self.bullet),), left + style.bulletIndent, y)
        for number, line in enumerate(lines, 1):
            x = left + style.leftIndent
            if style.alignment == TA_RIGHT:
                x = left + self.width - sum(width_of(font, words) for font, words in line) * style.fontSize
            self._set_line(text, line, x, y)
            if number < len(lines) and not isinstance(line[-1][1], Torn):
                text.textOut(" ")  # for whoever reads the words without seeing that the line ends
            y -= style.leading
        canvas.drawText(text)

    def _set_line(self, text: PDFTextObject, line: Line, x: float, y: float) -> None:
        text.setTextOrigin(x, y)
        for font, words in line:
            text.setFont(font, self.style.fontSize)
            text.textOut(words)
