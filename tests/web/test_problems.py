"""Every error is a problem, and none tells about the inside."""

from __future__ import annotations

import logging
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy.exc import OperationalError, ProgrammingError

from riskapi.domain.sentence import at_fault, told
from riskapi.errors import Fault, FindingsClash, TooComplex
from riskapi.storage import Repository
from riskapi.web.sample import SAMPLE
from tests.web.shapes import pointers, problem

INSIDE = "the secret of the house"


@pytest.fixture
def failing(monkeypatch: pytest.MonkeyPatch) -> Any:
    """Makes the pipeline raise what the test gives it."""

    def raise_in_pipeline(error: Exception) -> None:
        def fail(*_: object) -> None:
            raise error

        monkeypatch.setattr("riskapi.service.assess_from", fail)

    return raise_in_pipeline


def test_an_unknown_path(client: FlaskClient) -> None:
    told = problem(client.get("/v1/nothing"), 404)
    assert told["type"] == "about:blank"
    assert told["title"] == "Not Found"


def test_a_method_that_is_not_there_names_those_that_are(client: FlaskClient) -> None:
    answer = client.delete("/v1/assessments")
    problem(answer, 405)
    assert set(answer.headers["Allow"].split(", ")) == {"GET", "HEAD", "OPTIONS", "POST"}


def test_findings_that_cannot_be_together(client: FlaskClient, failing: Any) -> None:
    failing(FindingsClash([at_fault("/findings/0", told("It is no text."), told("Count again."))]))
    answer = problem(client.post("/v1/assessments", json=SAMPLE), 422)
    assert answer["type"] == "/v1/docs#findings-clash"
    assert pointers(answer) == ["/findings/0"]


def test_too_complex_names_what_makes_it_so(client: FlaskClient, failing: Any) -> None:
    failing(
        TooComplex("Too large an array.", ["a", "b"], [Fault("/findings/3", "It hangs together.", "Leave it out.")])
    )
    told = problem(client.post("/v1/assessments", json=SAMPLE), 422)
    assert told["type"] == "/v1/docs#too-complex"
    assert told["detail"] == "Too large an array."
    assert pointers(told) == ["/findings/3"]


def test_an_accident_is_logged_and_not_told(
    client: FlaskClient, failing: Any, caplog: pytest.LogCaptureFixture
) -> None:
    failing(RuntimeError(INSIDE))
    with caplog.at_level(logging.ERROR):
        answer = client.post("/v1/assessments", json=SAMPLE)
    told = problem(answer, 500)
    for word in (INSIDE, "RuntimeError", "Traceback", ".py"):
        assert word not in answer.text
    assert told["request_id"] in caplog.text
    assert INSIDE in caplog.text


def test_nothing_is_kept_when_the_result_cannot_be_written(
    app: Flask, client: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept: list[object] = []

    def fail(*_: object, **__: object) -> object:
        raise RuntimeError(INSIDE)

    monkeypatch.setattr("riskapi.desk.making.result_to_json", fail)
    monkeypatch.setattr(Repository, "add", lambda *given: kept.append(given))
    problem(client.post("/v1/assessments", json=SAMPLE), 500)
    assert kept == []


def test_a_database_that_is_away_for_a_while(client: FlaskClient, monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: object) -> None:
        raise OperationalError("SELECT 1", {}, Exception(INSIDE))

    monkeypatch.setattr(Repository, "page", fail)
    answer = client.get("/v1/assessments")
    assert problem(answer, 503)["type"] == "/v1/docs#database-away"
    assert int(answer.headers["Retry-After"]) > 0
    assert INSIDE not in answer.text


def test_a_mistake_of_the_program_in_the_database_is_not_the_databases(
    client: FlaskClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object) -> None:
        raise ProgrammingError("SELECT 1", {}, Exception(INSIDE))

    monkeypatch.setattr(Repository, "page", fail)
    problem(client.get("/v1/assessments"), 500)


def test_a_query_at_fault(client: FlaskClient) -> None:
    told = problem(client.get("/v1/checks?limit=0&cursor=x"), 422)
    assert told["type"] == "/v1/docs#query-at-fault"
    assert [fault["parameter"] for fault in told["faults"]] == ["limit"]
