"""Findings that cannot be together, and findings that hang together too closely, through the whole service."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest
from flask import Flask
from flask.testing import FlaskClient

from riskapi.web.sample import SAMPLE
from riskapi.web.state import attach, state_of
from tests.knots import ENOUGH, clashing_request, knotted, knotted_request
from tests.web.shapes import pointers, problem


@pytest.fixture
def hostile(app: Flask) -> Iterator[FlaskClient]:
    """The application with the hostile pack in place of the shipped one."""
    whole = state_of(app)
    attach(app, replace(whole, pack=knotted()[1]))
    yield app.test_client()
    attach(app, whole)


def test_findings_that_hang_together_too_closely_are_named_with_their_places(hostile: FlaskClient) -> None:
    told = problem(hostile.post("/v1/assessments", json=knotted_request()), 422)
    assert told["type"] == "/v1/docs#too-complex"
    assert set(pointers(told)) >= {f"/findings/{k}" for k in range(1, ENOUGH + 1)}
    assert "entries" in told["detail"]
    messages = {fault["pointer"]: fault["message"] for fault in told["faults"]}
    assert messages["/findings/1"].startswith("smooth: r1 hangs together")


def test_findings_that_cannot_be_together_are_named_with_their_places(client: FlaskClient) -> None:
    body, places = clashing_request(SAMPLE)
    told = problem(client.post("/v1/assessments", json=body), 422)
    assert told["type"] == "/v1/docs#findings-clash"
    assert pointers(told) == places
    for fault in told["faults"]:
        assert fault["message"].endswith(
            ": Feel the play of the turbocharger shaft: usual play, "
            "Feel the play of the turbocharger shaft: wheel touches."
        )


def test_either_of_them_alone_is_answered(client: FlaskClient) -> None:
    body, _ = clashing_request(SAMPLE)
    for left_out in (-1, -2):
        one = {**body, "findings": [f for k, f in enumerate(body["findings"]) if k != len(body["findings"]) + left_out]}
        assert client.post("/v1/assessments", json=one).status_code == 201
