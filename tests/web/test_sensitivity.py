"""What moves the expected cost, over HTTP."""

from __future__ import annotations

import json
from typing import Any

from flask.testing import FlaskClient

from tests.web.conftest import SAMPLES
from tests.web.shapes import complaints, problem, published


def test_bars_in_words_and_numbers(client: FlaskClient, document: dict[str, Any]) -> None:
    sample = next(path for path in SAMPLES if path.stem == "noisy_early")
    made = client.post("/v1/assessments", data=sample.read_bytes(), content_type="application/json")
    told = json.loads(client.get(f"{made.headers['Location']}/sensitivity").data)
    assert complaints(published(document, "Sensitivity", closed=True), told) == []
    assert told["mean"] == json.loads(made.data)["cost"]["unplanned"]["mean"]
    assert {bar["kind"] for bar in told["bars"]} == {"finding", "assumption", "knowledge"}
    labour = next(bar for bar in told["bars"] if bar["what"] == "labour_rate")
    assert labour["unit"] == "EUR/h"
    assert labour["low"]["words"].endswith("EUR/h")
    assert all(bar["low"]["cost"] <= bar["high"]["cost"] for bar in told["bars"])


def test_what_is_not_there(client: FlaskClient) -> None:
    problem(client.get("/v1/assessments/nothing/sensitivity"), 404)
