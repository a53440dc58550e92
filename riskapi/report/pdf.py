"""The report as a PDF: A4, embedded typeface, outline, language, page numbers; the same input gives the same bytes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from io import BytesIO

from reportlab.lib.pagesizes import A4
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, CondPageBreak, Flowable, Frame, PageTemplate, Spacer

from riskapi.report import look
from riskapi.report.language import speaking
from riskapi.report.pdf_blocks import WIDTH, flowables
from riskapi.report.printed_photos import PrintedPhoto
from riskapi.report.room import height_of, room_for
from riskapi.report.rows import Rows
from riskapi.report.sections import Block, Bullets, Letterhead, Reasons, Report, Section
from riskapi.report.tagging import TaggedCanvas, left_out
from riskapi.report.texts import say
from riskapi.report.typeset import Plain

_TOTAL = "total_pages"
FRAME_HEIGHT = A4[1] - 31 * mm
MOST_OF_A_PAGE = 560.0  # what a section that starts a page must find below itself not to take a new one [points]


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
    frame = Frame(look.MARGIN, 17 * mm, WIDTH, FRAME_HEIGHT, 0, 0, 0, 0, id="body")
    document.addPageTemplates(PageTemplate("page", [frame], onPageEnd=_foot(report)))
    document.build(_story(report), canvasmaker=TaggedCanvas)
    return buffer.getvalue()


def _foot(report: Report) -> Callable[[Canvas, BaseDocTemplate], None]:
    def paint(canvas: Canvas, document: BaseDocTemplate) -> None:
        """The running foot; the number of pages is a form that the last page defines."""
        with left_out(canvas):
            _paint_foot(canvas, report, document.page)

    return paint


def _paint_foot(canvas: Canvas, report: Report, page: int) -> None:
    canvas.saveState()
    canvas.setStrokeColor(look.RULE)
    canvas.setLineWidth(0.6)
    canvas.line(look.MARGIN, 13 * mm, A4[0] - look.MARGIN, 13 * mm)
    canvas.setFont(look.REGULAR, 8)
    canvas.setFillColor(look.QUIET)
    canvas.drawString(look.MARGIN, 9 * mm, look.printable(report.foot))
    canvas.drawRightString(A4[0] - look.MARGIN - 14, 9 * mm, say("page", page=str(page)))
    canvas.translate(A4[0] - look.MARGIN - 12, 9 * mm)
    canvas.doForm(_TOTAL)
    canvas.restoreState()


def _story(report: Report) -> list[Flowable]:
    story: list[Flowable] = [] if report.letterhead is None else [_letterhead(report.letterhead), Spacer(1, 10)]
    story += [
        Plain(f"{report.title}. {report.subtitle}.", look.TITLE),
        Plain(report.subject, look.SUBJECT),
    ]
    opening = next((place for place, section in enumerate(report.sections) if section.starts_page), 0)
    first = _sections(report.sections[:opening], first=True)
    if sum(height_of(item, WIDTH) for item in (*story, *first)) > FRAME_HEIGHT:
        first = _sections(tuple(_closer(section) for section in report.sections[:opening]), first=True)
    return [*story, *first, *_sections(report.sections[opening:], first=opening == 0), _PageCount()]


def _sections(sections: tuple[Section, ...], *, first: bool) -> list[Flowable]:
    """The sections below each other; `first`: they are at the beginning of the report."""
    return [item for place, section in enumerate(sections) for item in _section(section, first=first and place == 0)]


def _closer(section: Section) -> Section:
    """A section of the first page where that has little room: lists in two columns, smaller pictures."""
    return replace(section, blocks=tuple(_close(block) for block in section.blocks))


def _close(block: Block) -> Block:
    if isinstance(block, Bullets):
        return replace(block, small=True)
    return replace(block, close=True) if isinstance(block, Reasons) else block


def _letterhead(head: Letterhead) -> Flowable:
    """Name and lines on the left, the logo on the right."""
    words: list[Flowable] = [Plain(head.name, look.LETTER_NAME)]
    words += [Plain(line, look.LETTER_LINE) for line in head.lines]
    logo = [] if head.logo is None else [PrintedPhoto(head.logo, 130, 52, head.name)]
    return Rows([WIDTH - 134, 134], [[words, logo]], pad=(0, 5), keep=1)


def _section(section: Section, *, first: bool) -> list[Flowable]:
    mark = _Bookmark(section.id, section.heading)
    drawn = [flowable for block in section.blocks for flowable in flowables(block)]
    if first and section.id == "advice":
        return [mark, *drawn]
    heading = Plain(section.heading, look.HEADING)
    needed = MOST_OF_A_PAGE if section.starts_page else room_for([heading, *drawn], WIDTH)
    return [CondPageBreak(needed), mark, heading, *drawn]


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
