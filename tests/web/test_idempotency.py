"""A write that is sent again: the same answer, nothing new, and never another body's."""

from __future__ import annotations

import json
from typing import Any

import pytest
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from riskapi.web.sample import SAMPLE
from tests.web.shapes import problem


def post(client: FlaskClient, key: str, body: Any = SAMPLE) -> TestResponse:
    return client.post("/v1/assessments", json=body, headers={"Idempotency-Key": key})


def test_the_same_key_and_body_give_the_same_answer(client: FlaskClient) -> None:
    first, second = (post(client, "visit-1") for _ in range(2))
    assert first.status_code == second.status_code == 201
    assert first.data == second.data
    assert first.headers["Location"] == second.headers["Location"]


def test_the_order_of_the_members_of_a_body_is_not_another_body(client: FlaskClient) -> None:
    turned = dict(reversed(list(SAMPLE.items())))
    assert post(client, '"visit-2"', turned).data == post(client, "visit-2").data


def test_the_same_key_with_another_body_is_refused(client: FlaskClient) -> None:
    post(client, "visit-3")
    answer = post(client, "visit-3", {**SAMPLE, "reference": "another"})
    told = problem(answer, 422)
    assert told["type"] == "/v1/docs#key-reused"
    assert told["faults"][0]["header"] == "Idempotency-Key"


def test_a_refused_body_uses_up_no_key(client: FlaskClient) -> None:
    assert post(client, "visit-4", {}).status_code == 422
    assert post(client, "visit-4").status_code == 201


def test_without_a_key_every_write_is_new(client: FlaskClient) -> None:
    ids = {json.loads(client.post("/v1/assessments", json=SAMPLE).data)["assessment_id"] for _ in range(2)}
    assert len(ids) == 2


@pytest.mark.parametrize("key", ["", '""', "a b", "\u00e9", "k" * 256])
def test_what_is_no_key_is_refused(client: FlaskClient, key: str) -> None:
    told = problem(post(client, key), 400)
    assert told["type"] == "/v1/docs#header-at-fault"
    assert told["faults"][0]["header"] == "Idempotency-Key"
