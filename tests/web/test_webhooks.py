"""Listening to events over HTTP."""

from __future__ import annotations

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from riskapi.storage.outbox import EVENT_TYPES
from riskapi.web.sample import SAMPLE as CASE
from riskapi.web.webhooks import SAMPLE
from tests.web.shapes import complaints, published
from tests.web.test_access import key_for


def make(client: FlaskClient, **changes: Any) -> dict[str, Any]:
    answer = client.post("/v1/webhooks", json={**SAMPLE, **changes})
    assert answer.status_code == 201, answer.text
    made: dict[str, Any] = {**answer.json, "path": answer.headers["Location"]}  # type: ignore[dict-item]
    return made


def test_a_webhook_from_its_making_to_its_end(client: FlaskClient, document: dict[str, Any]) -> None:
    made = make(client, events=list(EVENT_TYPES))
    assert made["secret"].startswith("whsec_")
    read = client.get(made["path"])
    assert "secret" not in read.json
    assert made["secret"] not in client.get("/v1/webhooks").text
    assert read.json in client.get("/v1/webhooks").json["items"]
    assert complaints(published(document, "Webhook"), read.json) == []
    client.post("/v1/assessments", json=CASE)
    sent = client.get(made["path"] + "/deliveries").json
    assert complaints(published(document, "DeliveryList"), sent) == []
    assert [(each["event_type"], each["state"]) for each in sent["items"]] == [("assessment.created", "waiting")]
    assert client.delete(made["path"]).status_code == 204
    assert client.get(made["path"]).status_code == 404
    assert client.get(made["path"] + "/deliveries").status_code == 404


def test_the_secret_changes_and_is_shown_once(client: FlaskClient) -> None:
    made = make(client)
    new = client.post(made["path"] + "/rotate", json={})
    assert new.json["secret"] not in ("", made["secret"])
    assert new.headers["Cache-Control"] == "no-store"


def test_deliveries_come_in_pages_and_can_be_sent_again(app: Flask) -> None:
    client = app.test_client()
    client.environ_base["HTTP_AUTHORIZATION"] = key_for(app, "dealer")["Authorization"]  # nobody else's events
    made = make(client)
    for _ in range(3):
        client.post("/v1/assessments", json=CASE)
    first = client.get(made["path"] + "/deliveries?limit=2").json
    second = client.get(made["path"] + f"/deliveries?limit=2&cursor={first['next']}").json
    assert (len(first["items"]), len(second["items"]), second["next"]) == (2, 1, None)
    since = second["items"][0]["created_at"]
    assert client.post(made["path"] + "/replay", json={"since": since}).json == {"events": 3}
    assert client.post(made["path"] + "/replay", json={"since": "2100-01-01T00:00:00Z"}).json == {"events": 0}


def test_sent_again_with_its_key_it_makes_one(client: FlaskClient) -> None:
    key = {"Idempotency-Key": "webhook-1"}
    first = client.post("/v1/webhooks", json=SAMPLE, headers=key)
    assert client.post("/v1/webhooks", json=SAMPLE, headers=key).json == first.json
    other = client.post("/v1/webhooks", json={**SAMPLE, "events": ["rescored"]}, headers=key)
    assert (other.status_code, other.json["type"]) == (422, "/v1/docs#key-reused")


@pytest.mark.parametrize(
    ("body", "places"),
    [
        ({}, {"/url", "/events"}),
        ({"url": "http://127.0.0.1/", "events": []}, {"/url", "/events"}),
        ({"url": 5, "events": ["car.sold"]}, {"/url", "/events/0"}),
        ({**SAMPLE, "secret": "x"}, {"/secret"}),
        ([], {""}),
    ],
)
def test_what_is_wrong_is_named(client: FlaskClient, body: Any, places: set[str]) -> None:
    answer = client.post("/v1/webhooks", json=body)
    assert answer.status_code == 422
    assert {fault["pointer"] for fault in answer.json["faults"]} == places


@pytest.mark.parametrize("since", ["yesterday", "2026-03-14", "2026-03-14T00:00:00", "2026-13-14T00:00:00Z", 5])
def test_a_replay_needs_an_instant(client: FlaskClient, since: Any) -> None:
    answer = client.post(make(client)["path"] + "/replay", json={"since": since})
    assert (answer.status_code, answer.json["faults"][0]["pointer"]) == (422, "/since")


def test_there_is_an_end_to_how_many(client: FlaskClient) -> None:
    made = [each["webhook_id"] for each in client.get("/v1/webhooks").json["items"]]
    while len(made) < 20:
        made.append(make(client)["webhook_id"])
    answer = client.post("/v1/webhooks", json=SAMPLE)
    assert answer.status_code == 422
    assert "20 webhooks" in answer.text
    for each in made:
        assert client.delete(f"/v1/webhooks/{each}").status_code == 204
