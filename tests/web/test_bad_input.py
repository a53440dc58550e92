"""Bad input over HTTP: a 4xx that names every place and how to mend it, and nothing kept."""

from __future__ import annotations

import copy
import json
from collections.abc import Iterator
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from riskapi.storage.models import AssessmentRow
from riskapi.web.sample import SAMPLE
from riskapi.web.state import state_of
from tests.web.shapes import complaints, pointers, problem, published


def changed(**parts: Any) -> dict[str, Any]:
    """The sample with parts of the vehicle ('vehicle_odometer') or of the case ('findings') exchanged."""
    case = copy.deepcopy(SAMPLE)
    for name, value in parts.items():
        if name.startswith("vehicle_"):
            case["vehicle"][name.removeprefix("vehicle_")] = value
        else:
            case[name] = value
    return case


def km(value: float) -> dict[str, Any]:
    return {"value": value, "unit": "km"}


def reading(on: str, value: float) -> dict[str, Any]:
    return {"date": on, "work": "reading", "odometer": km(value)}


@pytest.fixture(autouse=True)
def _nothing_is_kept(app: Flask) -> Iterator[None]:
    def kept() -> int:
        with Session(state_of(app).repository.engine) as session:
            return session.scalar(select(func.count()).select_from(AssessmentRow)) or 0

    before = kept()
    yield
    assert kept() == before


BAD = {
    "unknown_engine": (changed(vehicle_engine={"family": "lapwin"}), ["/vehicle/engine/family"]),
    "engine_by_too_few_traits": (changed(vehicle_engine={"traits": {"fuel": "petrol"}}), ["/vehicle/engine"]),
    "unknown_check": (changed(findings=[{"check": "tea_leaves", "result": "good"}]), ["/findings/0/check"]),
    "negative_odometer": (changed(vehicle_odometer=km(-5)), ["/vehicle/odometer/value"]),
    "absurd_odometer": (changed(vehicle_odometer=km(5_000_000)), ["/vehicle/odometer/value"]),
    "odometer_without_unit": (changed(vehicle_odometer=138000), ["/vehicle/odometer"]),
    "built_after_the_assessment": (
        changed(vehicle_build_date="2024-06-01", service_history=[]),
        ["/vehicle/build_date", "/vehicle/first_registered"],
    ),
    "readings_that_go_backwards": (
        changed(service_history=[reading("2019-01-01", 90_000), reading("2020-01-01", 80_000)]),
        ["/service_history/1/odometer"],
    ),
    "another_currency": (
        changed(market={"asking_price": {"value": 1, "unit": "USD"}}),
        ["/market/asking_price/unit"],
    ),
    "unknown_key": (changed(color="blue"), ["/color"]),
    "no_object": ([], ["", "/as_of", "/vehicle"][:1]),
}


@pytest.mark.parametrize("name", BAD)
def test_a_case_at_fault(name: str, client: FlaskClient, document: dict[str, Any]) -> None:
    case, places = BAD[name]
    told = problem(client.post("/v1/assessments", json=case), 422)
    assert pointers(told) == places
    assert told["type"] == "/v1/docs#case-at-fault"
    assert complaints(published(document, "Problem", closed=True), told) == []


def test_all_faults_come_at_once(client: FlaskClient) -> None:
    case = changed(
        vehicle_engine={"family": "lapwin"},
        vehicle_odometer=138000,
        findings=[{"check": "tea_leaves", "result": "good"}],
        as_of="2024-13-01",
    )
    places = pointers(problem(client.post("/v1/assessments", json=case), 422))
    assert places == ["/as_of", "/findings/0/check", "/vehicle/engine/family", "/vehicle/odometer"]


def measured_checks(client: FlaskClient) -> dict[str, dict[str, Any]]:
    """One check of the pack for each way of measuring."""
    checks = client.get("/v1/checks?limit=200").json["items"]  # type: ignore[index]
    found = {}
    for item in checks:
        told: dict[str, Any] = client.get(f"/v1/checks/{item['id']}").get_json()
        if told["measure"] and not told["part_of"]:
            found[told["measure"]["gives"]] = told
    return found


def test_a_result_the_check_does_not_have(client: FlaskClient) -> None:
    check = measured_checks(client)["value"]
    word = check["results"][0]["id"]
    finding = {"check": check["id"], "result": word + "x"}
    told = problem(client.post("/v1/assessments", json=changed(findings=[finding])), 422)
    assert pointers(told) == ["/findings/0/result"]
    assert word in told["faults"][0]["mend"]


def test_measurements_without_unit_out_of_range_or_too_few(client: FlaskClient) -> None:
    checks = measured_checks(client)
    single, cylinders = checks["value"], checks["values"]
    findings = [
        {"check": single["id"], "measured": {"value": single["measure"]["low"]}},
        {
            "check": cylinders["id"],
            "measured": {
                "values": [cylinders["measure"]["high"] * 2, *[cylinders["measure"]["low"]] * 2],
                "unit": cylinders["measure"]["unit"],
            },
        },
    ]
    told = problem(client.post("/v1/assessments", json=changed(findings=findings)), 422)
    assert pointers(told) == [
        "/findings/0/measured/unit",
        "/findings/1/measured/values",
        "/findings/1/measured/values/0",
    ]


def test_a_measurement_that_is_no_number(client: FlaskClient) -> None:
    single = measured_checks(client)["value"]
    finding = {"check": single["id"], "measured": {"value": float("nan"), "unit": single["measure"]["unit"]}}
    body = json.dumps(changed(findings=[finding]))
    told = problem(client.post("/v1/assessments", data=body, content_type="application/json"), 422)
    assert pointers(told) == ["/findings/0/measured/value"]
    assert "NaN" in told["faults"][0]["message"]


@pytest.mark.parametrize(
    "body", [b"", b"{", b"{'a': 1}", b'{"a": 1}}', b"\xff\xfe", b"[" * 200_000, b"vehicle=1&as_of=2"], ids=repr
)
def test_a_body_that_is_not_json(client: FlaskClient, body: bytes) -> None:
    told = problem(client.post("/v1/assessments", data=body, content_type="application/json"), 400)
    assert told["type"] == "/v1/docs#not-json"
    assert pointers(told) == [""]


def test_a_key_that_is_written_twice(client: FlaskClient) -> None:
    body = json.dumps(SAMPLE)[:-1] + ', "as_of": "2025-01-01"}'
    told = problem(client.post("/v1/assessments", data=body, content_type="application/json"), 422)
    assert pointers(told) == ["/as_of"]


@pytest.mark.parametrize("size", [1_000_001, 5_000_000])
def test_a_body_that_is_too_long(client: FlaskClient, size: int) -> None:
    answer = client.post("/v1/assessments", data=b" " * size, content_type="application/json")
    assert "1,000,000 bytes are read" in problem(answer, 413)["detail"]


@pytest.mark.parametrize("content_type", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data", ""])
def test_a_body_of_another_kind(client: FlaskClient, content_type: str) -> None:
    answer = client.post("/v1/assessments", data=json.dumps(SAMPLE), content_type=content_type)
    assert "application/json" in problem(answer, 415)["detail"]


def test_a_compressed_body_is_refused(client: FlaskClient) -> None:
    answer = client.post("/v1/assessments", json=SAMPLE, headers={"Content-Encoding": "gzip"})
    assert "content encoding" in problem(answer, 415)["detail"]
