"""Browsing engines and checks: what the shipped pack says, in the published shape."""

from __future__ import annotations

from typing import Any

from flask import Flask
from flask.testing import FlaskClient

from riskapi.web.state import state_of
from tests.web.shapes import complaints, problem, published


def ask(client: FlaskClient, path: str, document: dict[str, Any], schema: str) -> dict[str, Any]:
    answer = client.get(path)
    assert answer.status_code == 200, answer.text
    told: dict[str, Any] = answer.get_json()
    assert complaints(published(document, schema, closed=True), told) == []
    return told


def test_engines_down_to_the_revision(app: Flask, client: FlaskClient, document: dict[str, Any]) -> None:
    pack = state_of(app).pack
    listed = ask(client, "/v1/engines", document, "EngineList")
    assert [item["id"] for item in listed["items"]] == [family.id for family in pack.families]
    for family in pack.families:
        told = ask(client, f"/v1/engines/{family.id}", document, "EngineFamily")
        assert [item["id"] for item in told["revisions"]] == [revision.id for revision in family.revisions]
        for revision in family.revisions:
            one = ask(client, f"/v1/engines/{family.id}/{revision.id}", document, "Revision")
            fits = {fit.weak_point: fit.works for fit in family.fits if revision.id in fit.revisions}
            told_fits = {item["id"]: item["part"] for item in one["weak_points"] if item["part"]}
            assert told_fits == fits
            assert one["traits"] == dict(revision.traits.items)


def test_checks_one_by_one(app: Flask, client: FlaskClient, document: dict[str, Any]) -> None:
    for check in state_of(app).pack.checks:
        told = ask(client, f"/v1/checks/{check.id}", document, "Check")
        assert [item["id"] for item in told["results"]] == [result.id for result in check.results]
        assert [item["id"] for item in told["conditions"]] == list(check.needs)


def test_checks_page_by_page(app: Flask, client: FlaskClient, document: dict[str, Any]) -> None:
    seen: list[str] = []
    path = "/v1/checks?limit=7"
    while True:
        told = ask(client, path, document, "CheckList")
        seen += [item["id"] for item in told["items"]]
        if told["next"] is None:
            break
        assert len(told["items"]) == 7
        path = f"/v1/checks?limit=7&cursor={told['next']}"
    assert seen == [check.id for check in state_of(app).pack.checks]


def test_what_the_pack_does_not_have(client: FlaskClient) -> None:
    for path in ("/v1/engines/nothing", "/v1/engines/nothing/at_all", "/v1/engines/lapwing/none", "/v1/checks/none"):
        assert "with this id" in problem(client.get(path), 404)["detail"]


def test_health_tells_what_is_in_force(app: Flask, client: FlaskClient, document: dict[str, Any]) -> None:
    told = ask(client, "/healthz", document, "Health")
    assert told["status"] == "ok"
    assert told["knowledge_digest"] == state_of(app).pack.digest
