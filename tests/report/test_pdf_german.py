"""The German PDF: marked as German, its text extractable, no word torn because its column is too narrow."""

from __future__ import annotations

import re
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader
from reportlab.pdfbase.pdfmetrics import stringWidth

from riskapi.report import look
from riskapi.report.checklist_content import checklist_report
from riskapi.report.content import build_report
from riskapi.report.language import LANGUAGES
from riskapi.report.pdf import WIDTH, draw
from riskapi.report.sections import Chance, Facts, Report, Table
from tests.report import builders
from tests.report.printing import render_pdf
from tests.report.test_samples import SAMPLES, assessed, listed

PADDING = 10.0  # of a cell, both sides [points]


@pytest.fixture(scope="module")
def printed() -> PdfReader:
    args = builders.assessment(), builders.case(), builders.pack()
    return PdfReader(
        BytesIO(render_pdf(*args, assessment_id=builders.IDENTIFIER, created_at=builders.CREATED, language="de"))
    )


def test_title_language_outline_and_page_numbers(printed: PdfReader) -> None:
    assert printed.metadata is not None
    assert str(printed.metadata.title).startswith("Motorbeurteilung: Tarnbeck Lapwing · 138.000 km · ")
    assert str(printed.metadata.title).endswith("3. November 2026")
    assert printed.root_object["/Lang"] == "de"
    assert [entry.title for entry in printed.outline][:2] == ["Was zu tun ist, und warum", "Preis"]
    for number, page in enumerate(printed.pages, start=1):
        assert f"Seite {number} von" in page.extract_text()


def test_text_comes_out_in_reading_order_with_its_umlauts(printed: PdfReader) -> None:
    told = re.sub(r"\s+", " ", printed.pages[0].extract_text())
    assert told.index("Von 100 Autos wie diesem") < told.index("Verlangter Preis") < told.index("Wie gut das bekannt")
    assert "für unerwartete Reparaturen" in told
    assert "□" not in told


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_no_word_is_torn(path: Path, language: str) -> None:
    assessment, case, pack = assessed(path)
    given = {"assessment_id": builders.IDENTIFIER, "created_at": builders.CREATED, "language": language}
    reports = [
        build_report(assessment, case, pack, **given),  # type: ignore[arg-type]
        checklist_report(listed(path), case, pack, language=language),
    ]
    look.register_fonts()
    assert [word for report in reports for word in too_wide(report)] == []
    assert all(draw(report).startswith(b"%PDF-") for report in reports)


def too_wide(report: Report) -> list[str]:
    """Words that do not fit into their column. Only at a space or after a hyphen may a line end."""
    found = []
    for section in report.sections:
        for block in section.blocks:
            if isinstance(block, Table):
                found += [word for k in range(len(block.columns)) for word in too_wide_in(block, k)]
            elif isinstance(block, Facts):
                for name, _ in block.rows:
                    found += wide(name, look.REGULAR, look.LABEL.fontSize, WIDTH * 0.36 - 6.0)
    return found


def too_wide_in(table: Table, k: int) -> list[str]:
    """Words of one column that do not fit into it; a total row is bold."""
    room = WIDTH * table.columns[k].width - PADDING
    found = wide(table.columns[k].title, look.BOLD, look.HEAD.fontSize, room)
    for number, row in enumerate(table.rows, start=1):
        bold = table.total_row and number == len(table.rows)
        cell = row[k]
        if not isinstance(cell, Chance):
            found += wide(cell, look.BOLD if bold else look.REGULAR, look.CELL.fontSize, room)
    return found


def wide(text: str, font: str, size: float, room: float) -> list[str]:
    return [word for word in re.findall(r"[^ ]+", text) if stringWidth(word, font, size) > room]
