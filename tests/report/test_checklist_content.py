"""The checklist in words, as text and as PDF."""

from __future__ import annotations

import json
from io import BytesIO
from typing import Any

import pytest
from pypdf import PdfReader

from riskapi import service
from riskapi.domain.knowledge import Pack
from riskapi.intake import case_from_json
from riskapi.report.checklist_content import checklist_report
from riskapi.report.pdf import draw
from riskapi.report.plain import plain_text
from riskapi.report.sections import Report
from tests.conftest import ROOT
from tests.domain.listings import listing

WORKSHOP = {"equipment": "workshop", "minutes": 300, "consents": ["ask", "written"], "place": "a <workshop> & yard"}
FORBIDDEN = ("certificate", "guarantee", "inspection passed", "valuation", "P10", "deciban", "void")


def report(pack: Pack, case: dict[str, Any]) -> Report:
    read = case_from_json(case, pack)
    return checklist_report(service.checklist(read, pack), read, pack)


@pytest.fixture(scope="module")
def workshop(shipped: Pack) -> Report:
    engine = {"family": "dunlin", "revision": "dunlin_1a"}
    case = listing(engine, **WORKSHOP) | {"reference": "listing 17 & <b>"}
    case["vehicle"] |= {"first_registered": None}
    del case["vehicle"]["first_registered"]
    return report(shipped, case)


def test_the_sections_in_order(workshop: Report) -> None:
    assert [section.id for section in workshop.sections] == [
        "visit", "list", "ask", "papers", "bring", "checks", "unseen", "left_out", "cautions", "assumptions", "scope",
    ]  # fmt: skip


def test_the_text_says_what_to_do_and_in_plain_words(workshop: Report) -> None:
    text = plain_text(workshop)
    for words in (
        "In 10 minutes:",
        "In the workshop:",
        "Please leave the engine cold",
        "Counts only with",
        "Write down",
    ):
        assert words in text
    for word in FORBIDDEN:
        assert word not in text
    assert "_" not in text.replace("lapwing_", "")


def test_thresholds_in_words(shipped: Pack) -> None:
    text = plain_text(report(shipped, listing(minutes=60, equipment="generic_scan_tool", consents=["ask"])))
    flat = " ".join(text.split())
    assert "No unusual sound below 1 s; rattle up to 3 s from 1 s to 3 s; rattle over 3 s from 3 s" in flat
    assert "(common practice, no source)" in flat


def test_compression_is_told_as_a_share_of_the_best(workshop: Report) -> None:
    flat = " ".join(plain_text(workshop).split())
    if "Measure the compression" in flat:
        assert "lowest cylinder against the highest: one cylinder below 75 % of the best below 75 %" in flat


def test_the_pdf_holds_every_check_and_caution(workshop: Report) -> None:
    pages = PdfReader(BytesIO(draw(workshop))).pages
    text = " ".join(" ".join(page.extract_text() for page in pages).split())
    assert len(pages) > 2
    for words in (
        "Check by check",
        "What to bring",
        "listing 17 & <b>",
        "a <workshop> & yard",
        "Nobody goes under a car",
    ):
        assert words in text
    names = [block.text for section in workshop.sections if section.id == "checks" for block in section.blocks
             if hasattr(block, "text")]  # fmt: skip
    assert names
    for name in names:
        assert name in text


def test_the_same_checklist_gives_the_same_bytes(workshop: Report) -> None:
    assert draw(workshop) == draw(workshop)


def test_where_nothing_can_be_done_it_says_so(shipped: Pack) -> None:
    case = json.loads((ROOT / "sample_requests" / "before_the_visit.json").read_text("utf-8"))
    case["visit"]["minutes"]["value"] = 0.5
    text = plain_text(report(shipped, case))
    assert "nothing that these limits allow is worth doing" in text
