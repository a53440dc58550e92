"""The PDF: what it says, that it is the same every time, and that nothing strange breaks it."""

from __future__ import annotations

import hashlib
import os
import pickle
import re
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from riskapi.domain.assessment import Assessment, Spread, YearCost
from riskapi.domain.case import Case, Finding
from riskapi.domain.knowledge import Pack
from riskapi.report import look
from tests.report import builders
from tests.report.printing import render_pdf


def render(assessment: Assessment, case: Case | None = None, pack: Pack | None = None) -> bytes:
    return render_pdf(
        assessment,
        case or builders.case(),
        pack or builders.pack(),
        assessment_id=builders.IDENTIFIER,
        created_at=builders.CREATED,
    )


def words_of(data: bytes) -> str:
    """All text of the PDF on one line."""
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in PdfReader(BytesIO(data)).pages))


def test_the_key_sentences_are_in_it() -> None:
    told = words_of(render(builders.assessment()))
    for sentence in (
        "Only at a price that pays for the risk.",
        "Of 100 cars like this about 38 need more than 1,200 EUR for surprise repairs of the engine in 3 years",
        "No surprise 41 %, typical if any 900 EUR, 1 in 10 above 3,800 EUR",
        "84 % of the lifetimes behind these numbers is judgement",
        "This covers the engine only",
        "Not checked is unknown, never sound.",
    ):
        assert sentence in told


def test_the_first_lines_are_the_advice() -> None:
    first = re.sub(r"\s+", " ", PdfReader(BytesIO(render(builders.dangerous()))).pages[0].extract_text())
    assert first.index("Do not drive it.") < first.index("Of 100 cars") < first.index("Asking price")


def test_title_language_outline_and_page_numbers() -> None:
    reader = PdfReader(BytesIO(render(builders.assessment())))
    assert reader.metadata is not None
    assert (
        reader.metadata.title
        == "Engine assessment: Tarnbeck Lapwing · 138,000 km · Silver estate, seen in the yard" + (" · 3 November 2026")
    )
    assert reader.root_object["/Lang"] == "en"
    assert [entry.title for entry in reader.outline][:2] == ["What to do, and why", "Price"]
    for number, page in enumerate(reader.pages, start=1):
        told = page.extract_text()
        assert f"Page {number} of" in told
        assert "Assessment 5f0c9a52 · the engine only" in told
        assert page.mediabox[2:] == pytest.approx([595.28, 841.89], abs=0.01)  # A4, ISO 216


def test_the_typeface_is_embedded() -> None:
    for page in PdfReader(BytesIO(render(builders.assessment()))).pages:
        for font in page["/Resources"]["/Font"].values():
            descriptor = font.get_object().get("/FontDescriptor")
            if descriptor is not None:
                assert "DejaVuSansCondensed" in descriptor["/FontName"]
                assert "/FontFile2" in descriptor


def test_the_typeface_covers_accented_latin_and_currency_signs() -> None:
    assert look.printable("€ £ Ł ő ß ñ Ž ø å ç — “ ” • − ×") == "€ £ Ł ő ß ñ Ž ø å ç — “ ” • − ×"
    assert look.printable("中") == "□"


@pytest.mark.parametrize("build", [builders.assessment, builders.dangerous, builders.nothing_seen])
def test_same_input_same_bytes(build: Callable[[], Assessment]) -> None:
    assert render(build()) == render(build())


def test_same_bytes_in_another_process(tmp_path: Path) -> None:
    stored = tmp_path / "records"
    stored.write_bytes(pickle.dumps((builders.assessment(), builders.case(), builders.pack())))
    program = (
        "import hashlib, pathlib, pickle, sys\n"
        "from tests.report.test_pdf import render\n"
        "records = pickle.loads(pathlib.Path(sys.argv[1]).read_bytes())\n"
        "print(hashlib.sha256(render(*records)).hexdigest())\n"
    )
    expected = hashlib.sha256(render(builders.assessment())).hexdigest()
    for seed in ("1", "2"):
        environment = {**os.environ, "PYTHONHASHSEED": seed, "TZ": "Pacific/Auckland"}
        done = subprocess.run(
            [sys.executable, "-c", program, str(stored)],
            env=environment,
            cwd=Path(__file__).parents[2],
            capture_output=True,
            text=True,
            check=True,
        )
        assert done.stdout.strip() == expected


def test_another_input_gives_other_bytes() -> None:
    other = replace(builders.assessment(), reference="another car")
    assert render(builders.assessment()) != render(other)


# ---- strange input ---------------------------------------------------------------------------------------------

HOSTILE = "<b>bold</b> & <img src='file:///etc/hostname'/> {braces} %s </para> \x00\u202e 中文 " + "x" * 400


def test_hostile_text_is_printed_as_text() -> None:
    finding = Finding("/findings/0", "tensioner_travel", None, None, None, "refused", (), "self", HOSTILE)
    given = builders.assessment()
    given = replace(
        given,
        reference=HOSTILE,
        facts=(HOSTILE,),
        cautions=(HOSTILE,),
        decision=replace(given.decision, reasons=(HOSTILE,)),
    )
    told = words_of(render(given, replace(builders.case(), findings=(finding,), reference=HOSTILE)))
    assert told.count("<b>bold</b> & <img src='file:///etc/hostname'/> {braces} %s </para>") >= 4
    assert "□□" in told


def test_very_long_names_wrap() -> None:
    name = "Very long name of a weak point with every detail of where it sits " * 4
    given = builders.assessment()
    point = replace(given.weak_points[0], name=name + "unbroken" * 30)
    told = words_of(render(replace(given, weak_points=(point, *given.weak_points[1:]))))
    assert name.strip() in told


def test_forty_weak_points_are_all_listed() -> None:
    rows = tuple(
        (f"point_{n}", f"Weak point number {n}", "none", "long", 0.1, 0.1, 0.1, 0.2, 90.0 - n) for n in range(40)
    )
    pack = replace(builders.pack(), weak_points=tuple(builders.weak_point(row[0], row[1]) for row in rows))
    points = tuple(builders.weak_point_result(*row) for row in rows)
    decision = replace(builders.assessment().decision, hazards=())
    risk = replace(builders.assessment().risk, work=())
    told = words_of(render(replace(builders.assessment(), weak_points=points, decision=decision, risk=risk), pack=pack))
    assert all(row[1] in told for row in rows)


def test_nothing_at_all_still_makes_a_report() -> None:
    given = builders.nothing_seen()
    nothing = Spread(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 1.0)
    years = (YearCost(1.0, 0.0, 0.0, 0.0, 0.0),)
    cost = replace(
        given.cost, unplanned=nothing, planned=nothing, immediate=nothing, by_year=years, planned_items=(),
        shared_access_saving=0.0,
    )  # fmt: skip
    risk = replace(given.risk, score=0.0, band=(0.0, 0.0))
    decision = replace(given.decision, advice="nothing_stands_out", next_checks=(), reasons=())
    bare = replace(given, cost=cost, risk=risk, weak_points=(), assumptions=(), decision=decision)
    told = words_of(render(bare))
    assert "No surprise repair is expected in 3 years." in told
    assert "Of 100 cars like this none need more than 1,200 EUR" in told
    assert "No planned work falls due in 3 years." in told


def test_a_currency_sign_is_printed() -> None:
    given = builders.assessment()
    assert "3,800 €" in words_of(render(replace(given, cost=replace(given.cost, currency="€"))))
