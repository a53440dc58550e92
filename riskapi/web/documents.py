"""/v1/openapi.json and, for people, /v1/docs: one page made from the same document, with nothing fetched elsewhere."""

from __future__ import annotations

import base64
import hashlib
import json
from importlib.resources import files
from typing import Any

from flask import Flask, Response, render_template

from riskapi.web.access import ANYBODY, allow
from riskapi.web.problem_texts import TYPES
from riskapi.web.sample import SAMPLE

_STARTS = {
    "inspector.sh": "An inspection from the command line",
    "inspector.py": "An inspection from Python",
    "dealer.sh": "A car on offer",
    "catch_up.py": "Software that was offline and catches up",
}
STYLE = files("riskapi.web").joinpath("templates", "docs.css").read_text(encoding="utf-8")
_STYLE_HASH = base64.b64encode(hashlib.sha256(STYLE.encode()).digest()).decode()
_POLICY = f"default-src 'none'; style-src 'sha256-{_STYLE_HASH}'; frame-ancestors 'none'; base-uri 'none'"


def register(app: Flask, document: dict[str, Any]) -> None:
    """Serve the OpenAPI document and its page."""
    app.add_url_rule("/v1/openapi.json", "openapi", lambda: app.json.response(document))
    app.add_url_rule("/v1/docs", "docs", lambda: _page(document))
    allow(app, {"openapi": ANYBODY, "docs": ANYBODY})


def _page(document: dict[str, Any]) -> Response:
    sample = json.dumps(SAMPLE, indent=2)
    told = {"document": document, "operations": _operations(document), "types": TYPES, "style": STYLE, "sample": sample}
    told["starts"] = [(name, words, quick_start(name)) for name, words in _STARTS.items()]
    page = render_template("docs.html", **told)
    return Response(page, content_type="text/html; charset=utf-8", headers={"Content-Security-Policy": _POLICY})


def quick_start(name: str) -> str:
    """The text of a quick start; each is a program that runs as it is shown."""
    return files("riskapi.web").joinpath("quick_starts", name).read_text(encoding="utf-8")


def _operations(document: dict[str, Any]) -> list[dict[str, Any]]:
    return [
        {"path": path, "method": method.upper(), **operation}
        for path, methods in document["paths"].items()
        for method, operation in methods.items()
        if method in ("get", "post")
    ]
