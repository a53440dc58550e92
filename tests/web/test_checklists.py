"""POST /v1/checklists: the answer as published, nothing kept, and problem details for what is at fault."""

from __future__ import annotations

import copy
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

CASE = {**SAMPLE, "visit": {"equipment": "generic_scan_tool", "minutes": {"value": 45, "unit": "min"}}}


def test_the_answer_is_as_published(client: FlaskClient, document: dict[str, Any]) -> None:
    answer = client.post("/v1/checklists", json=CASE)
    assert answer.status_code == 200, answer.text
    told = answer.get_json()
    assert complaints(published(document, "Checklist", closed=True), told) == []
    assert [check["position"] for check in told["checks"]] == list(range(1, len(told["checks"]) + 1))
    assert {name for tier in told["tiers"] for name in tier["added"]} == {check["check"] for check in told["checks"]}
    assert {"cylinders", "fuel"}.isdisjoint(told)  # the case is not sent back


def test_nothing_is_kept(client: FlaskClient, app: Flask) -> None:
    def kept() -> int:
        with Session(state_of(app).repository.engine) as session:
            return session.scalar(select(func.count()).select_from(AssessmentRow)) or 0

    before = kept()
    assert client.post("/v1/checklists", json=CASE).status_code == 200
    assert kept() == before


def test_it_can_be_printed(client: FlaskClient) -> None:
    answer = client.post("/v1/checklists/checklist.pdf", json=CASE)
    assert (answer.status_code, answer.content_type) == (200, "application/pdf")
    assert answer.data.startswith(b"%PDF-")


@pytest.mark.parametrize("path", ["/v1/checklists", "/v1/checklists/checklist.pdf"])
def test_every_fault_is_named(client: FlaskClient, path: str) -> None:
    wrong = copy.deepcopy(CASE)
    wrong["visit"] = {"equipment": "hammer", "minutes": 45}
    wrong["vehicle"]["odometer"] = {"value": -5, "unit": "km"}
    told = problem(client.post(path, json=wrong), 422)
    assert {"/visit/equipment", "/visit/minutes", "/vehicle/odometer/value"} <= set(pointers(told))


def test_only_json_is_read(client: FlaskClient) -> None:
    problem(client.post("/v1/checklists", data="case"), 415)
    problem(client.post("/v1/checklists", data="{", content_type="application/json"), 400)
