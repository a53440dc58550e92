from __future__ import annotations

import io
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from PIL import Image

from riskapi.intake.photo import PHOTO_BYTES_LIMIT
from riskapi.web.sample import SAMPLE
from tests.web.test_access import key_for


def picture(form: str = "PNG", colour: str = "grey") -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (40, 30), colour).save(out, form)
    return out.getvalue()


def with_photos(*names: str) -> dict[str, Any]:
    return {**SAMPLE, "findings": [{"check": "oil_level", "result": "low", "photos": list(names)}]}


def send(client: FlaskClient, data: bytes, kind: str = "image/png", **headers: str) -> Any:
    return client.post("/v1/photos", data=data, content_type=kind, headers=headers)


def test_a_photo_comes_back_and_a_finding_may_name_it(client: FlaskClient) -> None:
    answer = send(client, picture())
    assert answer.status_code == 201
    assert (answer.json["width"], answer.json["height"]) == (40, 30)
    seen = client.get(answer.headers["Location"])
    assert seen.content_type == "image/jpeg"
    assert Image.open(io.BytesIO(seen.data)).size == (40, 30)
    made = client.post("/v1/assessments", json=with_photos(answer.json["photo_id"]))
    assert made.status_code == 201, made.text


def test_no_number_depends_on_a_photo(client: FlaskClient) -> None:
    identifier = send(client, picture()).json["photo_id"]
    with_one, without = (
        client.post("/v1/assessments", json=case).json for case in (with_photos(identifier), with_photos())
    )
    for made in (with_one, without):
        for key in ("assessment_id", "created_at"):
            del made[key]
    assert with_one == without


def test_the_same_picture_or_the_same_key_makes_one_photo(client: FlaskClient) -> None:
    first = send(client, picture(), **{"Idempotency-Key": "p1"}).json
    assert send(client, picture(), **{"Idempotency-Key": "p1"}).json == first
    assert send(client, picture()).json == first
    assert send(client, picture(colour="red"), **{"Idempotency-Key": "p1"}).status_code == 422


def test_a_photo_that_nobody_sent_is_a_fault_with_its_place(app: Flask, client: FlaskClient) -> None:
    foreign = send(client, picture(colour="blue"), **key_for(app, "dealer")).json["photo_id"]
    mine = send(client, picture()).json["photo_id"]
    answer = client.post("/v1/assessments", json=with_photos(mine, "0" * 32, foreign))
    assert answer.status_code == 422
    assert [fault["pointer"] for fault in answer.json["faults"]] == ["/findings/0/photos/1", "/findings/0/photos/2"]


def test_an_erased_photo_is_gone(client: FlaskClient) -> None:
    location = send(client, picture(colour="green")).headers["Location"]
    assert client.delete(location).status_code == 204
    assert client.get(location).status_code == 404
    assert client.delete(location).status_code == 404


@pytest.mark.parametrize(
    ("data", "kind", "status"),
    [
        (b"no picture", "image/png", 422),
        (picture(), "image/gif", 415),
        (picture(), "application/json", 415),
        (b"\x00" * (PHOTO_BYTES_LIMIT + 1), "image/png", 413),
    ],
)
def test_what_is_no_picture_is_refused(client: FlaskClient, data: bytes, kind: str, status: int) -> None:
    answer = send(client, data, kind)
    assert answer.status_code == status
    assert answer.content_type == "application/problem+json"
