"""Somebody who means harm: everything he sends is refused with a plain problem, or comes out as the text it is.

Patterns of attack by the OWASP Testing Guide (injection) and RFC 7493 (I-JSON), RFC 8259; the texts are our own.
"""

from __future__ import annotations

import io
import itertools
import json
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from pypdf import PdfReader

from riskapi.web.sample import SAMPLE

TEXTS = {
    "a template": "{{ 7 * 7 }} ${7*7} <%= 7 * 7 %> #{7*7} {0.__class__.__mro__} %(id)s %s%n",
    "markup": "<script>alert(1)</script><b>bold</b><img src='file:///etc/passwd'/><a href='http://x.example'>x</a>",
    "a drawing instruction": ") Tj ET Q /GS1 gs (x) Tj \\) endstream endobj trailer << /Root 1 0 R >>",
    "a path": "../../../../etc/passwd%00.pdf ..\\..\\windows C:\\x file:///etc/passwd",
    "a statement": "'; DROP TABLE assessment; -- \" OR 1=1",
    "a shell word": "$(touch /tmp/riskapi-hostile) `id` | cat & rm -rf",
    "a formula": '=HYPERLINK("http://x.example";"x")',
    "marks that turn the direction": "invoice \u202efdp.exe\u2066 \u200bzero\ufeff width",
    "marks on marks": "e" + "\u0301\u0316\u0489" * 200,
    "another script": "\u0410\u0430 \u4e2d\u6587 \U0001f600 \U000e0041",
    "a very long word": "W" * 1_900,
}


def hostile(text: str) -> dict[str, Any]:
    case = json.loads(json.dumps(SAMPLE))
    case["reference"] = text[:200]
    case["visit"] = {"place": text}
    case["service_history"][0]["note"] = text
    case["service_history"].append({"date": "2020-01-01", "work": "other", "item": text[:100], "note": text})
    case["findings"] = [{"check": "oil_level", "result": "low", "note": text}]
    return dict(case)


@pytest.fixture(scope="module")
def harmless(app: Flask) -> dict[str, Any]:
    made: dict[str, Any] = app.test_client().post("/v1/assessments", json=hostile("plain")).json
    return made


@pytest.mark.parametrize("name", TEXTS)
def test_a_hostile_text_moves_no_number_and_is_given_back_as_it_is(
    client: FlaskClient, harmless: dict[str, Any], name: str
) -> None:
    answer = client.post("/v1/assessments", json=hostile(TEXTS[name]))
    assert answer.status_code == 201, answer.text
    assert answer.json["reference"] == TEXTS[name][:200]
    for key in ("risk", "cost", "weak_points", "decision"):
        assert answer.json[key] == harmless[key]
    listed = client.get("/v1/assessments", query_string={"reference": TEXTS[name][:200]})
    assert [item["assessment_id"] for item in listed.json["items"]] == [answer.json["assessment_id"]]


@pytest.mark.parametrize(("name", "language"), [*zip(TEXTS, itertools.cycle(("en", "de")), strict=False)])
def test_a_hostile_text_is_printed_as_a_text(client: FlaskClient, name: str, language: str) -> None:
    location = client.post("/v1/assessments", json=hostile(TEXTS[name])).headers["Location"]
    printed = client.get(f"{location}/report.pdf?language={language}")
    assert printed.status_code == 200
    pages = PdfReader(io.BytesIO(printed.data), strict=True).pages
    links = [
        str(mark.get_object().get("/A", {}).get("/URI", "")) for page in pages for mark in page.get("/Annots", []) or []
    ]
    assert not [link for link in links if "x.example" in link or link.startswith("file:")]
    told = "".join(page.extract_text() for page in pages)
    assert "49" not in told.split("7 * 7", 1)[-1][:40]
    for attack, sign in (("a template", "{{ 7 * 7 }} ${7*7} <%= 7 * 7 %>"), ("markup", "<script>alert(1)</script>")):
        assert name != attack or sign in told.replace("\n", " ")


PATHS = [
    "../../../etc/passwd",
    "..%2f..%2fetc%2fpasswd",
    "%2e%2e/%2e%2e",
    "..%5c..%5cx",
    "a%00b",
    "%ff%fe",
    "{{7*7}}",
    "'%20OR%201=1",
    "a" * 3_000,
]


@pytest.mark.parametrize("path", PATHS)
@pytest.mark.parametrize(
    "where", ["/v1/assessments/{}", "/v1/assessments/{}/report.pdf", "/v1/photos/{}", "/v1/engines/{}", "/v1/checks/{}"]
)
def test_a_hostile_id_is_not_found(client: FlaskClient, where: str, path: str) -> None:
    answer = client.get(where.format(path))
    assert answer.status_code in (404, 308), answer.text
    assert "root:" not in answer.text
    assert "Traceback" not in answer.text


NUMBERS = [
    "NaN",
    "Infinity",
    "-Infinity",
    "1e400",
    "-1e400",
    "1e308",
    "9" * 5_000,
    "-0.0",
    "1E-400",
    "0x10",
    "1_000",
    "+1",
    ".5",
    "1.",
]


@pytest.mark.parametrize("number", NUMBERS)
@pytest.mark.parametrize(
    "place", ['"odometer": {"value": %s, "unit": "km"}', '"engine": {"traits": {"cylinders": %s}}']
)
def test_a_hostile_number_is_refused_or_read_as_the_number_it_is(client: FlaskClient, number: str, place: str) -> None:
    text = json.dumps({**SAMPLE, "vehicle": {**SAMPLE["vehicle"], "HOSTILE": 0}})
    body = text.replace('"HOSTILE": 0', place % number)
    answer = client.post("/v1/assessments", data=body, content_type="application/json")
    assert answer.status_code in (400, 422), (number, answer.text[:300])
    assert answer.content_type == "application/problem+json"


@pytest.mark.parametrize(
    "body",
    [
        b"[" * 100_000,
        b'{"a":' * 100_000,
        b'{"vehicle": ' + b"[" * 30 + b"]" * 30 + b"}",
        b'"' + b"\\ud800" * 10 + b'"',
        b'{"as_of": "\x00"}',
        b'{"as_of": "\\u0000"}',
        b"\xff\xfe{\x00}\x00",
        b"\xef\xbb\xbf\xef\xbb\xbf{}",
        b"{" + b",".join(b'"k%d": 1' % n for n in range(60_000)) + b"}",
        b'{"findings": [' + b",".join([b"{}"] * 60_000) + b"]}",
    ],
)
def test_a_hostile_body_is_refused_at_once(client: FlaskClient, body: bytes) -> None:
    for path in ("/v1/assessments", "/v1/checklists"):
        answer = client.post(path, data=body, content_type="application/json")
        assert answer.status_code in (400, 413, 422)
        assert len(answer.data) < 400_000
        assert b"Traceback" not in answer.data


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("Authorization", "Bearer " + "x" * 5_000),
        ("Authorization", "Bearer \x7f\x01"),
        ("Idempotency-Key", "x" * 300),
        ("Idempotency-Key", "a b"),
        ("If-None-Match", '"' * 4_000),
        ("Accept-Language", "en;q=" + "9" * 3_000),
        ("Accept-Language", ",".join(["de"] * 1_000)),
        ("Content-Encoding", "gzip, gzip, gzip"),
        ("Host", "127.0.0.1:99999999"),
        ("Host", "x.example"),
        ("X-Forwarded-For", "127.0.0.1"),
    ],
)
def test_a_hostile_header_does_no_harm(client: FlaskClient, name: str, value: str) -> None:
    for method, path in (("GET", "/v1/engines"), ("POST", "/v1/assessments")):
        answer = client.open(path, method=method, json={} if method == "POST" else None, headers={name: value})
        assert answer.status_code < 500
        assert "x.example" not in answer.text
        assert value not in str(answer.headers)
