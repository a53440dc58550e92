"""What is filled in by hand: words to ring, lines to write on, and a code that opens the same list on a phone."""

from __future__ import annotations

from reportlab.platypus import Flowable, Spacer

from riskapi.report import look
from riskapi.report.chart_moves import cut
from riskapi.report.charts import text_width
from riskapi.report.qr import qr_picture
from riskapi.report.rows import Rows
from riskapi.report.sections import Answer, Blanks, Code, Entry
from riskapi.report.shapes import Box, Line, Picture, Shape, Word
from riskapi.report.typeset import Plain, lines_of

SIZE, ROW = 8.6, 17.0  # of the words to ring, and from one row of them to the next [points]
NAME_ROOM = 112.0
BLANK = 46.0
SIDE = 92.0  # of the code [points]


def entry(block: Entry, width: float) -> list[Flowable]:
    """A check on one piece of paper that is not torn apart."""
    shapes: list[Shape] = []
    top = 0.0  # downwards; turned over at the end
    shapes.append(Line(0, 0, width, 0, look.RULE, 0.6))
    beside = text_width(block.beside, 8)
    for line in lines_of(block.name, look.FORM_NAME, width - beside - 12):
        shapes.append(Word(0, top - 12, "".join(words for _, words in line), look.FORM_NAME.fontSize, look.BOLD))
        top -= look.FORM_NAME.leading
    shapes.append(Word(width - beside, -12, block.beside, 8, ink=look.QUIET))
    top -= 4.5
    for lead, text in block.lines:
        top = _lines(shapes, lead, text, top, width)
    for answer in block.answers:
        top = _answer(shapes, answer, top - 3, width)
    return [_Turned(width, -top + 4, shapes)]


class _Turned(Picture):
    """A picture drawn from its upper edge downwards."""

    def draw(self) -> None:
        self.canv.translate(0, self.height)
        super().draw()


def _lines(shapes: list[Shape], lead: str, text: str, top: float, width: float) -> float:
    style = look.FORM
    for line in lines_of(text, style, width, lead):
        x = 0.0
        for font, words in line:
            shapes.append(Word(x, top - style.fontSize, words, style.fontSize, font))
            x += text_width(words, style.fontSize, font)
        top -= style.leading
    return top


def _answer(shapes: list[Shape], answer: Answer, top: float, width: float) -> float:
    """Its name on the left, then blanks, then words to ring; on to the next row where one is full."""
    names = ["".join(part for _, part in line) for line in lines_of(answer.name, look.FORM, NAME_ROOM - 6)]
    for place, name in enumerate(names):
        shapes.append(Word(0, top - 11 - 9.5 * place, name, look.FORM.fontSize, ink=look.QUIET))
    x, y = NAME_ROOM, top
    for number in range(answer.blanks):
        if x + BLANK + 8 > width:
            x, y = NAME_ROOM, y - ROW
        shapes.append(Line(x, y - 13, x + BLANK, y - 13, look.INK, 0.6))
        if answer.blanks > 1:
            shapes.append(Word(x, y - 5, str(number + 1), 5.5, ink=look.QUIET))
        x += BLANK + 8
    if answer.unit:
        shapes.append(Word(x - 4, y - 11, answer.unit, SIZE))
        x += text_width(answer.unit, SIZE) + 14
    for words in answer.words:
        wide = text_width(words, SIZE) + 14
        if x + wide > width and x > NAME_ROOM:
            x, y = NAME_ROOM, y - ROW
        shapes.append(Box(x, y - 15, min(wide, width - x), 14, None, look.RULE, 0.7, corner=7))
        shapes.append(Word(x + 7, y - 11, words, SIZE))
        x += wide + 7
    for _ in range(answer.lines):
        shapes.append(Line(NAME_ROOM, y - 13, width, y - 13, look.INK, 0.6))
        y -= ROW
    return min(y if answer.lines else y - ROW, top - 4 - 9.5 * len(names))


def blanks(block: Blanks, width: float) -> list[Flowable]:
    """Lines with their names below."""
    rows = [block.names[start : start + block.abreast] for start in range(0, len(block.names), block.abreast)]
    wide = width / block.abreast
    drawn: list[Flowable] = []
    for names in rows:
        shapes: list[Shape] = []
        for place, name in enumerate(names):
            x = wide * place
            shapes.append(Line(x, 10, x + wide - 12, 10, look.INK, 0.6))
            shapes.append(Word(x, 1, cut(name, wide - 8, 7.4), 7.4, ink=look.QUIET))
        drawn.append(Picture(width, 30, shapes))
    return [*drawn, Spacer(1, 4)]


def code(block: Code, width: float) -> list[Flowable]:
    """The code at the left, the words beside it."""
    words = Plain(block.words, look.TEXT_STYLES["body"])
    address = Plain(block.address, look.TEXT_STYLES["small"])
    return [Rows([SIDE + 6, width - SIDE - 6], [[[qr_picture(block.address, SIDE)], [Spacer(1, 12), words, address]]],
                 pad=(0, 0), rule=None)]  # fmt: skip
