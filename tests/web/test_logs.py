"""What is logged of a request: enough to find it, nothing of what was in it."""

from __future__ import annotations

import json
import logging

import pytest
from flask.testing import FlaskClient

from riskapi.web.logs import REQUESTS, JsonLines
from riskapi.web.sample import SAMPLE


def lines(caplog: pytest.LogCaptureFixture) -> list[dict[str, object]]:
    return [json.loads(JsonLines().format(record)) for record in caplog.records if record.name == REQUESTS]


def test_a_request_is_one_line_of_json(client: FlaskClient, caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.INFO, "riskapi")
    answer = client.get("/v1/engines/lapwing?odometer=12345&pepper=1", buffered=True)
    (line,) = lines(caplog)
    assert line["request_id"] == answer.headers["X-Request-Id"]
    assert (line["method"], line["route"], line["status"]) == ("GET", "/v1/engines/<string:family>", 200)
    assert line["level"] == "info"
    assert float(str(line["ms"])) > 0
    assert set(line) == {"time", "level", "logger", "message", "request_id", "method", "route", "status", "ms"}


def test_nothing_of_path_query_body_key_or_address_is_logged(
    client: FlaskClient, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level(logging.DEBUG)
    case = {**SAMPLE, "reference": "pepper", "vehicle": {**SAMPLE["vehicle"], "vin": "ZZ9PEPPER00000001"}}
    client.post("/v1/assessments?pepper=1", json=case, headers={"Cookie": "pepper=1"}, buffered=True)
    client.get("/v1/pepper", headers={"Authorization": "Bearer pepper"}, buffered=True)
    client.get("/v1/engines", headers={"Authorization": "Bearer pepper"}, buffered=True)
    told = "\n".join(JsonLines().format(record) for record in caplog.records)
    assert [line["route"] for line in lines(caplog)] == ["/v1/assessments", "-", "/v1/engines"]
    assert "pepper" not in told.lower()
    assert "127.0.0.1" not in told


def test_an_accident_carries_its_trace() -> None:
    try:
        raise RuntimeError("it broke")
    except RuntimeError as error:
        record = logging.LogRecord("x", logging.ERROR, "", 0, "failed %s", ("here",), (type(error), error, None))
    line = json.loads(JsonLines().format(record))
    assert line["message"] == "failed here"
    assert "RuntimeError: it broke" in line["trace"]
