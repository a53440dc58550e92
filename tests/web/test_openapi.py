"""The published document: valid OpenAPI 3.1, complete, and true of what is answered."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from openapi_spec_validator import validate

from riskapi.web.problem_texts import TYPES
from riskapi.web.sample import SAMPLE
from tests.conftest import SAMPLES
from tests.web.shapes import complaints, published

PATHS = {
    "/healthz",
    "/readyz",
    "/v1/assessments",
    "/v1/previews",
    "/v1/assessments/{identifier}",
    "/v1/assessments/{identifier}/audit.zip",
    "/v1/assessments/{identifier}/findings",
    "/v1/assessments/{identifier}/identity",
    "/v1/assessments/{identifier}/rescore",
    "/v1/assessments/{identifier}/versions",
    "/v1/assessments/{identifier}/sensitivity",
    "/v1/assessments/{identifier}/what-if",
    "/v1/assessments/{identifier}/watch.ics",
    "/v1/assessments/{identifier}/report.pdf",
    "/v1/checklists",
    "/v1/checklists/checklist.pdf",
    "/v1/checklists/clipboard.pdf",
    "/v1/checklists/call-sheet.pdf",
    "/v1/checks",
    "/v1/checks/{identifier}",
    "/v1/assessments/{identifier}/outcome",
    "/v1/outcomes.ndjson",
    "/v1/batches",
    "/v1/photos",
    "/v1/recalls",
    "/v1/photos/{identifier}",
    "/v1/webhooks",
    "/v1/webhooks/{identifier}",
    "/v1/webhooks/{identifier}/deliveries",
    "/v1/webhooks/{identifier}/replay",
    "/v1/webhooks/{identifier}/rotate",
    "/v1/engines",
    "/v1/engines/{family}",
    "/v1/engines/{family}/{revision}",
    "/v1/engines/{family}/{revision}/against/{other}",
    "/v1/disputes/{identifier}/remove",
    "/v1/disputes/{identifier}/reply",
    "/v1/public/{token}",
    "/v1/public/{token}/disputes",
    "/v1/publications",
    "/v1/publications/{identifier}",
    "/v1/publications/{identifier}/disputes",
    "/v1/publications/{identifier}/withdraw",
    "/v1/seal-keys",
    "/v1/verify",
}


def test_it_is_valid_openapi_3_1(document: dict[str, Any]) -> None:
    validate(document)
    assert document["openapi"].startswith("3.1")


def test_it_tells_every_route(app: Flask, document: dict[str, Any]) -> None:
    assert set(document["paths"]) == PATHS
    served = {rule.rule for rule in app.url_map.iter_rules() if "pages." not in rule.endpoint}
    assert len(served) == len(PATHS) + 3  # itself, the page for people, and what Prometheus reads


def test_every_operation_has_a_name_of_its_own(document: dict[str, Any]) -> None:
    """Programs that make clients from the document name their functions so."""
    operations = [one for path in document["paths"].values() for name, one in path.items() if name != "parameters"]
    names = [operation["operationId"] for operation in operations]
    assert len(set(names)) == len(names)


def test_every_schema_is_used(document: dict[str, Any]) -> None:
    text = str(document)
    unused = [name for name in document["components"]["schemas"] if f"'#/components/schemas/{name}'" not in text]
    assert unused == []


def test_every_property_has_words(document: dict[str, Any]) -> None:
    mute = [
        f"{name}.{key}"
        for name, schema in document["components"]["schemas"].items()
        for key, value in schema.get("properties", {}).items()
        if "description" not in value and not any("description" in part for part in value.get("anyOf", []))
    ]
    assert mute == []


def test_the_examples_are_the_shipped_cases_and_fit_the_schema(document: dict[str, Any]) -> None:
    body = document["paths"]["/v1/assessments"]["post"]["requestBody"]["content"]["application/json"]
    told = {name: example["value"] for name, example in body["examples"].items()}
    shipped = {path.stem: json.loads(path.read_text()) for path in SAMPLES}
    assert told == {"described_by_traits": SAMPLE, **shipped}
    for case in told.values():
        assert complaints(published(document, "Case"), case) == []


@pytest.mark.parametrize(
    "wrong",
    [
        {"vehicle": {"engine": {}, "odometer": 138000}},
        {"as_of": 20240501},
        {"findings": [{"check": 5}]},
        {"colour": "blue"},
    ],
)
def test_the_schema_refuses_what_the_intake_refuses(document: dict[str, Any], wrong: dict[str, Any]) -> None:
    assert complaints(published(document, "Case"), {**SAMPLE, **wrong}) != []


def test_the_page_for_people_tells_every_route_and_fetches_nothing(client: FlaskClient) -> None:
    answer = client.get("/v1/docs")
    assert answer.content_type.startswith("text/html")
    for path in PATHS:
        assert path in answer.text
    for name in TYPES:
        assert f'id="{name}"' in answer.text
    told = re.sub(r"<pre>.*?</pre>", "", answer.text, flags=re.DOTALL)  # programs to copy
    assert "http://" not in told
    assert "https://" not in told
    assert "<script" not in answer.text
    assert "default-src 'none'; style-src 'sha256-" in answer.headers["Content-Security-Policy"]
