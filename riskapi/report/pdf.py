"""The report as a PDF: A4, embedded typeface, outline, language, page numbers; the same input gives the same bytes."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from io import BytesIO

from reportlab.lib.pagesizes import A4
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    CondPageBreak,
    Flowable,
    Frame,
    KeepTogether,
    PageBreak,
    PageTemplate,
    Paragraph,
    Spacer,
    TableStyle,
)
from reportlab.platypus import Table as Grid

from riskapi.domain.assessment import Assessment
from riskapi.domain.case import Case
from riskapi.domain.identity import NOBODY, Identity
from riskapi.domain.knowledge import Pack
from riskapi.report import look
from riskapi.report.charts import YEAR_CHART_HEIGHT, chance_bar, chance_cell, year_chart
from riskapi.report.content import build_report
from riskapi.report.language import DEFAULT, speaking
from riskapi.report.sections import (
    Block,
    Bullets,
    ChanceBar,
    Facts,
    Item,
    Report,
    Section,
    Table,
    Text,
    YearChart,
)
from riskapi.report.texts import say

WIDTH = A4[0] - 2 * look.MARGIN
_TOTAL = "total_pages"


def render_pdf(
    assessment: Assessment,
    case: Case,
    pack: Pack,
    *,
    assessment_id: str,
    created_at: datetime,
    language: str = DEFAULT,
    identity: Identity = NOBODY,
    recalled: str = "",
) -> bytes:
    """The whole report of `build_report` as PDF bytes. Raises NotFound when the pack lacks something the assessment
    names."""
    report = build_report(
        assessment,
        case,
        pack,
        assessment_id=assessment_id,
        created_at=created_at,
        language=language,
        identity=identity,
        recalled=recalled,
    )
    return draw(report)


def draw(report: Report) -> bytes:
    """A report as PDF bytes, in the language it was written in."""
    with speaking(report.language):
        return _drawn(report)


def _drawn(report: Report) -> bytes:
    look.register_fonts()
    buffer = BytesIO()
    document = BaseDocTemplate(
        buffer,
        pagesize=A4,
        title=look.printable(f"{report.title}: {report.subject}"),
        author="riskapi",
        subject=look.printable(report.subtitle),
        lang=report.language,
        displayDocTitle=1,
        invariant=1,
        pageCompression=1,
    )
    frame = Frame(look.MARGIN, 20 * mm, WIDTH, A4[1] - 36 * mm, 0, 0, 0, 0, id="body")
    document.addPageTemplates(PageTemplate("page", [frame], onPage=_foot(report)))
    document.build(_story(report))
    return buffer.getvalue()


def _foot(report: Report) -> Callable[[Canvas, BaseDocTemplate], None]:
    def paint(canvas: Canvas, document: BaseDocTemplate) -> None:
        """The running foot; the number of pages is a form that the last page defines."""
        canvas.saveState()
        canvas.setStrokeColor(look.RULE)
        canvas.setLineWidth(0.6)
        canvas.line(look.MARGIN, 15 * mm, A4[0] - look.MARGIN, 15 * mm)
        canvas.setFont(look.REGULAR, 8)
        canvas.setFillColor(look.QUIET)
        canvas.drawString(look.MARGIN, 11 * mm, look.printable(report.foot))
        canvas.drawRightString(A4[0] - look.MARGIN - 14, 11 * mm, say("page", page=str(document.page)))
        canvas.translate(A4[0] - look.MARGIN - 12, 11 * mm)
        canvas.doForm(_TOTAL)
        canvas.restoreState()

    return paint


def _story(report: Report) -> list[Flowable]:
    story: list[Flowable] = [
        Paragraph(look.safe(f"{report.title}. {report.subtitle}."), look.TITLE),
        Paragraph(look.safe(report.subject), look.SUBJECT),
    ]
    for place, section in enumerate(report.sections):
        story += _section(section, first=place == 0)
    story.append(_PageCount())
    return story


def _section(section: Section, *, first: bool) -> list[Flowable]:
    mark = _Bookmark(section.id, section.heading)
    flowables = [flowable for block in section.blocks for flowable in _block(block)]
    if first:
        return [mark, *flowables]
    room = PageBreak() if section.starts_page else CondPageBreak(_needed(section))
    return [room, mark, Paragraph(look.safe(section.heading), look.HEADING), *flowables]


def _needed(section: Section) -> float:
    """Height a section wants at the foot of a page [points]: short tables and pictures are not torn apart."""
    if any(isinstance(block, YearChart) for block in section.blocks):
        return YEAR_CHART_HEIGHT + 110.0
    lines = sum(len(block.rows) for block in section.blocks if isinstance(block, Table | Facts))
    return 100.0 + 20.0 * lines if lines <= 9 else 150.0


# ---- blocks ----------------------------------------------------------------------------------------------------


def _block(block: Block) -> list[Flowable]:
    match block:
        case Text():
            drawn = _text(block)
        case Bullets():
            drawn = [Paragraph(look.safe(item), look.BULLET, bulletText="\u2022") for item in block.items]
        case Facts():
            drawn = [_facts(block), Spacer(1, 4)]
        case Item():
            drawn = _item(block)
        case ChanceBar():
            drawn = [Spacer(1, 3), chance_bar(block.caption, block.chance, WIDTH), Spacer(1, 7)]
        case Table():
            drawn = [_table(block), Spacer(1, 6)]
        case YearChart():
            drawn = _years(block)
    return drawn


def _text(block: Text) -> list[Flowable]:
    paragraph = Paragraph(look.safe(block.text), look.TEXT_STYLES[block.style])
    if block.style == "alarm":
        style = TableStyle(
            [
                ("BACKGROUND", (0, 0), (-1, -1), look.INK),
                ("LEFTPADDING", (0, 0), (-1, -1), 12),
                ("TOPPADDING", (0, 0), (-1, -1), 8),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 12),
            ]
        )
        return [Spacer(1, 4), Grid([[paragraph]], colWidths=[WIDTH], style=style), Spacer(1, 8)]
    return [paragraph]


def _item(block: Item) -> list[Flowable]:
    name = Paragraph(look.safe(block.name), look.TEXT_STYLES["subheading"])
    sentences = Paragraph(look.safe(" ".join(block.sentences)), look.TEXT_STYLES["body"])
    return [KeepTogether([name, sentences])]


def _facts(block: Facts) -> Flowable:
    rows = [
        [Paragraph(look.safe(name), look.LABEL), Paragraph(look.safe(text), look.VALUE)] for name, text in block.rows
    ]
    style = TableStyle(
        [
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("LEFTPADDING", (0, 0), (0, -1), 0),
            ("TOPPADDING", (0, 0), (-1, -1), 1.5),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 1.5),
        ]
    )
    return Grid(rows, colWidths=[WIDTH * 0.36, WIDTH * 0.64], style=style) if rows else Spacer(1, 1)


def _table(table: Table) -> Flowable:
    widths = [WIDTH * column.width for column in table.columns]
    head = [
        Paragraph(look.safe(column.title), look.HEAD_RIGHT if column.align == "right" else look.HEAD)
        for column in table.columns
    ]
    body = [_row(table, number, widths) for number in range(len(table.rows))]
    style = TableStyle(
        [
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("BACKGROUND", (0, 0), (-1, 0), look.PALE),
            ("LINEBELOW", (0, 0), (-1, -1), 0.5, look.RULE),
            ("LEFTPADDING", (0, 0), (-1, -1), 5),
            ("RIGHTPADDING", (0, 0), (-1, -1), 5),
            ("TOPPADDING", (0, 0), (-1, -1), 3),
            ("BOTTOMPADDING", (0, 0), (-1, -1), 3.5),
        ]
    )
    return Grid([head, *body], colWidths=widths, repeatRows=1, style=style)


def _row(table: Table, number: int, widths: list[float]) -> list[Flowable]:
    total = table.total_row and number == len(table.rows) - 1
    cells: list[Flowable] = []
    for column, cell, width in zip(table.columns, table.rows[number], widths, strict=True):
        right = column.align == "right"
        if isinstance(cell, str):
            style = (look.TOTAL_RIGHT if right else look.TOTAL) if total else (look.CELL_RIGHT if right else look.CELL)
            cells.append(Paragraph(look.safe(cell), style))
        else:
            cells.append(chance_cell(cell, width - 10))
    return cells


def _years(block: YearChart) -> list[Flowable]:
    words = [Paragraph(look.safe(line), look.TEXT_STYLES["small"]) for line in block.summary]
    return [Spacer(1, 4), year_chart(block, WIDTH), Spacer(1, 4), *words]


# ---- marks without height --------------------------------------------------------------------------------------


class _Bookmark(Flowable):
    """An outline entry at this place."""

    def __init__(self, key: str, title: str) -> None:
        super().__init__()
        self.key, self.title = key, title

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        return 0.0, 0.0

    def draw(self) -> None:
        self.canv.bookmarkPage(self.key)
        self.canv.addOutlineEntry(look.printable(self.title), self.key, 0)


class _PageCount(Flowable):
    """Defines, on the last page, the form that every foot shows: the number of pages."""

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        return 0.0, 0.0

    def draw(self) -> None:
        canvas = self.canv
        canvas.beginForm(_TOTAL)
        canvas.setFont(look.REGULAR, 8)
        canvas.setFillColor(look.QUIET)
        canvas.drawString(0, 0, str(canvas.getPageNumber()))
        canvas.endForm()
