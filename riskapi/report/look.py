"""How the report looks: one typeface shipped with the package, one hue, styles, and safe text for reportlab."""

from __future__ import annotations

from functools import cache
from importlib.resources import as_file, files
from xml.sax.saxutils import escape

from reportlab.lib.colors import Color, HexColor
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

REGULAR, BOLD = "RiskapiText", "RiskapiTextBold"
_FILES = {REGULAR: "DejaVuSansCondensed.ttf", BOLD: "DejaVuSansCondensed-Bold.ttf"}
_MISSING = "\u25a1"

INK = HexColor("#1f2a37")
QUIET = HexColor("#5b6775")
HUE = HexColor("#2f5f8f")
TINT = HexColor("#dce6f0")
SHADE = HexColor("#c3d5e8")
PALE = HexColor("#f3f6fa")
RULE = HexColor("#c3ccd7")
WHITE = HexColor("#ffffff")

MARGIN = 20 * mm


@cache
def register_fonts() -> frozenset[int]:
    """Make the shipped typeface known to reportlab, once; returns the code points that it can show."""
    covered: list[set[int]] = []
    for name, filename in _FILES.items():
        with as_file(files("riskapi.report") / "fonts" / filename) as path:
            font = TTFont(name, str(path))
        pdfmetrics.registerFont(font)
        covered.append(set(font.face.charToGlyph))
    pdfmetrics.registerFontFamily(REGULAR, normal=REGULAR, bold=BOLD, italic=REGULAR, boldItalic=BOLD)
    return frozenset(set.intersection(*covered))


def printable(text: str) -> str:
    """The text with a hollow square for every character that the typeface lacks."""
    covered = register_fonts()
    return "".join(c if ord(c) in covered or c == "\n" else _MISSING for c in text)


def safe(text: str) -> str:
    """Plain text as reportlab paragraph markup: nothing in it is taken for markup."""
    return escape(printable(text))


def _style(name: str, size: float, *, lead: float = 1.38, before: float = 0, after: float = 0, bold: bool = False,
           ink: Color = INK) -> ParagraphStyle:  # fmt: skip
    return ParagraphStyle(
        name,
        fontName=BOLD if bold else REGULAR,
        fontSize=size,
        leading=size * lead,
        spaceBefore=before,
        spaceAfter=after,
        textColor=ink,
        splitLongWords=True,
        allowWidows=0,
        allowOrphans=0,
    )


TITLE = _style("title", 10, bold=True, ink=HUE)
SUBJECT = _style("subject", 9, ink=QUIET, after=6)
HEADING = _style("heading", 12.5, bold=True, before=13, after=5, ink=HUE)
CELL = _style("cell", 8.6, lead=1.28)
CELL_RIGHT = ParagraphStyle("cell_right", parent=CELL, alignment=TA_RIGHT)
HEAD = _style("head", 8, lead=1.25, bold=True, ink=QUIET)
HEAD_RIGHT = ParagraphStyle("head_right", parent=HEAD, alignment=TA_RIGHT)
TOTAL = ParagraphStyle("total", parent=CELL, fontName=BOLD)
TOTAL_RIGHT = ParagraphStyle("total_right", parent=CELL_RIGHT, fontName=BOLD)
LABEL = _style("label", 9.2, ink=QUIET)
VALUE = _style("value", 9.2)
BULLET = ParagraphStyle("bullet", parent=_style("bullet_base", 9.6, after=2.5), leftIndent=11, bulletIndent=1)

TEXT_STYLES = {
    "headline": _style("headline", 19, lead=1.2, bold=True, before=6, after=6),
    "alarm": _style("alarm", 21, lead=1.2, bold=True, ink=WHITE),
    "lead": _style("lead", 11, after=5),
    "body": _style("body", 9.6, after=4),
    "small": _style("small", 8, ink=QUIET, after=3),
    "subheading": _style("subheading", 10.2, bold=True, before=8, after=4),
}
TEXT_STYLES["subheading"].keepWithNext = 1
