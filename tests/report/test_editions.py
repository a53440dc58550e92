"""Printed editions at their largest: 40 findings, 30 photos, the longest names, both languages; nothing cut off."""

from __future__ import annotations

import io
import random
import re
import time
from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from PIL import Image
from pypdf import PdfReader
from pypdf._page import PageObject

from riskapi import service
from riskapi.catalogue.load import load_pack
from riskapi.domain.assessment import Assessment
from riskapi.domain.case import Case
from riskapi.domain.knowledge import Pack
from riskapi.intake import case_from_json
from riskapi.report.clipboard import call_sheet, clipboard_report
from riskapi.report.edition import AtHand, Edition
from riskapi.report.look import MARGIN
from riskapi.report.pdf import draw
from riskapi.report.sections import Letterhead
from tests.conftest import ROOT
from tests.report import builders
from tests.report.printing import render_pdf

LONG = "Verbindungsstelle der Kurbelgehäuseentlüftungsleitung am Ladeluftkühlerzwischenflansch, hinten unten rechts"
EDITIONS = (Edition(), Edition("inspector"), Edition("inspector", price=False), Edition(price=False))


@cache
def photos() -> dict[str, bytes]:
    """30 pictures as they are kept: 1,600 pixels and full of detail."""
    made = {}
    for number in range(30):
        data = random.Random(number).randbytes(160 * 120 * 3)
        picture = Image.frombytes("RGB", (160, 120), data).resize((1600, 1200), Image.Resampling.BICUBIC)
        out = io.BytesIO()
        picture.save(out, "JPEG", quality=80)
        made[f"photo{number}"] = out.getvalue()
    return made


@cache
def largest() -> tuple[Assessment, Case, Pack]:
    """A car on which 40 checks were done, 30 of them with a picture and a remark."""
    pack = load_pack(ROOT / "knowledge")
    # the first result is that of a sound engine, so that all hang together
    done = [check for check in pack.checks if check.part_of is None and check.from_case is None][:40]
    findings: list[dict[str, Any]] = [{"check": check.id, "result": check.results[0].id} for check in done]
    for number, finding in enumerate(findings[:30]):
        finding |= {"photos": [f"photo{number}"], "note": LONG}
    body = {
        "as_of": "2026-03-14",
        "vehicle": {
            "engine": {"family": "lapwing"},
            "first_registered": "2012-04-20",
            "odometer": {"value": 138000, "unit": "km"},
            "moves_under_own_power": True,
        },
        "visit": {"place": LONG, "light": LONG, "weather": LONG, "commission": LONG, "client": LONG},
        "findings": findings,
        "market": {"sound_value": {"value": 5800, "unit": "EUR"}, "asking_price": {"value": 5400, "unit": "EUR"}},
        "reference": LONG,
    }
    case = case_from_json(body, pack)
    return service.assess(case, pack, nodes=1), case, pack


def renamed(pack: Pack) -> Pack:
    """Every weak point, check and zone by the longest of names."""
    checks = tuple(replace(check, name=f"{check.name} {LONG}") for check in pack.checks)
    points = tuple(replace(point, name=f"{point.name} {LONG}") for point in pack.weak_points)
    symptoms = tuple(replace(symptom, name=f"{symptom.name} {LONG}") for symptom in pack.symptoms)
    return replace(pack, checks=checks, weak_points=points, symptoms=symptoms)


def printed(edition: Edition, language: str = "en") -> bytes:
    assessment, case, pack = largest()
    at = {"assessment_id": builders.IDENTIFIER, "created_at": builders.CREATED, "language": language}
    points = tuple(replace(point, name=f"{point.name} {LONG}") for point in assessment.weak_points)
    long = replace(assessment, weak_points=points)
    return render_pdf(long, case, renamed(pack), **at, edition=edition, at_hand=AtHand(photos()))  # type: ignore[arg-type]


def over_the_edge(page: PageObject) -> list[str]:
    """Texts that begin outside the margins of the page."""
    found = []

    def visit(text: str, cm: list[float], tm: list[float], _font: Any, _size: float) -> None:
        x = tm[4] * cm[0] + tm[5] * cm[2] + cm[4]
        y = tm[4] * cm[1] + tm[5] * cm[3] + cm[5]
        if (x, y) == (0.0, 0.0) and text.strip().isdigit():
            return  # the number of pages, a form that is set in place as a whole
        if text.strip() and not (MARGIN - 1 <= x <= 595.3 - MARGIN + 1 and 20 <= y <= 842 - 30):
            found.append(f"{x:.0f} {y:.0f} {text}")

    page.extract_text(visitor_text=visit)
    return found


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("edition", EDITIONS)
def test_forty_findings_thirty_photos_and_the_longest_names(edition: Edition, language: str) -> None:
    photos(), largest()
    start = time.process_time()
    data = printed(edition, language)
    assert time.process_time() - start < 5.0
    assert len(data) < 10_000_000
    reader = PdfReader(io.BytesIO(data))
    assert reader.root_object["/Lang"] == language
    assert sum(len(page.images) for page in reader.pages) >= 30
    told = re.sub(r"\s+", "", "".join(page.extract_text() for page in reader.pages))
    assert told.count(LONG.replace(" ", "")) > 30
    assert len(reader.outline) > 10


@pytest.mark.parametrize("edition", EDITIONS[:2])
def test_nothing_begins_over_the_edge(edition: Edition) -> None:
    for page in PdfReader(io.BytesIO(printed(edition))).pages:
        assert over_the_edge(page) == []


def test_the_same_input_prints_the_same_bytes_with_photos() -> None:
    assert printed(EDITIONS[1]) == printed(EDITIONS[1])


def test_a_client_reads_what_was_not_seen_before_anything_else() -> None:
    head = Letterhead("Engines looked at", ("7 Quay Lane",))
    first = PdfReader(io.BytesIO(printed(Edition("inspector", letterhead=head)))).pages[0].extract_text()
    wanted = [
        "Engines looked at",
        "7 Quay Lane",
        "Commission",
        "Light",
        "valid at this moment",
        "Refused, not reachable",
    ]
    places = [re.sub(r"\s+", " ", first).index(words) for words in wanted]
    assert places == sorted(places)


def test_the_signature_says_how_many_results_it_stands_for() -> None:
    told = re.sub(r"\s+", " ", "".join(p.extract_text() for p in PdfReader(io.BytesIO(printed(EDITIONS[1]))).pages))
    assert re.search(r"The signature stands for the results above \(4\d\)", told)
    assert "It does not stand for advice, chances, costs or prices" in told


@pytest.mark.parametrize("language", ["en", "de"])
def test_a_photo_that_is_gone_leaves_a_frame_that_says_so(language: str) -> None:
    assessment, case, pack = largest()
    at = {"assessment_id": builders.IDENTIFIER, "created_at": builders.CREATED, "language": language}
    data = render_pdf(assessment, case, pack, **at, edition=EDITIONS[1])  # type: ignore[arg-type]
    told = "".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages)
    assert told.count({"en": "picture not at hand", "de": "Bild nicht zur Hand"}[language]) == 30


# ---- the sheets ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("language", ["en", "de"])
def test_the_clipboard_has_every_check_with_its_own_words_in_the_order_of_the_visit(language: str) -> None:
    pack = load_pack(ROOT / "knowledge")
    _, case, _ = largest()
    case = replace(case, findings=())
    made = service.checklist(case, pack, nodes=1)
    reader = PdfReader(
        io.BytesIO(draw(clipboard_report(made, case, pack, language=language, link="https://cars.example")))
    )
    told = re.sub(r"\s+", " ", "".join(page.extract_text() for page in reader.pages))
    for page in reader.pages:
        assert over_the_edge(page) == []
    if language == "en":
        places = [told.index(f"{k}. {pack.check(look.check).name}") for k, look in enumerate(made.looks, 1)]
        assert places == sorted(places)
        for look in made.looks:
            assert all(result.name in told for result in pack.check(look.check).results)
    else:
        assert "Ring the word" not in told
    call = PdfReader(io.BytesIO(draw(call_sheet(made, case, pack, language=language))))
    assert 1 <= len(call.pages) <= 3
    assert all(over_the_edge(page) == [] for page in call.pages)
