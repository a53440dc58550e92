"""The listing sheet: what a publication shows, on one page for a windscreen or a listing, with a code of its page."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from io import BytesIO

from reportlab.lib.pagesizes import A4
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageTemplate, Spacer

from riskapi.report import format as fmt
from riskapi.report import look
from riskapi.report.charts import chance_cell
from riskapi.report.language import speaking
from riskapi.report.pdf_blocks import BULLET, alarm
from riskapi.report.publication_texts import tell
from riskapi.report.publication_words import (
    Facts,
    carrying_words,
    dropped_words,
    found_words,
    quiet_words,
    unsaid,
    vin_words,
)
from riskapi.report.qr import qr_picture
from riskapi.report.room import height_of
from riskapi.report.rows import Rows
from riskapi.report.sections import Chance
from riskapi.report.tagging import TaggedCanvas
from riskapi.report.typeset import Plain

SCALES = (1.0, 0.92, 0.84, 0.76, 0.68, 0.6)  # smaller until it is one page; nothing is ever left out
UNSAID_COLUMNS = 3
_MARGIN = 16 * mm
_WIDTH = A4[0] - 2 * _MARGIN
_HEIGHT = A4[1] - 32 * mm
_GAP = 8 * mm
_QR = 34 * mm
_COLUMN = (_WIDTH - _GAP) / 2


def listing_sheet(facts: Facts, looked_by: str, page: str, mark: str, language: str) -> bytes:
    """The sheet as PDF bytes: `facts` as card() makes them, `page` is the address of the live page, `mark` the line on
    how to check the sheet."""
    look.register_fonts()
    with speaking(language):
        return _drawn(_fitting(facts, looked_by, page), facts["engine"], mark, language)


def _fitting(facts: Facts, looked_by: str, page: str) -> list[Flowable]:
    """The story in the largest type in which it is one page."""
    for scale in SCALES:
        story = _Sheet(facts, scale).story(looked_by, page)
        if sum(height_of(item, _WIDTH) for item in story) <= _HEIGHT:
            break
    return story


def _drawn(story: list[Flowable], engine: str, mark: str, language: str) -> bytes:
    buffer = BytesIO()
    document = BaseDocTemplate(
        buffer,
        pagesize=A4,
        title=look.printable(f"{tell('title')}: {engine}"),
        author="riskapi",
        lang=language,
        displayDocTitle=1,
        invariant=1,
        pageCompression=1,
    )
    frame = Frame(_MARGIN, 20 * mm, _WIDTH, _HEIGHT, 0, 0, 0, 0, id="body")
    document.addPageTemplates(PageTemplate("page", [frame], onPageEnd=_foot(mark)))
    document.build(story, canvasmaker=TaggedCanvas)
    return buffer.getvalue()


def _foot(mark: str) -> Callable[[Canvas, BaseDocTemplate], None]:
    def paint(canvas: Canvas, _document: BaseDocTemplate) -> None:
        line = Plain(mark, look.TEXT_STYLES["small"])
        _, height = line.wrap(_WIDTH, 20 * mm)
        line.drawOn(canvas, _MARGIN, 17 * mm - height)

    return paint


class _Sheet:
    """The story of a sheet at one size of type."""

    def __init__(self, facts: Facts, scale: float) -> None:
        self.facts, self.scale = facts, scale

    def story(self, looked_by: str, page: str) -> list[Flowable]:
        left, right = [*self._stood_out(), *self._void(), *self._dropped()], self._carries()
        columns = Rows([_COLUMN, _GAP, _COLUMN], [[left, [], right]], pad=(0, 0), rule=None)
        return [self._head(looked_by, page), *self._danger(), *self._fixed(), columns, *self._not_looked()]

    def text(self, words: str, style: ParagraphStyle, bullet: str = "") -> Plain:
        return Plain(words, self._sized(style), bullet=bullet)

    def _sized(self, style: ParagraphStyle) -> ParagraphStyle:
        sizes = {
            name: getattr(style, name) * self.scale for name in ("fontSize", "leading", "spaceBefore", "spaceAfter")
        }
        return ParagraphStyle(f"{style.name}_{self.scale}", parent=style, **sizes)

    def heading(self, key: str) -> Plain:
        return self.text(tell(key), look.HEADING)

    def bullets(self, lines: Sequence[str]) -> list[Flowable]:
        return [self.text(line, look.BULLET, BULLET) for line in lines]

    def _head(self, looked_by: str, page: str) -> Flowable:
        facts = self.facts
        wide = _WIDTH - _QR - 6 * mm
        rows = [
            (tell("fact_date"), fmt.day(date.fromisoformat(facts["as_of"]))),
            (tell("fact_odometer"), fmt.distance(facts["odometer_km"])),
            (tell("fact_looked"), tell(f"looked_{looked_by}")),
            (tell("fact_vin"), vin_words(facts)),
            (tell("fact_core"), tell("core", done=str(facts["core_done"]), total=str(facts["core_total"]))),
        ]
        pairs = [[[self.text(name, look.LABEL)], [self.text(said, look.VALUE)]] for name, said in rows]
        words: list[Flowable] = [
            self.text(tell("title"), look.TITLE),
            self.text(facts["engine"], look.TEXT_STYLES["headline"]),
            Rows([wide * 0.27, wide * 0.73], pairs, pad=(0, 0.6), rule=None),
            Spacer(1, 4),
            self.text(tell("scope"), look.TEXT_STYLES["small"]),
        ]
        code: list[Flowable] = [
            qr_picture(page, _QR),
            self.text(page, look.TEXT_STYLES["small"]),
            self.text(tell("live"), look.TEXT_STYLES["small"]),
        ]
        return Rows([wide, 6 * mm, _QR], [[words, [], code]], pad=(0, 0), rule=None)

    def _danger(self) -> list[Flowable]:
        """What may not be driven, first of all."""
        danger = self.facts.get("danger", "")
        return [*alarm(tell("danger")), self.text(danger, look.TEXT_STYLES["body"])] if danger else []

    def _fixed(self) -> list[Flowable]:
        rows: list[list[list[Flowable]]] = [
            [[self.text(item["words"], look.CELL)], [chance_cell(_chance(item["probability"]), _WIDTH * 0.4)]]
            for item in self.facts["fixed"]
        ]
        bars = Rows([_WIDTH * 0.6, _WIDTH * 0.4], rows, pad=(0, 1), rule=None)
        share = fmt.percent(self.facts["judgement_share"])
        notes = f"{tell('fixed_intro')} {tell('judgement', share=share)}"
        return [self.heading("h_fixed"), bars, self.text(notes, look.TEXT_STYLES["small"])]

    def _stood_out(self) -> list[Flowable]:
        found = self.bullets([found_words(item) for item in self.facts["stood_out"]])
        return [self.heading("h_stood_out"), *found, self.text(quiet_words(self.facts), look.TEXT_STYLES["body"])]

    def _void(self) -> list[Flowable]:
        void = [f"{item['name']}. {item['reason']}" for item in self.facts["without_weight"]]
        return [self.heading("h_void"), *self.bullets(void)] if void else []

    def _not_looked(self) -> list[Flowable]:
        """What nobody looked at: with its reason where one was given, the others in columns, so that they all fit."""
        stated = [f"{item['name']}. {item['reason']}" for item in self.facts["not_looked_at"] if item["reason"]]
        names = unsaid(self.facts)
        if not stated and not names:
            return [self.heading("h_not_looked"), self.text(tell("none_not_looked"), look.TEXT_STYLES["body"])]
        drawn = [self.heading("h_not_looked"), *self.bullets(stated)]
        if names:
            drawn += [self.text(tell("unstated_intro"), look.TEXT_STYLES["body"]), self._columns(names)]
        return drawn

    def _columns(self, names: Sequence[str]) -> Flowable:
        each = -(-len(names) // UNSAID_COLUMNS)
        cells = [
            [self.text(name, look.SMALL_BULLET, BULLET) for name in names[start : start + each]]
            for start in range(0, each * UNSAID_COLUMNS, each)
        ]
        return Rows([_WIDTH / UNSAID_COLUMNS] * UNSAID_COLUMNS, [cells], pad=(0, 0), rule=None)

    def _carries(self) -> list[Flowable]:
        drawn: list[Flowable] = [self.heading("h_carries"), self.text(tell("carries_intro"), look.TEXT_STYLES["small"])]
        for item in self.facts["carries_the_risk"]:
            drawn += [
                self.text(item["name"], look.TOTAL),
                chance_cell(_chance(item["not_sound"]), _COLUMN),
                self.text(carrying_words(item), look.TEXT_STYLES["small"]),
            ]
        return drawn

    def _dropped(self) -> list[Flowable]:
        lines = [dropped_words(item) for item in self.facts["dropped"]]
        return [self.heading("h_dropped"), *self.bullets(lines)] if lines else []


def _chance(share: float) -> Chance:
    return Chance(share, fmt.percent(share))
