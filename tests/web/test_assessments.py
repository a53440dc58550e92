"""The main job over HTTP, on every sample request."""

from __future__ import annotations

import io
import json
import zipfile
from pathlib import Path
from typing import Any

import icalendar
import pytest
from flask import Flask
from flask.testing import FlaskClient

from riskapi import __version__
from riskapi.intake import canonical
from riskapi.storage import unpack_zip
from riskapi.web.sample import SAMPLE
from riskapi.web.state import state_of
from tests.web.conftest import SAMPLES
from tests.web.shapes import complaints, problem, published


def test_there_are_sample_requests() -> None:
    assert len(SAMPLES) >= 6


@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.stem)
def test_every_sample_request(sample: Path, app: Flask, client: FlaskClient, document: dict[str, Any]) -> None:
    case = json.loads(sample.read_bytes())
    assert complaints(published(document, "Case"), case) == []
    answer = client.post("/v1/assessments", data=sample.read_bytes(), content_type="application/json")
    assert answer.status_code == 201, answer.text
    result = json.loads(answer.data)
    assert complaints(published(document, "Result", closed=True), result) == []
    assert result["reference"] == case.get("reference")
    assert answer.headers["Location"] == f"/v1/assessments/{result['assessment_id']}"
    assert client.get(answer.headers["Location"]).data == answer.data
    stored = state_of(app).repository.get(result["assessment_id"])
    assert stored.case_json == canonical(case)
    assert stored.program_version == __version__


def test_the_report_is_a_pdf_and_the_same_bytes_each_time(client: FlaskClient, made: str) -> None:
    first, second = client.get(f"{made}/report.pdf"), client.get(f"{made}/report.pdf")
    assert (first.status_code, first.content_type) == (200, "application/pdf")
    assert first.data.startswith(b"%PDF-")
    assert first.data.rstrip().endswith(b"%%EOF")
    assert first.data == second.data


def test_the_audit_holds_the_result_that_was_sent(client: FlaskClient, made: str) -> None:
    answer = client.get(f"{made}/audit.zip")
    assert (answer.status_code, answer.content_type) == (200, "application/zip")
    with zipfile.ZipFile(io.BytesIO(answer.data)) as archive:
        assert {"network.bif", "network.bifxml", "evidence.json", "inputs.json", "result.json"} <= set(
            archive.namelist()
        )
        assert archive.read("result.json") == client.get(made).data


def test_the_calendar_holds_the_looks_that_were_sent(client: FlaskClient, made: str) -> None:
    answer = client.get(f"{made}/watch.ics")
    assert (answer.status_code, answer.content_type) == (200, "text/calendar; charset=utf-8")
    read = icalendar.Calendar.from_ical(answer.data)
    told = [str(event["SUMMARY"]) for event in read.walk("VEVENT")]
    watch = json.loads(client.get(made).data)["decision"]["repair_plan"]["watch"]
    assert watch
    assert all(f"Look: {item['check_name']}" in told for item in watch)
    assert client.get(f"{made}/watch.ics").data == answer.data


def test_a_dealer_learns_which_work_pays_back(client: FlaskClient, document: dict[str, Any]) -> None:
    case = json.loads((SAMPLES[0].parent / "swollen_belt.json").read_bytes())
    case["market"]["workshop_rate"] = {"value": 55, "unit": "EUR/h"}
    answer = client.post("/v1/assessments", json=case)
    result = json.loads(answer.data)
    assert complaints(published(document, "Case"), case) == []
    assert complaints(published(document, "Result", closed=True), result) == []
    sale = result["decision"]["before_sale"]
    assert "cam_belt_in_oil" in [job["id"] for job in sale["jobs"]]
    assert sale["pays_back"] == pytest.approx(sale["price_rise"] - sale["cost"], abs=0.02)
    assert sale["score_after"] < result["risk"]["score"]


def test_the_knowledge_pack_is_kept_beside_it(app: Flask, client: FlaskClient, made: str) -> None:
    digest = json.loads(client.get(made).data)["knowledge"]["digest"]
    kept = state_of(app).repository.knowledge(digest)
    assert "pack.yaml" in unpack_zip(kept.content)


def test_each_request_makes_its_own_assessment(client: FlaskClient, made: str) -> None:
    sample = SAMPLES[0].read_bytes()
    first, second = (client.post("/v1/assessments", data=sample, content_type="application/json") for _ in range(2))
    one, other = json.loads(first.data), json.loads(second.data)
    assert one.pop("assessment_id") != other.pop("assessment_id")
    one.pop("created_at")
    other.pop("created_at")
    assert one == other


@pytest.mark.parametrize("tail", ["", "/report.pdf", "/audit.zip", "/watch.ics"])
@pytest.mark.parametrize("identifier", ["0" * 32, "nothing", "%00", "..%2f..%2fetc"])
def test_an_assessment_that_is_not_there(client: FlaskClient, identifier: str, tail: str) -> None:
    problem(client.get(f"/v1/assessments/{identifier}{tail}"), 404)


def test_the_list_of_assessments_goes_page_by_page(client: FlaskClient) -> None:
    mine = [json.loads(client.post("/v1/assessments", json={**SAMPLE, "reference": "listed"}).data) for _ in range(3)]
    pages, cursor = [], ""
    while cursor is not None:
        query = {"reference": "listed", "limit": 2, **({"cursor": cursor} if cursor else {})}
        answer = client.get("/v1/assessments", query_string=query).get_json()
        pages.append([item["assessment_id"] for item in answer["items"]])
        cursor = answer["next"]
    assert [len(page) for page in pages] == [2, 1]
    assert {name for page in pages for name in page} == {result["assessment_id"] for result in mine}


def test_a_list_with_a_wrong_limit_is_refused(client: FlaskClient) -> None:
    problem(client.get("/v1/assessments?limit=0"), 422)
