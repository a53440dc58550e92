"""Every kind of block as what the library sets on a page."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from reportlab.lib.pagesizes import A4
from reportlab.platypus import CondPageBreak, Flowable, Spacer

from riskapi.report import format as fmt
from riskapi.report import look
from riskapi.report.chart_moves import moves_picture, shifts_picture
from riskapi.report.chart_plane import plane_picture
from riskapi.report.charts import chance_bar, chance_cell, shares_bar, text_width, year_chart
from riskapi.report.edition_texts import tell
from riskapi.report.engine_drawing import zone_picture
from riskapi.report.form_blocks import blanks, code, entry
from riskapi.report.printed_photos import PrintedPhoto
from riskapi.report.room import Together
from riskapi.report.rows import Abreast, Cells, Rows
from riskapi.report.sections import (
    Amount,
    Blanks,
    Block,
    Bullets,
    Cell,
    Chance,
    ChanceBar,
    Code,
    Entry,
    Facts,
    Finding,
    Item,
    Moves,
    Photo,
    Photos,
    Plane,
    Reason,
    Reasons,
    Shares,
    Shifts,
    Signature,
    Table,
    Text,
    YearChart,
    ZoneMap,
)
from riskapi.report.shapes import Box, Line, Picture, Word
from riskapi.report.tagging import left_out
from riskapi.report.typeset import Plain

_REASON_BAR = 92.0
WIDTH = A4[0] - 2 * look.MARGIN
GAP = 14.0
HALF = (WIDTH - GAP) / 2
BULLET = "\u2022"
PHOTO_WIDTH, PHOTO_HEIGHT, FINDING_PHOTO = 160.0, 120.0, 140.0
THUMB, SMALL_THUMB = 84.0, 60.0
SUBHEADING_ROOM = 70.0  # what a subheading wants below itself on the page [points]
MANY = 4  # small bullets from which they go in two columns


def flowables(block: Block) -> list[Flowable]:
    """The block, ready to be set."""
    drawn: list[Flowable] = _DRAW[type(block)](block)
    return drawn


def _text(block: Text) -> list[Flowable]:
    paragraph = Plain(block.text, look.TEXT_STYLES[block.style])
    if block.style == "alarm":
        return alarm(block.text)
    return [CondPageBreak(SUBHEADING_ROOM), paragraph] if block.style == "subheading" else [paragraph]


def alarm(text: str) -> list[Flowable]:
    """What nobody may read past."""
    return [Spacer(1, 3), _Alarm(Plain(text, look.TEXT_STYLES["alarm"])), Spacer(1, 7)]


class _Alarm(Flowable):
    """White words on a dark ground."""

    def __init__(self, words: Plain) -> None:
        super().__init__()
        self.words = words

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        self.width, self.height = width, self.words.wrap(width - 24, height)[1] + 18
        return self.width, self.height

    def draw(self) -> None:
        with left_out(self.canv):
            self.canv.setFillColor(look.INK)
            self.canv.rect(0, 0, self.width, self.height, 0, 1)
        self.words.drawOn(self.canv, 12, 9)


def _bullets(block: Bullets) -> list[Flowable]:
    if not block.small:
        return [Plain(item, look.BULLET, bullet=BULLET) for item in block.items]
    items = [[[Plain(item, look.SMALL_BULLET, bullet=BULLET)]] for item in block.items]
    if len(items) < MANY:
        return [item for row in items for cell in row for item in cell]
    return [Abreast([HALF], items, gap=GAP, pad=(0, 0), rule=None), Spacer(1, 4)]


def _facts(block: Facts) -> list[Flowable]:
    rows = [[[Plain(name, look.LABEL)], [Plain(text, look.VALUE)]] for name, text in block.rows]
    if not rows:
        return []
    if block.abreast > 1:
        return [Abreast([HALF * 0.36, HALF * 0.64], rows, gap=GAP, pad=(0, 1), rule=None), Spacer(1, 4)]
    longest = max(text_width(name, look.LABEL.fontSize) for name, _ in block.rows) + look.LABEL.rightIndent + 1
    names = min(max(longest, WIDTH * 0.22), WIDTH * 0.6)
    return [Rows([names, WIDTH - names], rows, pad=(0, 1), rule=None), Spacer(1, 4)]


def _item(block: Item) -> list[Flowable]:
    return [Plain(" ".join(block.sentences), look.TEXT_STYLES["body"], lead=f"{block.name}.")]


def _chance_bar(block: ChanceBar) -> list[Flowable]:
    bar = _said(chance_bar(block.caption, block.chance, WIDTH), f"{block.caption}: {block.chance.words}")
    return [Spacer(1, 2), bar, Spacer(1, 5)]


def _table(table: Table) -> list[Flowable]:
    brief = table.abreast > 1
    whole = HALF if brief else WIDTH
    widths = [whole * column.width for column in table.columns]
    head = [
        [Plain(column.title, look.HEAD_RIGHT if column.align == "right" else look.HEAD)] for column in table.columns
    ]
    body = [_row(table, number, widths) for number in range(len(table.rows))]
    if brief:
        return [Abreast(widths, body, head, gap=GAP, pad=(2, 1.1)), Spacer(1, 5)]
    return [Rows(widths, body, head), Spacer(1, 5)]


def _row(table: Table, number: int, widths: list[float]) -> Cells:
    total = number == table.subtotal or (table.total_row and number == len(table.rows) - 1)
    cells: list[Sequence[Flowable]] = []
    for column, cell, width in zip(table.columns, table.rows[number], widths, strict=True):
        cells.append([_cell(cell, width, right=column.align == "right", total=total, brief=table.abreast > 1)])
    return cells


def _cell(cell: Cell, width: float, *, right: bool, total: bool, brief: bool) -> Flowable:
    if isinstance(cell, Chance):
        return chance_cell(cell, width - 8)
    if total:
        return Plain(cell, look.TOTAL_RIGHT if right else look.TOTAL)
    if brief:
        return Plain(cell, look.BRIEF_RIGHT if right else look.BRIEF)
    return Plain(cell, look.CELL_RIGHT if right else look.CELL)


# ---- first page ------------------------------------------------------------------------------------------------


def _amount(block: Amount) -> list[Flowable]:
    """The amount on the left, what belongs to it on the right."""
    left: list[Flowable] = [Plain(block.name, look.AMOUNT_NAME), Plain(block.amount, look.AMOUNT)]
    wide = WIDTH * 0.33
    rows = [[[Plain(name, look.LABEL)], [Plain(text, look.VALUE)]] for name, text in block.rows]
    right = Rows([(WIDTH - wide) * 0.79, (WIDTH - wide) * 0.21], rows, pad=(0, 1.4), rule=None)
    return [Rows([wide, WIDTH - wide], [[left, [right]]], pad=(0, 1), rule=None), Spacer(1, 3)]


def _reasons(block: Reasons) -> list[Flowable]:
    thumb, down = (SMALL_THUMB, 1.0) if block.close else (THUMB, 3.0)
    widths = [_REASON_BAR, WIDTH - _REASON_BAR]
    return [Rows(widths, [_reason(item, thumb)], pad=(0, down), rule=None) for item in block.items]


def _reason(item: Reason, thumb: float) -> Cells:
    words = Plain(item.text, look.TEXT_STYLES["body"], lead=f"{item.name}." if item.name else "")
    if item.photo is None or item.photo.content is None:
        right: list[Flowable] = [words]
    else:
        picture = _picture(item.photo, thumb, thumb * 0.75)
        room = WIDTH - _REASON_BAR - thumb - 10
        right = [Rows([room, 10, thumb], [[[words], [], [picture]]], pad=(0, 0), rule=None)]
    left: list[Flowable] = [] if item.chance is None else [chance_cell(item.chance, _REASON_BAR - 12)]
    return [left, right]


def _said(picture: Picture, *words: str) -> Picture:
    """The picture, said in these words to whoever does not see it."""
    picture.alt = look.printable("; ".join(words))
    return picture


# ---- pictures --------------------------------------------------------------------------------------------------


def _shares(block: Shares) -> list[Flowable]:
    return [Spacer(1, 2), _said(shares_bar(block, WIDTH), *(part.words for part in block.parts)), Spacer(1, 5)]


def _years(block: YearChart) -> list[Flowable]:
    words = Plain(" ".join(block.summary), look.TEXT_STYLES["small"])
    return [Together([Spacer(1, 3), _said(year_chart(block, WIDTH), *block.summary), Spacer(1, 3), words])]


def _plane(block: Plane) -> list[Flowable]:
    words = Plain(tell("plane_words"), look.TEXT_STYLES["small"])
    named = (
        f"{point.name}: {fmt.percent(point.chance)}, {fmt.money(point.cost, block.currency)}"
        for point in block.points[: block.named]
    )
    return [Together([words, _said(plane_picture(block, WIDTH), *named), Spacer(1, 5)])]


def _moves(block: Moves) -> list[Flowable]:
    told = (
        f"{move.name}: {move.low_words} {fmt.number(fmt.rough(move.low))}, "
        f"{move.high_words} {fmt.number(fmt.rough(move.high))}"
        for move in block.items
    )
    return [_said(moves_picture(block, WIDTH), block.mean_words, *told), Spacer(1, 4)]


def _shifts(block: Shifts) -> list[Flowable]:
    told = (f"{shift.finding}: {shift.weak_point}, {shift.words}" for shift in block.items)
    return [_said(shifts_picture(block, WIDTH), *told), Spacer(1, 6)]


def _zones(block: ZoneMap) -> list[Flowable]:
    return [_said(zone_picture(block, WIDTH), *(f"{spot.name}: {spot.words}" for spot in block.spots)), Spacer(1, 6)]


def _picture(photo: Photo, width: float, height: float) -> Flowable:
    """The photo, or a frame that says that it is not there."""
    if photo.content is not None:
        try:
            return PrintedPhoto(photo.content, width, height, look.printable(photo.caption))
        except ValueError:
            pass
    frame = Box(0.5, 0.5, width - 1, height - 1, None, look.RULE)
    words = Word(width / 2, height / 2 - 3, tell("photo_gone"), 7.4, anchor="middle", ink=look.QUIET)
    return Picture(width, height, [frame, words])


def _photos(block: Photos, *, captions: bool = True) -> list[Flowable]:
    """Three side by side, each with its caption below."""
    rows = [block.items[start : start + 3] for start in range(0, len(block.items), 3)]
    wide = WIDTH / 3
    return [
        Rows([wide] * len(row), [[_captioned(photo, captions) for photo in row]], pad=(0, 3), rule=None) for row in rows
    ]


def _captioned(photo: Photo, captions: bool) -> list[Flowable]:
    caption = [Plain(photo.caption, look.CAPTION)] if captions else []
    return [_picture(photo, PHOTO_WIDTH, PHOTO_HEIGHT), *caption]


# ---- the inspector's edition -----------------------------------------------------------------------------------


def _finding(block: Finding) -> list[Flowable]:
    """Name and result in one line, the rest small below, the first picture beside it, the others below; then a rule."""
    name: list[Flowable] = [Plain(block.name, look.CELL_NAME)]
    words: list[Flowable] = [
        Plain(block.result, look.TOTAL),
        *(Plain(row, look.TEXT_STYLES["small"]) for row in block.rows),
    ]
    if not block.photos:
        return [Rows([WIDTH * 0.38, WIDTH * 0.62], [[name, words]], pad=(0, 2), keep=1)]
    first, *others = block.photos
    beside = WIDTH - FINDING_PHOTO - GAP
    cells = [name, words, [], [_picture(first, FINDING_PHOTO, FINDING_PHOTO * 0.75)]]
    below = _photos(Photos(tuple(others)), captions=False)
    rule = None if below else look.RULE
    told = Rows([beside * 0.42, beside * 0.58, GAP, FINDING_PHOTO], [cells], pad=(0, 2), rule=rule, keep=1)
    return [told, *below, *([Picture(WIDTH, 3, [Line(0, 1, WIDTH, 1, look.RULE, 0.5)])] if below else [])]


def _signature(block: Signature) -> list[Flowable]:
    wide = WIDTH / len(block.labels)
    lines: list[Any] = []
    for place, label in enumerate(block.labels):
        x = wide * place
        lines += [Line(x, 14, x + wide - 16, 14, look.INK, 0.7), Word(x, 4, label, 7.6, ink=look.QUIET)]
    words = Plain(block.text, look.TEXT_STYLES["body"])
    return [Together([words, Picture(WIDTH, 58, lines), Spacer(1, 4)])]


_DRAW: dict[type, Callable[[Any], list[Flowable]]] = {
    Text: _text, Bullets: _bullets, Facts: _facts, Item: _item, ChanceBar: _chance_bar, Table: _table,
    YearChart: _years, Photos: _photos, Amount: _amount, Reasons: _reasons, Shares: _shares, Plane: _plane,
    Moves: _moves, Shifts: _shifts, ZoneMap: _zones, Finding: _finding, Signature: _signature,
    Entry: lambda block: entry(block, WIDTH), Blanks: lambda block: blanks(block, WIDTH),
    Code: lambda block: code(block, WIDTH),
}  # fmt: skip
