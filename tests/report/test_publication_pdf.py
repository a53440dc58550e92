"""The listing sheet, the badge and the structured data: nothing left out, nothing taken for markup."""

from __future__ import annotations

import io
import json
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from riskapi.report.badge import badge_svg
from riskapi.report.language import LANGUAGES, speaking
from riskapi.report.publication import card
from riskapi.report.publication_pdf import listing_sheet
from riskapi.report.qr import qr_svg
from riskapi.report.structured import structured
from tests.report import builders
from tests.report.test_samples import SAMPLES, assessed

PAGE = "https://cars.example/p/" + "x" * 43
HOSTILE = "<b>Lap</b>&amp;\"'<script>wing</script>"


def facts(**more: Any) -> dict[str, Any]:
    found = {"check": "a", "name": HOSTILE, "result": "wet", "reading": "", "told_by": ""}
    left = {"check": "b", "name": "Look at the sump", "reason": "Not reachable."}
    carrying = {"name": HOSTILE, "not_sound": 0.3, "words": "about 30 of 100", "no_look_can_see": True}
    usual = {
        "engine": HOSTILE,
        "as_of": "2026-03-14",
        "odometer_km": 138000,
        "built": None,
        "registered": "2012-05-01",
        "vin_tail": None,
        "vin_erased": False,
        "core_done": 3,
        "core_total": 10,
        "stood_out": [found],
        "nothing_stood_out": [],
        "not_looked_at": [left],
        "without_weight": [],
        "carries_the_risk": [{**carrying, "weak_point": "c", "not_looked_at": []}],
        "fixed": [{"amount": 500.0, "years": 2.0, "probability": 0.5, "words": "about 50 of 100 need more than 500"}],
        "judgement_share": 1.0,
        "dropped": [],
        "asking_price": None,
    }
    return {**usual, **more}


def told(**more: Any) -> dict[str, Any]:
    live = {"standing": "live", "withdrawn_at": None, "newer_assessment_at": None, "looked_by": "seller"}
    return {**live, "published_at": "2026-03-14T10:00:00Z", "age": {"stale": False}, "facts": facts(), **more}


def text_of(data: bytes) -> str:
    return " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages).split())


@pytest.mark.parametrize("language", LANGUAGES)
def test_what_is_written_is_shown_as_it_is(language: str) -> None:
    sheet = listing_sheet(facts(), "seller", PAGE, "how to check", language)
    text = text_of(sheet)
    assert HOSTILE in text
    assert "how to check" in text
    assert PAGE in text.replace(" ", "")
    assert sheet == listing_sheet(facts(), "seller", PAGE, "how to check", language)


@pytest.mark.parametrize(("count", "pages"), [(5, 1), (40, 1), (400, 2)])
def test_it_gets_smaller_until_it_is_one_page_and_leaves_nothing_out(count: int, pages: int) -> None:
    many = [{"check": str(n), "name": f"Look {n:03d} at it", "reason": "Not reachable."} for n in range(count)]
    sheet = listing_sheet(facts(not_looked_at=many), "inspector", PAGE, "mark", "en")
    assert (len(PdfReader(io.BytesIO(sheet)).pages) == 1) == (pages == 1)
    text = text_of(sheet)
    assert all(item["name"] in text for item in many)


def test_that_nothing_stood_out_is_said_only_where_somebody_looked() -> None:
    found = facts()["stood_out"]
    cases = [([], [], "Nothing was looked at."), ([], found, "Nothing stood out. Checks that were done: 1."),
             (found, found, "Checks in which nothing stood out: 1;")]  # fmt: skip
    for stood_out, quiet, words in cases:
        sheet = listing_sheet(facts(stood_out=stood_out, nothing_stood_out=quiet), "seller", PAGE, "mark", "en")
        assert words in text_of(sheet)


def test_danger_stands_above_all_else() -> None:
    sheet = listing_sheet(facts(danger="A pipe leaks: this can start a fire."), "seller", PAGE, "mark", "en")
    text = text_of(sheet)
    assert text.index("Do not drive it. A pipe leaks: this can start a fire.") < text.index("What surprise repairs")
    assert "Do not drive" not in text_of(listing_sheet(facts(), "seller", PAGE, "mark", "en"))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_the_card_of_a_sample_is_one_page_and_names_every_act_once(path: Path) -> None:
    assessment, case, pack = assessed(path)
    shown = card(assessment, case, pack, (), "en", builders.CREATED) | {"vin_tail": None, "vin_erased": False}
    sheet = listing_sheet(shown, "inspector", PAGE, "mark", "en")
    assert len(PdfReader(io.BytesIO(sheet)).pages) == 1
    left = [item["check"] for item in shown["not_looked_at"]]
    assert len(left) == len(set(left))
    assert not [name for name in left if pack.check(name).part_of in left]
    assert (shown["danger"] != "") == (assessment.decision.advice == "do_not_drive")


@pytest.mark.parametrize(
    "standing",
    [
        {},
        {"standing": "withdrawn", "withdrawn_at": "2026-04-01T00:00:00Z"},
        {"standing": "superseded"},
        {"age": {"stale": True}},
        {"newer_assessment_at": "2026-04-01T00:00:00Z"},
    ],
)
@pytest.mark.parametrize("language", LANGUAGES)
def test_a_badge_has_three_lines_of_facts_that_fit(language: str, standing: dict[str, Any]) -> None:
    with speaking(language):
        image = ET.fromstring(badge_svg(told(**standing)))  # noqa: S314 (made here)
    lines = [item.text or "" for item in image.iter("{http://www.w3.org/2000/svg}text")]
    assert len(lines) == 3
    assert all(0 < len(line) <= 46 for line in lines)
    assert not [item for item in image.iter() if item.tag.endswith(("script", "image", "foreignObject"))]


def test_a_code_is_an_image_with_a_title() -> None:
    image = ET.fromstring(qr_svg(PAGE, "where it is"))  # noqa: S314 (made here)
    assert image.findtext("{http://www.w3.org/2000/svg}title") == "where it is"


def test_structured_data_has_what_is_known_only() -> None:
    data = structured(told(), PAGE)
    assert "offers" not in data
    assert "productionDate" not in data
    assert data["dateVehicleFirstRegistered"] == "2012-05-01"
    priced = structured(told(facts=facts(asking_price={"amount": 6400.0, "currency": "EUR"})), PAGE)
    assert priced["offers"] == {"@type": "Offer", "price": 6400.0, "priceCurrency": "EUR", "url": PAGE}
    assert "rating" not in json.dumps(priced).lower()
