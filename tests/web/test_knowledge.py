"""Browsing engines and checks: what the shipped pack says, in the published shape."""

from __future__ import annotations

from typing import Any

import pytest
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
            told_fits = {item["id"]: item["part"] for item in one["weak_points"] if item["part_by_family"]}
            assert told_fits == fits
            assert one["traits"] == dict(revision.traits.items)


def test_services_of_a_family_with_what_careful_practice_does(client: FlaskClient, document: dict[str, Any]) -> None:
    services = {item["id"]: item for item in ask(client, "/v1/engines/fieldfare", document, "EngineFamily")["services"]}
    oil = services["fieldfare_oil_change"]
    assert (oil["distance"], oil["age"]) == ({"value": 25000, "unit": "km"}, {"value": 2, "unit": "years"})
    assert oil["careful"]["distance"] == {"value": 15000, "unit": "km"}
    assert oil["careful"]["age"] == {"value": 1, "unit": "years"}
    assert oil["careful"]["source"]["kind"] == "judgement"
    assert oil["special_tools"] == ["socket for the filter cap", "maker-level scan tool"]
    assert [name for name, item in services.items() if item["oil"]] == ["fieldfare_oil_change"]
    assert services["fieldfare_air_filter"]["careful"] is None


def test_repairs_of_a_weak_point_with_special_tools_and_cautions(app: Flask, client: FlaskClient) -> None:
    pack = state_of(app).pack
    told = client.get("/v1/engines/lapwing/lapwing_1a?odometer=120000&age=8").get_json()
    tensioner = next(point for point in told["weak_points"] if point["id"] == "chain_tensioner")
    repairs = {repair["operation"]: repair for repair in tensioner["repairs"]}
    for name, repair in repairs.items():
        assert [tool["id"] for tool in repair["special_tools"]] == list(pack.operation(name).special_tools)
        assert repair["cautions"] == list(pack.operation(name).cautions)
    purpose = pack.special_tool("tensioner_pin").purpose
    pin = {"id": "tensioner_pin", "name": "pin for the tensioner", "purpose": purpose}
    assert repairs["renew_tensioner"]["special_tools"] == [pin]


def test_a_revision_at_an_odometer_and_an_age(client: FlaskClient, document: dict[str, Any]) -> None:
    path = "/v1/engines/lapwing/lapwing_1b?odometer=120000&age=8"
    told = ask(client, path, document, "Revision")
    assert told["odometer"] == {"value": 120000, "unit": "km"}
    assert told["age"] == {"value": 8, "unit": "years"}
    assert told["built"] == "2013-01-31"  # the last that left the works; no earlier one is so young today
    assert told["as_of"] == "2021-01-31"
    assert told["changes"]["before"] == "lapwing_1a"
    for point in told["weak_points"]:
        assert abs(sum(point["state"].values()) - 1) < 3e-6
        assert point["no_look_can_see"] == (point["warning"] == "none")
    young = ask(client, "/v1/engines/lapwing/lapwing_1b?odometer=20000&age=2", document, "Revision")
    faulty = [sum(point["state"]["faulty"] for point in one["weak_points"]) for one in (young, told)]
    assert faulty[0] < faulty[1]


def test_without_an_odometer_and_an_age_those_of_today_are_taken(client: FlaskClient, document: dict[str, Any]) -> None:
    told = ask(client, "/v1/engines/lapwing/lapwing_1a", document, "Revision")
    assert told["built"] == "2009-09-15"  # the middle of its span
    assert told["odometer"]["value"] == pytest.approx(15000 * told["age"]["value"], abs=15000 * 0.006)
    assert told["changes"] is None


def test_two_revisions_side_by_side(client: FlaskClient, document: dict[str, Any]) -> None:
    told = ask(
        client, "/v1/engines/lapwing/lapwing_1a/against/lapwing_2b?odometer=120000&age=8", document, "SideBySide"
    )
    assert [told[side]["id"] for side in ("first", "second")] == ["lapwing_1a", "lapwing_2b"]
    assert told["first"]["odometer"] == told["second"]["odometer"]
    rows = {row["id"]: row for row in told["weak_points"]}
    for side in ("first", "second"):
        for point in told[side]["weak_points"]:
            assert rows[point["id"]][side] == point["failure_probability"]
    assert rows["chain_tensioner"]["first"] > rows["chain_tensioner"]["second"]
    assert [rows[name]["first"] for name in told["changes"]["gained"]] == [None] * len(told["changes"]["gained"])


@pytest.mark.parametrize(
    ("query", "parameter"),
    [
        ("odometer=-1", "odometer"),
        ("odometer=far", "odometer"),
        ("odometer=nan", "odometer"),
        ("odometer=3000000", "odometer"),
        ("age=0", "age"),
        ("age=inf", "age"),
        ("age=61", "age"),
    ],
)
@pytest.mark.parametrize("path", ["lapwing_1a", "lapwing_1a/against/lapwing_2b"])
def test_a_query_at_fault(client: FlaskClient, path: str, query: str, parameter: str) -> None:
    told = problem(client.get(f"/v1/engines/lapwing/{path}?{query}"), 422)
    assert told["type"] == "/v1/docs#query-at-fault"
    assert [fault["parameter"] for fault in told["faults"]] == [parameter]


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
    none = (
        "nothing",
        "nothing/at_all",
        "lapwing/none",
        "lapwing/none/against/lapwing_1a",
        "lapwing/lapwing_1a/against/x",
    )
    for path in (*(f"/v1/engines/{name}" for name in none), "/v1/checks/none"):
        assert "with this id" in problem(client.get(path), 404)["detail"]


def test_health_tells_what_is_in_force(app: Flask, client: FlaskClient, document: dict[str, Any]) -> None:
    told = ask(client, "/healthz", document, "Health")
    assert told["status"] == "ok"
    assert told["knowledge_digest"] == state_of(app).pack.digest
