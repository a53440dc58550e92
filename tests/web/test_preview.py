"""What the answers so far come to, over HTTP."""

from __future__ import annotations

import json
from typing import Any

from flask import Flask
from flask.testing import FlaskClient

from riskapi.web.state import state_of
from tests.web.conftest import SAMPLES
from tests.web.shapes import complaints, problem, published

CASE = json.loads(next(path for path in SAMPLES if path.stem == "noisy_early").read_bytes())
PATH = "/v1/previews"


def told(client: FlaskClient, case: Any) -> dict[str, Any]:
    answer = client.post(PATH, json=case)
    assert answer.status_code == 200, answer.text
    read: dict[str, Any] = json.loads(answer.data)
    return read


def test_it_says_what_the_assessment_will_say(client: FlaskClient, document: dict[str, Any]) -> None:
    shown = told(client, CASE)
    assert complaints(published(document, "Preview", closed=True), shown) == []
    made = json.loads(client.post("/v1/assessments", json=CASE).data)
    assert shown["figures"]["score"] == made["risk"]["score"]
    assert shown["figures"]["band"] == made["risk"]["band"]
    assert shown["figures"]["price_for_findings"] == made["decision"]["price_for_findings"]
    assert shown["figures"]["advice"] == made["decision"]["advice"]
    assert shown["core"] == {"done": 10, "total": 10, "open": []}


def test_there_is_no_verdict_while_core_checks_are_open(client: FlaskClient, document: dict[str, Any]) -> None:
    few = {**CASE, "findings": CASE["findings"][:4]}
    few["vehicle"] = {key: value for key, value in CASE["vehicle"].items() if key != "moves_under_own_power"}
    shown = told(client, few)
    assert complaints(published(document, "Preview", closed=True), shown) == []
    assert shown["figures"] is None
    assert shown["core"]["done"] == 3
    assert len(shown["core"]["open"]) == 7


def test_a_core_check_that_was_refused_is_no_longer_open(client: FlaskClient) -> None:
    core = told(client, {**CASE, "findings": []})["core"]["open"]
    refused = [{"check": name, "not_checked": "refused"} for name in core]
    assert told(client, {**CASE, "findings": refused})["figures"] is not None


def test_a_danger_is_told_before_the_core_checks_are_done(client: FlaskClient) -> None:
    case = json.loads(next(path for path in SAMPLES if path.stem == "do_not_drive").read_bytes())
    shown = told(client, case)
    assert shown["hazards"]


def test_nothing_but_the_past_of_the_car_stays_in_memory(client: FlaskClient, app: Flask) -> None:
    state = state_of(app)
    before = len(state.repository.page(200))
    told(client, CASE)
    told(client, {**CASE, "findings": CASE["findings"][:2]})
    assert len(state.repository.page(200)) == before
    assert 1 <= len(state.standings) <= state.standings.most


def test_faults_are_those_of_the_case(client: FlaskClient) -> None:
    answer = client.post(PATH, json={**CASE, "findings": [{"check": "no_such_check", "result": "x"}]})
    assert problem(answer, 422)["faults"][0]["pointer"] == "/findings/0/check"
