"""The application factory. Nothing is opened or loaded before create_app is called."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flask import Flask
from flask_smorest import Api
from werkzeug.middleware.proxy_fix import ProxyFix

from riskapi import __version__
from riskapi.intake import BYTES_LIMIT
from riskapi.web import (
    access,
    assessments,
    batches,
    body,
    checklists,
    checks,
    compression,
    documents,
    engines,
    headers,
    health,
    identities,
    limits,
    logs,
    metrics,
    outcomes,
    pages,
    photos,
    preview,
    problems,
    public,
    public_pages,
    publications,
    recalls,
    sealing,
    versions,
    webhooks,
    what_if,
)
from riskapi.web.state import attach, make_state

_DESCRIPTION = (
    "From what is known about an engine's weak points, and what was found on a used car with such an engine, to a "
    "scored risk, an expected cost, a price and a report.\n\n"
    "A quantity is always a number with its unit. The score is the chance in per cent that surprise engine repairs "
    "cost more than the repair budget over the ownership period. Everything here covers the engine only."
)
_KEY = {
    "type": "http",
    "scheme": "bearer",
    "description": "A key that 'riskapi keys create' made. A single user's installation needs none on its own machine.",
}
_OPENAPI = {
    "API_TITLE": "riskapi",
    "API_VERSION": __version__,
    "OPENAPI_VERSION": "3.1.0",
    "API_SPEC_OPTIONS": {
        "info": {"description": _DESCRIPTION, "license": {"name": "Apache-2.0", "identifier": "Apache-2.0"}},
        "servers": [{"url": "/"}],
        "security": [{"key": []}],
        "components": {"securitySchemes": {"key": _KEY}},
    },
}
_API = (
    assessments,
    batches,
    versions,
    identities,
    recalls,
    preview,
    photos,
    webhooks,
    outcomes,
    what_if,
    checklists,
    engines,
    checks,
    publications,
    public,
    sealing,
    health,
)


def create_app(config: Mapping[str, Any] | None = None) -> Flask:
    """The WSGI application.

    config: KNOWLEDGE (a folder; default: the pack in force), DATABASE_URL (default: RISKAPI_DATABASE_URL, else SQLite
    in the user's data folder), ACCESS ('alone': requests from this machine itself need no key; 'keys': all do),
    PUBLIC_URL (where the public reaches this service; default: RISKAPI_PUBLIC_URL), what else riskapi/web/settings.py
    has, and any setting of Flask. Raises KnowledgeError or InputError with every fault.
    """
    app = Flask(__name__, static_folder=None)
    app.config.from_mapping(_OPENAPI, MAX_CONTENT_LENGTH=BYTES_LIMIT + 1)
    app.config.from_mapping(config or {})
    app.json.sort_keys = False  # type: ignore[attr-defined]
    attach(app, make_state(app.config))
    counts = metrics.Metrics()
    logs.register(app, counts.count)
    headers.register(app)
    compression.register(app)
    limits.register(app)
    access.register(app)
    limits.register_account(app)
    body.register(app)
    metrics.register(app, counts)
    _add_routes(app)
    problems.register(app)
    if proxies := app.config.get("PROXIES"):
        app.wsgi_app = ProxyFix(app.wsgi_app, x_for=proxies, x_proto=proxies)  # type: ignore[method-assign]
    return app


def _add_routes(app: Flask) -> None:
    api: Any = Api(app)
    api.DEFAULT_ERROR_RESPONSE_NAME = None
    for module in _API:
        api.register_blueprint(module.routes.blueprint)
        access.allow(app, module.routes.access)
    documents.register(app, _document(api))
    pages.register(app)
    public_pages.register(app)
    if unsaid := sorted(access.unsaid(app)):
        raise RuntimeError(f"nobody said who may use {', '.join(unsaid)}")


def _document(api: Any) -> dict[str, Any]:
    """The OpenAPI document, without two schemas that flask-smorest adds for features not used here."""
    document: dict[str, Any] = api.spec.to_dict()
    for name in ("Error", "PaginationMetadata"):
        document["components"]["schemas"].pop(name, None)
    return document
