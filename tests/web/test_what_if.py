"""What if over HTTP."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from riskapi.desk.recent import Recent
from riskapi.intake import case_from_json
from riskapi.service import assess
from riskapi.web.sample import SAMPLE
from riskapi.web.state import attach, state_of
from riskapi.web.what_if import SAMPLE as CHANGES
from tests.web.shapes import complaints, pointers, problem, published


def test_the_changed_figures_stand_beside_those_kept(
    client: FlaskClient, app: Flask, made: str, document: dict[str, Any]
) -> None:
    assert complaints(published(document, "WhatIf"), CHANGES) == []
    answer = client.post(f"{made}/what-if", json=CHANGES)
    assert answer.status_code == 200, answer.text
    told = json.loads(answer.data)
    assert complaints(published(document, "WhatIfAnswer", closed=True), told) == []
    kept = json.loads(client.get(made).data)
    assert told["stored"]["score"] == kept["risk"]["score"]
    assert told["stored"]["by_year"] == kept["cost"]["by_year"]
    merged = {**SAMPLE, **{group: {**SAMPLE[group], **CHANGES[group]} for group in CHANGES}}
    fresh = assess(case_from_json(merged, state_of(app).pack), state_of(app).pack)
    assert told["what_if"]["score"] == round(fresh.risk.score, 2)
    assert told["what_if"]["unplanned"]["p90"] == round(fresh.cost.unplanned.p90, 2)
    assert [row["year"] for row in told["what_if"]["by_year"]] == [1, 2, 3, 4, 5]


def test_without_changes_it_says_what_was_kept(client: FlaskClient, made: str) -> None:
    told = json.loads(client.post(f"{made}/what-if", json={}).data)
    assert told["what_if"] == told["stored"]


def test_nothing_is_kept_of_it(client: FlaskClient, app: Flask, made: str) -> None:
    before = client.get(made).data
    client.post(f"{made}/what-if", json=CHANGES)
    assert client.get(made).data == before
    assert len(state_of(app).bases) >= 1


def test_who_made_it_is_ready_for_questions(client: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    fresh = client.post("/v1/assessments", json=SAMPLE).headers["Location"]

    def again(*_: object) -> None:
        raise AssertionError("computed again")

    monkeypatch.setattr("riskapi.service.base_of", again)
    assert client.post(f"{fresh}/what-if", json=CHANGES).status_code == 200


@pytest.mark.parametrize(
    ("body", "places"),
    [
        ({"ownership": {"years": 4}}, ["/ownership/years"]),
        ({"market": {"labour_rate": {"value": 90, "unit": "CHF/h"}}}, ["/market/labour_rate/unit"]),
        ({"findings": [], "market": {"currency": "EUR"}}, ["/findings", "/market/currency"]),
        ([], [""]),
    ],
)
def test_every_fault_is_named(client: FlaskClient, made: str, body: Any, places: list[str]) -> None:
    assert pointers(problem(client.post(f"{made}/what-if", json=body), 422)) == places


def test_what_is_not_there(client: FlaskClient) -> None:
    problem(client.post("/v1/assessments/nothing/what-if", json={}), 404)


def test_what_is_no_json(client: FlaskClient, made: str) -> None:
    problem(client.post(f"{made}/what-if", data="{", content_type="application/json"), 400)
    problem(client.post(f"{made}/what-if", data="{}"), 415)


def test_the_pack_it_was_made_with_answers_after_another_came_into_use(
    client: FlaskClient, app: Flask, made: str
) -> None:
    asked = {"market": {"labour_rate": {"value": 120, "unit": "EUR/h"}}}
    before, state = client.post(f"{made}/what-if", json=asked), state_of(app)
    attach(app, replace(state, pack=replace(state.pack, digest="0" * 64, weak_points=()), bases=Recent(1)))
    try:
        assert client.post(f"{made}/what-if", json=asked).data == before.data
    finally:
        attach(app, state)
