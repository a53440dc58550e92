"""Problems in German: all that an answer says, wherever the language is asked for, with the same places and facts."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import pytest
from flask.testing import FlaskClient
from marshmallow import Schema, ValidationError
from marshmallow.validate import Length, OneOf, Range

from riskapi.domain.sentence import Sentence, at_fault, told
from riskapi.errors import (
    FromElsewhere,
    KeyReused,
    NoKey,
    NotAllowed,
    NotFound,
    NothingNewer,
    NotPublishable,
    Outdated,
    Overtaken,
    RiskapiError,
    TooComplex,
    TooMany,
    TooOften,
)
from riskapi.web.assessment_list import AssessmentQuerySchema
from riskapi.web.assessments import EditionQuerySchema
from riskapi.web.batches import BatchQuerySchema
from riskapi.web.engines import ViewQuerySchema
from riskapi.web.language import UnitsField
from riskapi.web.problem_texts import TYPES, title
from riskapi.web.publication_schemas import PublicQuerySchema
from riskapi.web.query_faults import query_faults
from riskapi.web.sample import SAMPLE
from tests.german import check_told_in_german, english_in
from tests.web.shapes import complaints, problem, published
from tests.web.test_bad_input import BAD

GERMAN = {"Accept-Language": "de"}
ERRORS: tuple[RiskapiError, ...] = (
    TooComplex(told("Count again."), ["a"], [at_fault("/findings/0", told("It is no text."), told("Remove it."))]),
    NotFound("revision", "x"),
    TooOften("account", 7),
    NotAllowed("buyer", ["curator", "dealer"]),
    Outdated("assessment", "x", "0.9"),
    Overtaken("assessment", "x"),
    NothingNewer("assessment", "x"),
    NotPublishable(at_fault("/photos", told("It is no text."), told("Remove it."))),
    TooMany("disputes of one publication", 20),
    NoKey(shown=False),
    NoKey(shown=True),
    FromElsewhere(),
    KeyReused("k"),
    RiskapiError("of no kind that anybody told of"),
)
QUERIES = (AssessmentQuerySchema, EditionQuerySchema, BatchQuerySchema, ViewQuerySchema, PublicQuerySchema)


def said(answer: dict[str, Any]) -> list[str]:
    """Every text for people in a problem."""
    faults = [fault[key] for fault in answer.get("faults", []) for key in ("message", "mend")]
    return [answer["title"], *([answer["detail"]] if "detail" in answer else []), *faults]


def check(english: dict[str, Any], german: dict[str, Any]) -> None:
    """Both say as much, and nothing of the German one is English."""
    assert (german["type"], german["status"]) == (english["type"], english["status"])
    assert len(said(german)) == len(said(english))
    for one, other in zip(said(english), said(german), strict=True):
        assert one != other
        assert english_in(other) == []
    places = ("pointer", "parameter", "header")
    assert [{k: v for k, v in fault.items() if k in places} for fault in german.get("faults", [])] == [
        {k: v for k, v in fault.items() if k in places} for fault in english.get("faults", [])
    ]


@pytest.mark.parametrize("name", BAD)
def test_a_case_at_fault_in_german(name: str, client: FlaskClient, document: dict[str, Any]) -> None:
    plain, answer = (client.post("/v1/assessments", json=BAD[name][0], headers=asked) for asked in ({}, GERMAN))
    assert (plain.headers["Content-Language"], answer.headers["Content-Language"]) == ("en", "de")
    assert "Accept-Language" in answer.headers["Vary"]
    told_so = problem(answer, 422)
    check(problem(plain, 422), told_so)
    assert complaints(published(document, "Problem", closed=True), told_so) == []


@pytest.mark.parametrize(
    ("query", "accepted", "word"),
    [
        ("", "de-AT, en;q=0.5", "Nicht gefunden"),
        ("?language=de", "en", "Nicht gefunden"),
        ("?language=en", "de", "Not Found"),
        ("?language=fr", "de", "Nicht gefunden"),
        ("", "fr", "Not Found"),
    ],
)
def test_the_query_wins_then_what_the_client_accepts(client: FlaskClient, query: str, accepted: str, word: str) -> None:
    answer = client.get(f"/v1/nothing{query}", headers={"Accept-Language": accepted})
    assert problem(answer, 404)["title"] == word


@pytest.mark.parametrize("error", ERRORS, ids=lambda error: type(error).__name__)
def test_every_error_in_german(client: FlaskClient, monkeypatch: pytest.MonkeyPatch, error: RiskapiError) -> None:
    def fail(*_: object) -> None:
        raise error

    monkeypatch.setattr("riskapi.service.assess_from", fail)
    plain, german = (client.post("/v1/assessments", json=SAMPLE, headers=asked) for asked in ({}, GERMAN))
    check(plain.get_json(force=True), german.get_json(force=True))


def test_what_is_no_case_in_german(client: FlaskClient) -> None:
    for body, kind in ((b"{", "application/json"), (b"{}", "text/plain"), (bytes(1_000_001), "application/json")):
        plain, german = (
            client.post("/v1/assessments", data=body, content_type=kind, headers=asked) for asked in ({}, GERMAN)
        )
        check(plain.get_json(force=True), german.get_json(force=True))


def test_pictures_headers_and_documents_in_german(client: FlaskClient) -> None:
    asked: tuple[tuple[str, bytes, str, dict[str, str]], ...] = (
        ("/v1/photos", b"no picture", "image/png", {}),
        ("/v1/photos", b"no picture", "text/plain", {}),
        ("/v1/assessments", json.dumps(SAMPLE).encode(), "application/json", {"Idempotency-Key": "\x7f"}),
        ("/v1/verify", b"", "text/plain", {}),
        ("/v1/batches", b"", "text/plain", {}),
        ("/v1/webhooks", b'{"url": "ftp://x", "events": []}', "application/json", {}),
        ("/v1/publications", b"{}", "application/json", {}),
    )
    for path, body, kind, headers in asked:
        plain, german = (
            client.post(path, data=body, content_type=kind, headers={**headers, **language})
            for language in ({}, GERMAN)
        )
        assert plain.status_code >= 400, path
        check(plain.get_json(force=True), german.get_json(force=True))


def test_the_lines_of_a_batch_in_german(client: FlaskClient) -> None:
    body = b'{"as_of": 5}\n' + b"[" * 5 + b"\n"
    plain, german = (
        client.post("/v1/batches", data=body, content_type="application/x-ndjson", headers=asked).text.splitlines()
        for asked in ({}, GERMAN)
    )
    assert len(plain) == len(german) == 3
    for one, other in zip(plain[:2], german[:2], strict=True):
        check(json.loads(one)["problem"], json.loads(other)["problem"])


def test_every_type_and_every_documented_status_has_a_title_in_german(document: dict[str, Any]) -> None:
    statuses = {
        int(status)
        for methods in document["paths"].values()
        for operation in methods.values()
        if isinstance(operation, dict)
        for status in operation.get("responses", {})
        if status.isdecimal() and int(status) >= 400
    }
    assert len(statuses) > 6
    plain = {status for status in statuses if not isinstance(title(status, None), Sentence)}
    assert plain == {409, 412}  # these always come with a type
    assert all(isinstance(words, Sentence) for words in TYPES.values())


# ---- the query ---------------------------------------------------------------------------------------------------


def test_whatever_a_parameter_is_refused_for_is_told_in_german() -> None:
    messages = sorted({message for schema in QUERIES for message in refusals(schema())})
    assert len(messages) >= 12
    for fault in query_faults({"query": {"name": messages}}):
        check_told_in_german(fault)
        assert isinstance(fault.message, Sentence)
        assert fault.message.pattern != "{message}", fault.message
    assert [fault.message for fault in query_faults({"query": {"name": messages}})] == messages


def refusals(schema: Schema) -> Iterator[str]:
    """What its fields and their validators can say."""
    for field in schema.fields.values():
        yield from (words for key, words in field.error_messages.items() if key != "required")  # none of them is
        for validator in field.validators:
            assert isinstance(validator, Range | Length | OneOf), validator
            yield from messages_of(lambda check=validator: [check(value) for value in wrong_for(check)])  # type: ignore[misc]
        if isinstance(field, UnitsField):
            for text in ("miles", "km,mi", "psi,km"):
                yield from messages_of(lambda field=field, text=text: field.deserialize(text))  # type: ignore[misc]


def wrong_for(validator: object) -> list[Any]:
    if isinstance(validator, Range):
        return [1e12]
    return ["x" * 10_000]


def messages_of(refuse: Any) -> list[str]:
    with pytest.raises(ValidationError) as caught:
        refuse()
    return [str(message) for message in caught.value.messages]
