"""Versions over HTTP: adding findings, reading all versions, the list, and what newer knowledge says."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

from flask import Flask
from flask.testing import FlaskClient

from riskapi.web.sample import SAMPLE
from riskapi.web.state import attach, state_of
from riskapi.web.versions import SAMPLE as FOLLOW_UP
from tests.web.shapes import complaints, pointers, problem, published


def created(client: FlaskClient, reference: str) -> str:
    answer = client.post("/v1/assessments", json={**SAMPLE, "reference": reference})
    assert answer.status_code == 201, answer.text
    return answer.headers["Location"]


def test_findings_make_the_next_version(client: FlaskClient, document: dict[str, Any]) -> None:
    first = created(client, "followed")
    before = client.get(first)
    answer = client.post(f"{first}/findings", json=FOLLOW_UP)
    assert answer.status_code == 201, answer.text
    result = answer.get_json()
    assert complaints(published(document, "Further"), FOLLOW_UP) == []
    assert complaints(published(document, "Result", closed=True), result) == []
    second = answer.headers["Location"]
    assert client.get(second).data == answer.data
    assert client.get(first).data == before.data
    assert (result["as_of"], result["reference"]) == (FOLLOW_UP["as_of"], "followed")
    assert "look_sump" in [item["check"] for item in result["coverage"]["checked"]]
    assert answer.headers["Link"] == client.get(second).headers["Link"]
    links = client.get(first).headers["Link"]
    assert f'<{first}/versions>; rel="version-history"' in links
    assert f'<{second}>; rel="latest-version"' in links
    assert f'<{first}>; rel="predecessor-version"' in answer.headers["Link"]


def test_all_versions_are_told_and_the_list_links_to_them(client: FlaskClient, document: dict[str, Any]) -> None:
    first = created(client, "told")
    second = client.post(f"{first}/findings", json=FOLLOW_UP).headers["Location"]
    told = client.get(f"{first}/versions").get_json()
    assert complaints(published(document, "VersionList", closed=True), told) == []
    assert client.get(f"{second}/versions").get_json() == told
    assert [(item["version"], item["origin"]) for item in told["items"]] == [(1, "new"), (2, "findings")]
    assert told["items"][1]["previous"] == first.rsplit("/", 1)[1]
    listed = client.get("/v1/assessments?reference=told").get_json()
    assert complaints(published(document, "AssessmentList", closed=True), listed) == []
    assert {item["version"]: item["assessment_id"] for item in listed["items"]}[2] == second.rsplit("/", 1)[1]
    assert {(item["car"], item["latest"]) for item in listed["items"]} == {(told["car"], told["latest"])}


def test_who_goes_on_from_an_older_version_may_ask_to_be_told(client: FlaskClient) -> None:
    first = created(client, "conditional")
    tag = {"If-Match": client.get(first).headers["ETag"]}
    second = client.post(f"{first}/findings", json=FOLLOW_UP, headers=tag)
    assert second.status_code == 201
    told = problem(client.post(f"{first}/findings", json=FOLLOW_UP, headers=tag), 412)
    assert told["type"] == "/v1/docs#overtaken"
    newer = {"If-Match": client.get(second.headers["Location"]).headers["ETag"]}
    assert client.post(f"{first}/findings", json=FOLLOW_UP, headers=newer).status_code == 201
    assert client.post(f"{first}/findings", json=FOLLOW_UP, headers={"If-Match": "*"}).status_code == 201


def test_faults_have_their_places_in_what_was_sent(client: FlaskClient, made: str) -> None:
    wrong = {"findings": [{"check": "look_sump", "result": "purple"}, {"check": "x", "photos": ["nobody"]}], "x": 1}
    assert pointers(problem(client.post(f"{made}/findings", json=wrong), 422)) == [
        "/findings/0/result",
        "/findings/1",
        "/findings/1/check",
        "/x",
    ]


def test_photos_that_nobody_sent_are_refused(client: FlaskClient, made: str) -> None:
    named = {"findings": [{"check": "look_sump", "result": "dry", "photos": ["nobody"]}]}
    assert problem(client.post(f"{made}/findings", json=named), 422)["faults"][0]["pointer"].endswith("/photos/0")


def test_newer_knowledge(client: FlaskClient, app: Flask, document: dict[str, Any]) -> None:
    first = created(client, "rescored")
    told = problem(client.post(f"{first}/rescore"), 409)
    assert told["type"] == "/v1/docs#nothing-newer"
    state = state_of(app)
    dearer = replace(state.pack.defaults, labour_rate=2 * state.pack.defaults.labour_rate)
    pack = replace(state.pack, digest="1" * 64, version="later", defaults=dearer)
    attach(app, replace(state, pack=pack, knowledge=replace(state.knowledge, digest="1" * 64, version="later")))
    try:
        answer = client.post(f"{first}/rescore")
    finally:
        attach(app, state)
    assert answer.status_code == 201, answer.text
    both = json.loads(answer.data)
    assert complaints(published(document, "Rescored", closed=True), both) == []
    assert both["before"]["knowledge"]["version"] != both["after"]["knowledge"]["version"] == "later"
    assert both["before"]["score"] == client.get(first).get_json()["risk"]["score"]
    assert both["after"]["score"] == client.get(answer.headers["Location"]).get_json()["risk"]["score"]
    assert [item["origin"] for item in client.get(f"{first}/versions").get_json()["items"]] == ["new", "rescore"]
