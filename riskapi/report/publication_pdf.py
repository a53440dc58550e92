"""The listing sheet: what a publication shows, on one page for a windscreen or a listing, with a code of its page."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from io import BytesIO
from typing import Any

from reportlab.lib.pagesizes import A4
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageTemplate, Paragraph, Spacer, TableStyle
from reportlab.platypus import Table as Grid

from riskapi.report import format as fmt
from riskapi.report import look
from riskapi.report.charts import chance_cell
from riskapi.report.language import speaking
from riskapi.report.publication_texts import tell
from riskapi.report.qr import qr_drawing
from riskapi.report.sections import Chance

_SCALES = (1.0, 0.92, 0.84, 0.76, 0.68, 0.6)  # smaller until it is one page; nothing is ever left out
_MARGIN = 16 * mm
_WIDTH = A4[0] - 2 * _MARGIN
_QR = 34 * mm
_COLUMN = (_WIDTH - 8 * mm) / 2
_NOTHING = TableStyle([("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 0),
                       ("RIGHTPADDING", (0, 0), (-1, -1), 0), ("TOPPADDING", (0, 0), (-1, -1), 0),
                       ("BOTTOMPADDING", (0, 0), (-1, -1), 0)])  # fmt: skip

Facts = dict[str, Any]


def listing_sheet(facts: Facts, looked_by: str, page: str, mark: str, language: str) -> bytes:
    """The sheet as PDF bytes: `facts` as card() makes them, `page` is the address of the live page, `mark` the line on
    how to check the sheet."""
    look.register_fonts()
    with speaking(language):
        for scale in _SCALES:
            sheet, pages = _drawn(facts, looked_by, page, mark, scale, language)
            if pages == 1:
                break
    return sheet


def _drawn(facts: Facts, looked_by: str, page: str, mark: str, scale: float, language: str) -> tuple[bytes, int]:
    buffer = BytesIO()
    document = BaseDocTemplate(
        buffer,
        pagesize=A4,
        title=look.printable(f"{tell('title')}: {facts['engine']}"),
        author="riskapi",
        lang=language,
        displayDocTitle=1,
        invariant=1,
        pageCompression=1,
    )
    frame = Frame(_MARGIN, 20 * mm, _WIDTH, A4[1] - 32 * mm, 0, 0, 0, 0, id="body")
    document.addPageTemplates(PageTemplate("page", [frame], onPage=_foot(mark)))
    document.build(_Sheet(facts, scale).story(looked_by, page))
    return buffer.getvalue(), document.page


def _foot(mark: str) -> Callable[[Canvas, BaseDocTemplate], None]:
    def paint(canvas: Canvas, _document: BaseDocTemplate) -> None:
        line = Paragraph(look.safe(mark), look.TEXT_STYLES["small"])
        _, height = line.wrap(_WIDTH, 20 * mm)
        line.drawOn(canvas, _MARGIN, 17 * mm - height)

    return paint


class _Sheet:
    """The story of a sheet at one size of type."""

    def __init__(self, facts: Facts, scale: float) -> None:
        self.facts, self.scale = facts, scale

    def story(self, looked_by: str, page: str) -> list[Flowable]:
        left = [*self._stood_out(), *self._not_looked()]
        right = [*self._carries(), *self._dropped()]
        columns = Grid([[left, "", right]], colWidths=[_COLUMN, 8 * mm, _COLUMN], style=_NOTHING, splitInRow=1)
        return [self._head(looked_by, page), *self._fixed(), columns]

    def text(self, words: str, style: ParagraphStyle, bullet: str | None = None) -> Paragraph:
        sized = ParagraphStyle(
            f"{style.name}_{self.scale}",
            parent=style,
            fontSize=style.fontSize * self.scale,
            leading=style.leading * self.scale,
            spaceBefore=style.spaceBefore * self.scale,
            spaceAfter=style.spaceAfter * self.scale,
        )
        return Paragraph(look.safe(words), sized, bulletText=bullet)

    def heading(self, key: str) -> Paragraph:
        return self.text(tell(key), look.HEADING)

    def bullets(self, lines: list[str], none: str) -> list[Flowable]:
        if not lines:
            return [self.text(tell(none), look.TEXT_STYLES["body"])]
        return [self.text(line, look.BULLET, "\u2022") for line in lines]

    def _head(self, looked_by: str, page: str) -> Flowable:
        facts = self.facts
        rows = [
            (tell("fact_date"), fmt.day(date.fromisoformat(facts["as_of"]))),
            (tell("fact_odometer"), fmt.distance(facts["odometer_km"])),
            (tell("fact_looked"), tell(f"looked_{looked_by}")),
            (tell("fact_vin"), vin_words(facts)),
            (tell("fact_core"), tell("core", done=str(facts["core_done"]), total=str(facts["core_total"]))),
        ]
        grid = Grid(
            [[self.text(name, look.LABEL), self.text(said, look.VALUE)] for name, said in rows],
            colWidths=[(_WIDTH - _QR - 6 * mm) * share for share in (0.27, 0.73)],
            style=_NOTHING,
        )
        words = [
            self.text(tell("title"), look.TITLE),
            self.text(facts["engine"], look.TEXT_STYLES["headline"]),
            grid,
            Spacer(1, 4),
            self.text(tell("scope"), look.TEXT_STYLES["small"]),
        ]
        code = [qr_drawing(page, _QR), self.text(page, look.TEXT_STYLES["small"]),
                self.text(tell("live"), look.TEXT_STYLES["small"])]  # fmt: skip
        return Grid([[words, "", code]], colWidths=[_WIDTH - _QR - 6 * mm, 6 * mm, _QR], style=_NOTHING)

    def _fixed(self) -> list[Flowable]:
        rows = [
            [self.text(item["words"], look.CELL), chance_cell(Chance(item["probability"], ""), _WIDTH * 0.42)]
            for item in self.facts["fixed"]
        ]
        bars = Grid(rows, colWidths=[_WIDTH * 0.56, _WIDTH * 0.44], style=_NOTHING)
        share = fmt.percent(self.facts["judgement_share"])
        notes = f"{tell('fixed_intro')} {tell('judgement', share=share)}"
        return [self.heading("h_fixed"), bars, self.text(notes, look.TEXT_STYLES["small"])]

    def _stood_out(self) -> list[Flowable]:
        return [self.heading("h_stood_out"), *self.bullets([found_words(item) for item in self.facts["stood_out"]],
                "none_stood_out")]  # fmt: skip

    def _not_looked(self) -> list[Flowable]:
        lines = [f"{item['name']}. {item['reason']}" for item in self.facts["not_looked_at"] if item["reason"]]
        unsaid = unsaid_words(self.facts)
        drawn: list[Flowable] = [self.heading("h_not_looked")]
        if lines or not unsaid:
            drawn += self.bullets(lines, "none_not_looked")
        if unsaid:
            drawn.append(self.text(unsaid, look.TEXT_STYLES["body"]))
        if self.facts["without_weight"]:
            void = [f"{item['name']}. {item['reason']}" for item in self.facts["without_weight"]]
            drawn += [self.heading("h_void"), *self.bullets(void, "none_not_looked")]
        return drawn

    def _carries(self) -> list[Flowable]:
        drawn: list[Flowable] = [self.heading("h_carries"), self.text(tell("carries_intro"), look.TEXT_STYLES["small"])]
        for item in self.facts["carries_the_risk"]:
            drawn += [
                self.text(item["name"], look.TOTAL),
                chance_cell(Chance(item["not_sound"], ""), _COLUMN),
                self.text(f"{fmt.sentence(item['words'])} {carrying_words(item)}", look.TEXT_STYLES["small"]),
            ]
        return drawn

    def _dropped(self) -> list[Flowable]:
        lines = [dropped_words(item) for item in self.facts["dropped"]]
        if not lines:
            return []
        return [self.heading("h_dropped"), *self.bullets(lines, "none_stood_out")]


def found_words(item: Facts) -> str:
    """'Oil level: low (told by the seller)', with what was read."""
    said = f"{item['name']}: {item['result']}" + (f", {item['reading']}" if item["reading"] else "")
    return f"{said} ({item['told_by']})" if item["told_by"] else said


def unsaid_words(facts: Facts) -> str:
    """The checks of which nothing is said, in one sentence; '' without any."""
    names = [item["name"] for item in facts["not_looked_at"] if not item["reason"]]
    return tell("unstated", names="; ".join(names)) if names else ""


def vin_words(facts: Facts) -> str:
    """What is shown of the VIN."""
    if facts["vin_tail"]:
        return tell("vin_tail", tail=facts["vin_tail"])
    return tell("vin_erased" if facts["vin_erased"] else "vin_none")


def carrying_words(item: Facts) -> str:
    """Why a weak point still carries risk: no look sees it, or which looks nobody took."""
    if item["no_look_can_see"]:
        return tell("blind")
    return tell("looks_left", looks=", ".join(item["not_looked_at"])) if item["not_looked_at"] else ""


def dropped_words(item: Facts) -> str:
    """What an earlier assessment found."""
    told = {"name": item["name"], "result": item["result"], "number": str(item["number"]), "now": item["now"]}
    return tell("dropped", day=fmt.day(datetime.fromisoformat(item["made_at"]).date()), **told)
