"""Checking answers against the published OpenAPI document."""

from __future__ import annotations

import copy
from typing import Any

from jsonschema import Draft202012Validator
from werkzeug.test import TestResponse


def published(document: dict[str, Any], name: str, *, closed: bool = False) -> Draft202012Validator:
    """The validator of one published schema; `closed` also refuses keys that the document does not tell."""
    components = copy.deepcopy(document["components"])
    if closed:
        for schema in components["schemas"].values():
            if "properties" in schema:
                schema.setdefault("additionalProperties", False)
    schema = {"$ref": f"#/components/schemas/{name}", "components": components}
    return Draft202012Validator(schema, format_checker=Draft202012Validator.FORMAT_CHECKER)


def complaints(validator: Draft202012Validator, value: Any) -> list[str]:
    return [f"{error.json_path}: {error.message}" for error in validator.iter_errors(value)]


def problem(answer: TestResponse, status: int) -> dict[str, Any]:
    """The problem details of an answer; checks what RFC 9457 and the house ask of every one of them."""
    assert answer.status_code == status, answer.text
    assert answer.content_type == "application/problem+json"
    told: dict[str, Any] = answer.json if answer.json is not None else answer.get_json(force=True)
    assert told["status"] == status
    assert told["title"]
    assert told["type"]
    assert told["request_id"] == answer.headers["X-Request-Id"]
    for fault in told.get("faults", []):
        assert fault["message"]
        assert fault["mend"]
    return told


def pointers(told: dict[str, Any]) -> list[str]:
    return [fault["pointer"] for fault in told["faults"]]
