"""The structure of a printed page, for whoever cannot see it. ISO 32000-1, 14.7 and 14.8: every mark of a page is an
element of the tree and back, nothing is drawn outside a mark, pictures have words, table heads are heads."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from typing import Any

import pytest
from pypdf import PdfReader
from pypdf.generic import ContentStream, DictionaryObject
from reportlab.pdfgen.canvas import Canvas

from riskapi.report.clipboard import call_sheet, clipboard_report
from riskapi.report.content import build_report
from riskapi.report.edition import AtHand, Edition
from riskapi.report.pdf import draw
from riskapi.report.publication_pdf import listing_sheet
from riskapi.report.sections import Letterhead, Report
from riskapi.report.tagging import TaggedCanvas, grouped, left_out, marked, role_of
from tests.report import builders
from tests.report.test_editions import photos
from tests.report.test_publication_pdf import PAGE, facts
from tests.report.test_samples import SAMPLES, assessed, listed

DRAWS = {b"Tj", b"TJ", b"f", b"f*", b"S", b"B", b"B*", b"b", b"b*", b"s", b"Do"}
NOISY = next(path for path in SAMPLES if path.stem == "noisy_early")
HEAD = Letterhead("Engines looked at", ("7 Quay Lane",), photos()["photo0"])


@cache
def buyers(language: str) -> Report:
    assessment, case, pack = assessed(NOISY)
    at = {"assessment_id": builders.IDENTIFIER, "created_at": builders.CREATED}
    return build_report(assessment, case, pack, **at, language=language)  # type: ignore[arg-type]


def inspectors() -> Report:
    assessment, case, pack = assessed(NOISY)
    findings = tuple(replace(each, photos=("photo1", "photo2")) for each in case.findings)
    at = {"assessment_id": builders.IDENTIFIER, "created_at": builders.CREATED}
    edition, shown = Edition("inspector", letterhead=HEAD), AtHand(photos())
    return build_report(assessment, replace(case, findings=findings), pack, **at, edition=edition, at_hand=shown)  # type: ignore[arg-type]


@cache
def documents() -> dict[str, bytes]:
    _, case, pack = assessed(NOISY)
    return {
        "buyer": draw(buyers("en")),
        "german": draw(buyers("de")),
        "inspector": draw(inspectors()),
        "clipboard": draw(clipboard_report(listed(NOISY), case, pack, link=PAGE)),
        "call": draw(call_sheet(listed(NOISY), case, pack)),
        "listing": listing_sheet(facts(), "seller", PAGE, "mark", "en"),
    }


@pytest.fixture(scope="module", params=["buyer", "german", "inspector", "clipboard", "call", "listing"])
def reader(request: pytest.FixtureRequest) -> PdfReader:
    return PdfReader(io.BytesIO(documents()[request.param]))


def elements(reader: PdfReader) -> Iterator[DictionaryObject]:
    """Every element of the tree, in reading order."""
    yield from _within(reader.root_object["/StructTreeRoot"]["/K"].get_object())


def _within(element: Any) -> Iterator[DictionaryObject]:
    yield element
    kids = element["/K"]
    for kid in kids if isinstance(kids, list) else []:
        yield from _within(kid.get_object())


def test_the_document_says_that_it_is_tagged(reader: PdfReader) -> None:
    assert reader.root_object["/MarkInfo"]["/Marked"].value is True
    assert reader.root_object["/StructTreeRoot"]["/Type"] == "/StructTreeRoot"
    assert next(elements(reader))["/S"] == "/Document"
    assert all(page["/Tabs"] == "/S" for page in reader.pages)


def test_marks_and_elements_point_at_each_other(reader: PdfReader) -> None:
    numbers = reader.root_object["/StructTreeRoot"]["/ParentTree"].get_object()["/Nums"]
    rows = dict(zip(numbers[::2], (row.get_object() for row in numbers[1::2]), strict=True))
    leaves = [element for element in elements(reader) if not isinstance(element["/K"], list)]
    found = 0
    for page in reader.pages:
        row = rows[page["/StructParents"]]
        assert marks_of(page, reader) == list(range(len(row)))
        for number, reference in enumerate(row):
            element = reference.get_object()
            assert element["/K"] == number
            assert element["/Pg"].get_object()["/StructParents"] == page["/StructParents"]
        found += len(row)
    assert found == len(leaves)


def test_every_element_names_its_parent(reader: PdfReader) -> None:
    for element in elements(reader):
        kids = element["/K"]
        for kid in kids if isinstance(kids, list) else []:
            assert kid.get_object()["/P"].get_object() == element


def marks_of(page: Any, reader: PdfReader) -> list[int]:
    """Numbers of the marks of a page in the order in which they are drawn; none is within another, and nothing is drawn
    outside one."""
    numbers: list[int] = []
    depth = 0
    for operands, operator in ContentStream(page.get_contents(), reader).operations:
        if operator in (b"BDC", b"BMC"):
            depth += 1
            assert depth == 1
            numbers += [int(operands[1]["/MCID"])] if operator == b"BDC" else []
        elif operator == b"EMC":
            depth -= 1
        assert depth == 1 or operator not in DRAWS, (operator, operands)
    assert depth == 0
    return numbers


def test_pictures_have_words_and_heads_of_tables_are_heads(reader: PdfReader) -> None:
    for element in elements(reader):
        if element["/S"] == "/Figure":
            assert len(str(element["/Alt"]).strip()) > 2
        if element["/S"] == "/TR":
            assert {kid.get_object()["/S"] for kid in element["/K"]} in ({"/TH"}, {"/TD"})
        if element["/S"] == "/TH":
            assert element["/A"]["/Scope"] == "/Column"


def test_headings_are_those_of_the_sections() -> None:
    for language in ("en", "de"):
        report = buyers(language)
        data = PdfReader(io.BytesIO(draw(report)))
        roles = [element["/S"] for element in elements(data)]
        assert roles.count("/H1") == 1
        assert roles.count("/H2") == len(report.sections) - 1  # the first lines need no heading
        assert roles.count("/Table") >= 8
        assert roles.count("/Figure") >= 5


def test_a_photo_is_said_by_what_was_looked_at() -> None:
    told = {
        str(element["/Alt"]) for element in elements(PdfReader(io.BytesIO(draw(inspectors())))) if "/Alt" in element
    }
    assert {"Listen to the cold start", "Engines looked at"} <= told


def test_a_mark_within_a_mark_is_the_outer_one_and_other_canvases_keep_no_structure() -> None:
    canvas = TaggedCanvas(io.BytesIO(), invariant=1)
    with grouped(canvas, "Table"), marked(canvas, "TD"), marked(canvas, "P"), left_out(canvas):
        canvas.drawString(20, 20, "word")
    assert [line for line in canvas._code if "BDC" in line or "EMC" in line or "BMC" in line] == [
        "/TD <</MCID 0>> BDC",
        "EMC",
    ]
    plain = Canvas(io.BytesIO(), invariant=1)
    with grouped(plain, "Table"), marked(plain, "TD"):
        plain.drawString(20, 20, "word")
    assert not [line for line in plain._code if "BDC" in line]


def test_the_style_of_a_text_says_what_it_is() -> None:
    assert [role_of(name) for name in ("title", "heading", "heading_0.84", "subheading", "body")] == [
        "H1", "H2", "H2", "H3", "P",
    ]  # fmt: skip
