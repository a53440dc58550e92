"""Text set in lines: nothing lost, nothing over the edge."""

from __future__ import annotations

import io

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader
from reportlab.pdfgen.canvas import Canvas

from riskapi.report.charts import text_width
from riskapi.report.look import BOLD, CELL, TEXT_STYLES, register_fonts
from riskapi.report.typeset import Plain, lines_of

BODY = TEXT_STYLES["body"]
register_fonts()
WORDS = st.lists(
    st.text(st.characters(codec="latin-1", categories=["L", "N", "P"]), min_size=1, max_size=60), max_size=40
)


def told(text: str, width: float, lead: str = "") -> list[str]:
    return ["".join(part for _, part in line) for line in lines_of(text, BODY, width, lead)]


@given(WORDS, st.floats(40.0, 500.0))
def test_every_letter_is_set_once_in_order_and_no_line_is_too_wide(words: list[str], width: float) -> None:
    lines = told(" ".join(words), width)
    assert "".join(lines).replace(" ", "") == "".join(words)
    assert all(text_width(line, BODY.fontSize) <= width + 0.01 for line in lines)


def test_a_lead_is_bold_and_stands_first() -> None:
    first = lines_of("It fails.", BODY, 400.0, "Chain tensioner.")[0]
    assert first == ((BOLD, "Chain tensioner."), (BODY.fontName, " It fails."))


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("It carries 16 % of it", ["It carries", "16 % of it"]),
        ("It costs 1,240 EUR now", ["It costs", "1,240 EUR now"]),
        ("It holds 3 years now", ["It holds", "3 years now"]),
        ("Page P0016 reads it", ["Page P0016", "reads it"]),
        ("3 Verkleidungen", ["3", "Verkleidungen"]),
    ],
)
def test_no_line_ends_between_a_number_and_what_it_counts(text: str, lines: list[str]) -> None:
    width = max(text_width(line, BODY.fontSize) for line in lines) + 0.5
    assert told(text, width) == lines


def test_a_number_and_its_unit_part_where_they_are_wider_than_the_line() -> None:
    assert told("1,240 EUR", text_width("1,240", BODY.fontSize) + 1) == ["1,240", "EUR"]


def test_nothing_is_taken_for_markup_and_what_the_typeface_lacks_is_a_square() -> None:
    assert told("<b>5 < 6 & 7</b> 中", 400.0) == ["<b>5 < 6 & 7</b> □"]


def test_a_paragraph_breaks_over_pages_without_a_line_alone() -> None:
    paragraph = Plain("word " * 200, CELL)
    lines = len(paragraph.lines(200.0))
    first, second = paragraph.split(200.0, 5.5 * CELL.leading)
    assert (len(first.lines(200.0)), len(second.lines(200.0))) == (5, lines - 5)
    assert paragraph.split(200.0, 1.5 * CELL.leading) == []
    short = Plain("word " * 60, CELL)
    count = len(short.lines(200.0))
    assert len(short.split(200.0, (count - 0.5) * CELL.leading)[1].lines(200.0)) == 2


def test_lines_are_read_with_a_space_between_them_and_a_word_that_is_cut_in_one_piece() -> None:
    """A digest that goes over two lines can be searched for and copied."""
    buffer = io.BytesIO()
    canvas = Canvas(buffer, invariant=1)
    digest = "0123456789abcdef" * 4
    paragraph = Plain(f"two words and {digest}", BODY)
    paragraph.wrap(120.0, 800.0)
    paragraph.drawOn(canvas, 20.0, 700.0)
    canvas.save()
    streams = PdfReader(io.BytesIO(buffer.getvalue())).pages[0]
    drawn: list[str] = []
    streams.extract_text(visitor_text=lambda text, *_: drawn.append(text))
    assert digest in "".join(drawn).replace("\n", "")
    assert "two words and " in "".join(drawn).replace("\n", "")
