from __future__ import annotations

import json
from typing import Any

from flask import Flask
from flask.testing import FlaskClient

from riskapi.intake.outcome import OUTCOME_SAMPLE
from tests.web.shapes import complaints, published
from tests.web.test_access import key_for


def test_it_is_told_read_back_and_exported(client: FlaskClient, made: str, document: dict[str, Any]) -> None:
    first = client.post(f"{made}/outcome", json={**OUTCOME_SAMPLE, "bought": "undecided", "found": []})
    second = client.post(f"{made}/outcome", json=OUTCOME_SAMPLE)
    assert (first.status_code, second.status_code) == (201, 201), (first.text, second.text)
    assert complaints(published(document, "Told"), second.json) == []
    assert {key: second.json[key] for key in OUTCOME_SAMPLE} == OUTCOME_SAMPLE
    assert client.get(f"{made}/outcome").json["items"] == [first.json, second.json]
    exported = client.get("/v1/outcomes.ndjson")
    assert exported.content_type == "application/x-ndjson"
    lines = [json.loads(line) for line in exported.text.splitlines()]
    assert [line for line in lines if line["assessment_id"] in made] == [first.json, second.json]


def test_sent_again_it_is_told_once(client: FlaskClient, made: str) -> None:
    headers = {"Idempotency-Key": "told-once"}
    first = client.post(f"{made}/outcome", json=OUTCOME_SAMPLE, headers=headers)
    assert client.post(f"{made}/outcome", json=OUTCOME_SAMPLE, headers=headers).json == first.json
    other = client.post(f"{made}/outcome", json={**OUTCOME_SAMPLE, "bought": "undecided"}, headers=headers)
    assert other.status_code == 422
    assert other.json["type"].endswith("#key-reused")


def test_faults_are_named(client: FlaskClient, made: str) -> None:
    answer = client.post(f"{made}/outcome", json={**OUTCOME_SAMPLE, "price_paid": 5900, "told_on": "2020-01-01"})
    assert answer.status_code == 422
    assert {"/price_paid", "/told_on"} <= {fault["pointer"] for fault in answer.json["faults"]}


def test_another_account_sees_and_tells_nothing(app: Flask, client: FlaskClient, made: str) -> None:
    stranger = key_for(app, "inspector")
    assert client.post(f"{made}/outcome", json=OUTCOME_SAMPLE, headers=stranger).status_code == 404
    assert client.get(f"{made}/outcome", headers=stranger).status_code == 404
    assert client.get("/v1/outcomes.ndjson", headers=stranger).text == ""
