"""Reading a request body: JSON only, never longer than a case may be, chunked or not."""

from __future__ import annotations

from flask import request
from werkzeug.exceptions import UnsupportedMediaType


def json_body() -> bytes:
    """The bytes of the request body. Aborts with 413 or 415.

    The limit is the application's MAX_CONTENT_LENGTH, which also holds for a body without a stated length.
    """
    if not request.is_json:
        raise UnsupportedMediaType('Send the case with "Content-Type: application/json".')
    if request.headers.get("Content-Encoding", "identity") != "identity":
        raise UnsupportedMediaType("Send the case without a content encoding.")
    return request.get_data(cache=False)
