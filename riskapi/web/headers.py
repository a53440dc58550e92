"""What goes around every request: an id, headers that keep a browser from doing more than it should, and entity tags.

A GET answer carries an ETag; asked again with If-None-Match it is 304 while nothing changed (RFC 9110, section 13).
"""

from __future__ import annotations

import uuid

from flask import Flask, Response, g, request

_ALWAYS = {
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Resource-Policy": "same-origin",
    "X-Frame-Options": "DENY",
}
_POLICY = "default-src 'none'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'"


def register(app: Flask) -> None:
    """Number the requests of this application and add its headers."""
    app.before_request(_number)
    app.after_request(_add)


def _number() -> None:
    g.request_id = uuid.uuid4().hex


def _add(response: Response) -> Response:
    for name, value in _ALWAYS.items():
        response.headers.setdefault(name, value)
    response.headers.setdefault("Content-Security-Policy", _POLICY)
    if request.method == "GET" and response.status_code == 200 and not response.is_streamed:
        response.headers.setdefault("Cache-Control", "private, no-cache")  # kept by who asked, asked again each time
        response.add_etag()
        response.make_conditional(request)
    response.headers.setdefault("Cache-Control", "no-store")
    response.headers["X-Request-Id"] = g.get("request_id", "")
    return response
