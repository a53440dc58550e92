"""Many cases in one request: a line of answer for each, in order, whatever the others are like."""

from __future__ import annotations

import json
import os
import tracemalloc
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from riskapi.intake import BYTES_LIMIT
from riskapi.web import batches
from riskapi.web.sample import SAMPLE
from tests.web.test_access import key_for

NDJSON = "application/x-ndjson"
SMALL = {**SAMPLE, "vehicle": {**SAMPLE["vehicle"], "engine": {"family": "dunlin", "revision": "dunlin_1a"}}}


def body(*cases: Any) -> bytes:
    return b"\n".join(case if isinstance(case, bytes) else json.dumps(case).encode() for case in cases)


def send(client: FlaskClient, data: bytes, path: str = "/v1/batches", **headers: str) -> list[dict[str, Any]]:
    answer = client.post(path, data=data, content_type=NDJSON, headers=headers)
    assert answer.status_code == 200, answer.text
    assert answer.content_type == NDJSON
    return [json.loads(line) for line in answer.text.splitlines()]


def test_every_line_has_its_answer_in_order(client: FlaskClient) -> None:
    wrong = {**SAMPLE, "as_of": "yesterday"}
    told = send(client, body(SAMPLE, b"", wrong, b"{", b"[]", SAMPLE))
    assert [line.get("line") for line in told] == [1, 3, 4, 5, 6, None]
    assert [line.get("status") for line in told] == [201, 422, 400, 422, 201, None]
    assert told[1]["problem"]["faults"][0]["pointer"] == "/as_of"
    assert told[-1] == {"lines": 5, "made": 2, "problems": 3}
    kept = client.get(f"/v1/assessments/{told[0]['assessment']['assessment_id']}")
    assert kept.json == told[0]["assessment"]


def test_what_is_not_to_be_kept_is_computed_alike_and_not_kept(client: FlaskClient) -> None:
    kept, _ = send(client, body(SAMPLE))
    passing, _ = send(client, body(SAMPLE), "/v1/batches?keep=false")
    assert passing["status"] == 200
    assert client.get(f"/v1/assessments/{passing['assessment']['assessment_id']}").status_code == 404
    for made in (kept, passing):
        for name in ("assessment_id", "created_at"):
            del made["assessment"][name]
    assert kept["assessment"] == passing["assessment"]


def test_a_batch_that_is_sent_again_makes_nothing_twice(app: Flask) -> None:
    client, mine = app.test_client(), {**key_for(app, "inspector"), "Idempotency-Key": "evening"}
    first = send(client, body(SAMPLE), **mine)
    again = send(client, body(SAMPLE, SAMPLE), **mine)
    assert again[0] == first[0]
    assert again[1]["assessment"]["assessment_id"] != first[0]["assessment"]["assessment_id"]
    assert len(client.get("/v1/assessments", headers=mine).json["items"]) == 2
    other = send(client, body({**SAMPLE, "reference": "other"}), **mine)
    assert other[0]["problem"]["type"].endswith("#key-reused")


def test_a_line_that_is_too_long_has_its_problem(client: FlaskClient) -> None:
    told = send(client, body(b'"' + b"x" * BYTES_LIMIT + b'"', b"{}"), "/v1/batches?keep=false")
    assert [line.get("status") for line in told] == [400, 422, None]


def test_what_nobody_foresaw_in_one_line_stops_nothing(client: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[int] = []

    def fails_once(*_: Any) -> bytes:
        asked.append(1)
        if len(asked) == 1:
            raise RuntimeError("secret inside")
        return b"{}"

    monkeypatch.setattr(batches, "assess_only", fails_once)
    told = send(client, body(SAMPLE, SAMPLE), "/v1/batches?keep=false")
    assert [line.get("status") for line in told] == [500, 200, None]
    assert "secret" not in json.dumps(told)


def test_another_media_type_and_a_longer_body_are_refused(client: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    assert client.post("/v1/batches", json=SAMPLE).status_code == 415
    monkeypatch.setattr(batches, "BATCH_BYTES_LIMIT", 10)
    assert client.post("/v1/batches", data=b"x" * 11, content_type=NDJSON).status_code == 413


def test_memory_stays_the_same_however_many_lines_there_are(client: FlaskClient) -> None:
    """Lines at fault are the quickest; what is held for a line does not depend on what is in it. With
    RISKAPI_LONG a hundred thousand of them."""
    line, count = b'{"reference": "' + b"x" * 200 + b'"}\n', 100_000 if os.environ.get("RISKAPI_LONG") else 3_000
    told = client.post("/v1/batches", data=line * count, content_type=NDJSON)
    answers, seen, most = told.response, 0, 0
    tracemalloc.start()
    for seen, answer in enumerate(answers, start=1):
        if seen == 500:
            tracemalloc.reset_peak()
            start = tracemalloc.get_traced_memory()[0]
        last = answer
    most = tracemalloc.get_traced_memory()[1] - start
    tracemalloc.stop()
    told.close()
    assert seen == count + 1
    assert json.loads(last) == {"lines": count, "made": 0, "problems": count}
    assert most < 1_000_000
