"""How the report looks: one typeface shipped with the package, one hue, styles, and safe text for reportlab."""

from __future__ import annotations

from functools import cache
from importlib.resources import as_file, files

from reportlab import rl_config
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
MIST = HexColor("#e9eff6")
TINT = HexColor("#dce6f0")
SHADE = HexColor("#c3d5e8")
PALE = HexColor("#f3f6fa")
RULE = HexColor("#c3ccd7")
WHITE = HexColor("#ffffff")

MARGIN = 17 * mm


@cache
def register_fonts() -> frozenset[int]:
    """Make the shipped typeface known to reportlab, once; returns what it can show as code points, line ends too."""
    rl_config.useA85 = 0  # streams as they are: text encoding would make them a quarter longer
    covered: list[set[int]] = []
    for name, filename in _FILES.items():
        with as_file(files("riskapi.report") / "fonts" / filename) as path:
            font = TTFont(name, str(path))
        pdfmetrics.registerFont(font)
        covered.append(set(font.face.charToGlyph))
    pdfmetrics.registerFontFamily(REGULAR, normal=REGULAR, bold=BOLD, italic=REGULAR, boldItalic=BOLD)
    return frozenset(set.intersection(*covered) | {ord("\n")})


def printable(text: str) -> str:
    """The text with a hollow square for every character that the typeface lacks."""
    covered = register_fonts()
    if covered.issuperset(map(ord, text)):
        return text
    return "".join(c if ord(c) in covered else _MISSING for c in text)


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
SUBJECT = _style("subject", 8.6, ink=QUIET, after=4)
HEADING = _style("heading", 12, lead=1.3, bold=True, before=9, after=3, ink=HUE)
CELL = _style("cell", 8.2, lead=1.21)
CELL_RIGHT = ParagraphStyle("cell_right", parent=CELL, alignment=TA_RIGHT)
CELL_NAME = ParagraphStyle("cell_name", parent=CELL, rightIndent=8)
BRIEF = _style("brief", 7.8, lead=1.2)
BRIEF_RIGHT = ParagraphStyle("brief_right", parent=BRIEF, alignment=TA_RIGHT)
HEAD = _style("head", 7.6, lead=1.2, bold=True, ink=QUIET)
HEAD_RIGHT = ParagraphStyle("head_right", parent=HEAD, alignment=TA_RIGHT)
TOTAL = ParagraphStyle("total", parent=CELL, fontName=BOLD)
TOTAL_RIGHT = ParagraphStyle("total_right", parent=CELL_RIGHT, fontName=BOLD)
LABEL = ParagraphStyle("label", parent=_style("label_base", 8.6, lead=1.25, ink=QUIET), rightIndent=8)
VALUE = _style("value", 8.6, lead=1.25)
BULLET = ParagraphStyle("bullet", parent=_style("bullet_base", 9, lead=1.3, after=2), leftIndent=10, bulletIndent=1)
SMALL_BULLET = ParagraphStyle(
    "small_bullet", parent=_style("small_bullet_base", 7.8, lead=1.22, after=1.2), leftIndent=8, bulletIndent=1
)
NAME = _style("name", 7.8, lead=1.2)
FORM = _style("form", 8, lead=1.24)
FORM_NAME = _style("form_name", 9.6, lead=1.26, bold=True)
AMOUNT = _style("amount", 26, lead=1.15, bold=True)
AMOUNT_NAME = _style("amount_name", 9.4, ink=QUIET)
CAPTION = _style("caption", 7.4, lead=1.2, ink=QUIET)
LETTER_NAME = _style("letter_name", 12, bold=True)
LETTER_LINE = _style("letter_line", 8.4, lead=1.25, ink=QUIET)

TEXT_STYLES = {
    "headline": _style("headline", 19, lead=1.18, bold=True, before=3, after=4),
    "alarm": _style("alarm", 20, lead=1.2, bold=True, ink=WHITE),
    "lead": _style("lead", 10.4, lead=1.3, after=4),
    "body": _style("body", 9, lead=1.32, after=3.5),
    "small": _style("small", 7.8, lead=1.25, ink=QUIET, after=2.5),
    "subheading": _style("subheading", 9.6, bold=True, before=6, after=3),
}
