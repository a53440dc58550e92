"""Editions of a report over HTTP, and the lists that are filled in by hand."""

from __future__ import annotations

import io
import re
from typing import Any
from urllib.parse import parse_qsl, urlsplit

import pytest
from flask import Flask
from flask.testing import FlaskClient
from PIL import Image
from pypdf import PdfReader

from riskapi.domain.knowledge import Pack
from riskapi.intake import case_from_json
from riskapi.web.pages import form
from riskapi.web.sample import SAMPLE
from riskapi.web.visit_address import visit_address


def words(data: bytes) -> str:
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages))


def test_every_edition_is_printed_once_and_kept(client: FlaskClient, made: str) -> None:
    printed = {
        query: client.get(f"{made}/report.pdf{query}").data
        for query in ("", "?edition=inspector", "?edition=inspector&price=no", "?price=no")
    }
    assert len(set(printed.values())) == 4
    assert all(client.get(f"{made}/report.pdf{query}").data == data for query, data in printed.items())
    assert "So far, at most" in words(printed[""])
    assert "What was seen, in the order of the visit" in words(printed["?edition=inspector"])
    for query in ("?edition=inspector&price=no", "?price=no"):
        told = words(printed[query])
        assert "at most" not in told
        assert "How the price comes about" not in told
        assert "What to put right at purchase" not in told


@pytest.mark.parametrize("query", ["?edition=seller", "?price=maybe"])
def test_an_edition_that_there_is_not_is_a_fault(client: FlaskClient, made: str, query: str) -> None:
    assert client.get(f"{made}/report.pdf{query}").status_code == 422


def test_a_letterhead_is_printed_with_its_logo_and_not_kept(client: FlaskClient, made: str) -> None:
    buffer = io.BytesIO()
    Image.new("RGB", (300, 90), (20, 80, 140)).save(buffer, "PNG")
    photo = client.post("/v1/photos", data=buffer.getvalue(), content_type="image/png").get_json()["photo_id"]
    head = {"name": "Engines looked at", "lines": ["7 Quay Lane"], "logo": photo}
    answer = client.post(f"{made}/report.pdf", json={"letterhead": head})
    assert answer.status_code == 200, answer.text
    first = PdfReader(io.BytesIO(answer.data)).pages[0]
    assert first.extract_text().startswith("Engines looked at\n7 Quay Lane")
    assert len(first.images) == 1
    assert "Engines looked at" not in words(client.get(f"{made}/report.pdf?edition=inspector").data)
    assert client.post(f"{made}/report.pdf", json={"letterhead": {**head, "logo": "no"}}).status_code == 404
    faults = client.post(f"{made}/report.pdf", json={"letterhead": {"lines": 3}, "price": "maybe"})
    assert faults.status_code == 422
    assert {fault["pointer"] for fault in faults.get_json()["faults"]} == {
        "/letterhead/lines", "/letterhead/name", "/price",
    }  # fmt: skip


def test_the_sheets_are_printed(client: FlaskClient) -> None:
    clipboard = client.post("/v1/checklists/clipboard.pdf?language=de", json=SAMPLE)
    assert "Das passende Wort einkreisen" in words(clipboard.data)
    assert "keine Adresse eines Dienstes" in words(clipboard.data)
    call = client.post("/v1/checklists/call-sheet.pdf", json=SAMPLE)
    assert "Please leave the engine cold" in words(call.data)
    assert call.headers["Content-Disposition"] == 'inline; filename="call-sheet.pdf"'


def test_the_code_opens_the_checklist_of_the_same_car(app: Flask, client: FlaskClient, shipped: Pack) -> None:
    body: dict[str, Any] = {**SAMPLE, "findings": []}
    case = case_from_json(body, shipped)
    address = visit_address("https://cars.example", case)
    assert address.startswith("https://cars.example/visit?")
    asked = form.asked_from(dict(parse_qsl(urlsplit(address).query)))
    again = case_from_json(form.case_of(asked, shipped, case.as_of), shipped)
    assert (again.vehicle.engine.traits, again.vehicle.odometer_km, again.as_of) == (
        case.vehicle.engine.traits, case.vehicle.odometer_km, case.as_of,
    )  # fmt: skip
    assert (again.market.asking_price, again.ownership) == (case.market.asking_price, case.ownership)
    assert client.get(address.removeprefix("https://cars.example")).status_code == 200


def test_an_erased_photo_leaves_the_reports_that_were_kept(client: FlaskClient) -> None:
    buffer = io.BytesIO()
    Image.new("RGB", (300, 200), (120, 40, 30)).save(buffer, "PNG")
    photo = client.post("/v1/photos", data=buffer.getvalue(), content_type="image/png").get_json()["photo_id"]
    case = {**SAMPLE, "findings": [{"check": "oil_level", "result": "low", "photos": [photo]}]}
    there = client.post("/v1/assessments", json=case).headers["Location"]

    def pictures() -> int:
        data = client.get(f"{there}/report.pdf?edition=inspector").data
        return sum(len(page.images) for page in PdfReader(io.BytesIO(data)).pages)

    assert pictures() > 0
    assert client.delete(f"/v1/photos/{photo}").status_code == 204
    assert pictures() == 0
