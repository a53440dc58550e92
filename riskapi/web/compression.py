"""Answers in gzip for whoever takes it: a checklist goes over a yard's weak signal.

No answer carries both a secret and what somebody else sent, so its length tells nothing.
"""

from __future__ import annotations

import gzip

from flask import Flask, Response, request

LEAST = 1_000  # bytes below which it is not worth it
_TYPES = ("text/html", "text/css", "text/javascript", "image/svg+xml", "application/json", "text/calendar")


def register(app: Flask) -> None:
    """Compress the answers of this application; entity tags are those of what is sent."""
    app.after_request(_compress)


def _compress(response: Response) -> Response:
    if response.mimetype not in _TYPES or response.status_code not in (200, 201, 422) or response.is_streamed:
        return response
    response.vary.add("Accept-Encoding")
    if not request.accept_encodings["gzip"] or len(response.get_data()) < LEAST:
        return response
    response.set_data(gzip.compress(response.get_data(), 6, mtime=0))
    response.headers["Content-Encoding"] = "gzip"
    return response
