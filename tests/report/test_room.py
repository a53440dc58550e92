"""Nothing is left behind on a page: no heading alone at its foot, the first page of a buyer whole, no number torn."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader
from pypdf._page import PageObject
from reportlab.platypus import Spacer

from riskapi.report import look
from riskapi.report.content import build_report
from riskapi.report.edition import AtHand, Edition
from riskapi.report.pdf import draw
from riskapi.report.room import BEGINNING, WHOLE, Together, room_for
from riskapi.report.rows import Rows
from riskapi.report.sections import Report
from riskapi.report.typeset import Plain
from tests.report import builders
from tests.report.test_editions import photos
from tests.report.test_samples import SAMPLES, assessed

FOOT = 60.0  # what stands lower is the running foot [points]


def printed(path: Path, edition: Edition, language: str, pictures: bool) -> tuple[Report, PdfReader]:
    assessment, case, pack = assessed(path)
    if pictures:
        taken = iter(photos())
        case = replace(case, findings=tuple(replace(each, photos=(next(taken),)) for each in case.findings))
    report = build_report(
        assessment,
        case,
        pack,
        assessment_id=builders.IDENTIFIER,
        created_at=builders.CREATED,
        language=language,
        edition=edition,
        at_hand=AtHand(photos()),
    )
    return report, PdfReader(io.BytesIO(draw(report)))


def lines_of(page: PageObject) -> list[tuple[float, str]]:
    """Height and text of what stands on the page, the foot left out."""
    found: list[tuple[float, str]] = []

    def visit(text: str, cm: list[float], tm: list[float], _font: Any, _size: float) -> None:
        y = tm[4] * cm[1] + tm[5] * cm[3] + cm[5]
        if text.strip() and y > FOOT:
            found.append((y, text.strip()))

    page.extract_text(visitor_text=visit)
    return found


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("edition", [Edition(), Edition("inspector")], ids=["buyer", "inspector"])
@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_no_heading_stands_alone_at_the_foot_of_a_page(path: Path, edition: Edition, language: str) -> None:
    report, reader = printed(path, edition, language, pictures=False)
    headings = {section.heading for section in report.sections}
    for page in reader.pages:
        lowest = min(lines_of(page))
        assert lowest[1] not in headings


@pytest.mark.parametrize("pictures", [False, True], ids=["without", "with"])
@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_the_first_page_of_a_buyer_is_whole(path: Path, language: str, pictures: bool) -> None:
    """What to do, price, reasons, next look, what no look can see, and how much is judgement stand on page one."""
    report, reader = printed(path, Edition(), language, pictures)
    first = re.sub(r"\s+", " ", reader.pages[0].extract_text())
    known = next(section for section in report.sections if section.id == "known")
    assert known.heading in first
    last = {"en": "as unknown, not as sound.", "de": "als unbekannt ein, nicht als in Ordnung."}[language]
    assert last in first
    opening = [section for section in report.sections[: report.sections.index(known)] if section.id != "advice"]
    assert all(section.heading in first for section in opening)


def test_a_short_section_wants_all_its_room_a_long_one_its_beginning() -> None:
    look.register_fonts()
    heading, line = Spacer(1, 20), Plain("word", look.CELL)
    assert room_for([heading, line], 400.0) == pytest.approx(20 + look.CELL.leading)
    row = [[Plain("word", look.CELL)]]
    table = Rows([400.0], [row] * 60, row, pad=(0, 0))
    assert room_for([heading, table], 400.0) == 20 + BEGINNING
    picture = Together([Spacer(1, WHOLE), Spacer(1, 50)])
    assert room_for([heading, picture], 400.0) == 20 + WHOLE + 50


def test_the_first_rows_of_a_table_are_not_left_without_room() -> None:
    look.register_fonts()
    tall = [[Spacer(1, 90)]]
    table = Rows([400.0], [tall] * 9, pad=(0, 0), keep=2)
    assert room_for([table], 400.0) == 180
