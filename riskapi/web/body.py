"""Reading a request body: JSON only, never longer than a case may be, chunked or not."""

from __future__ import annotations

from flask import Flask, Response, request
from werkzeug.exceptions import RequestEntityTooLarge, UnsupportedMediaType

from riskapi.domain.sentence import told
from riskapi.intake import BYTES_LIMIT

PDF_BYTES_LIMIT = 20_000_000  # bytes of a document whose seal is looked at
DRAIN_LIMIT = 16_000_000  # bytes of a refused body that are still taken off the wire
_PIECE = 65_536


def register(app: Flask) -> None:
    """See to it that a client gets the answer to a body that was refused."""
    app.after_request(_drain)


def json_body() -> bytes:
    """The bytes of the request body. Aborts with 413 or 415.

    MAX_CONTENT_LENGTH is one byte more than a case may have: a body without a stated length is cut there.
    """
    if not request.is_json:
        raise UnsupportedMediaType(told('Send the case with "Content-Type: application/json".'))
    if request.headers.get("Content-Encoding", "identity") != "identity":
        raise UnsupportedMediaType(told("Send the case without a content encoding."))
    body = request.get_data(cache=False)
    if len(body) > BYTES_LIMIT:
        raise RequestEntityTooLarge
    return body


def _drain(response: Response) -> Response:
    """Take the rest of a refused body off the wire, within bounds.

    A server that closes a connection with unread bytes resets it, and many clients then never see the answer. Only
    where the server ends the stream with the body (wsgi.input_terminated), so that reading cannot wait for more.
    """
    if response.status_code >= 400 and request.environ.get("wsgi.input_terminated"):
        stream, left = request.environ["wsgi.input"], DRAIN_LIMIT
        while left > 0 and (piece := stream.read(min(_PIECE, left))):
            left -= len(piece)
    return response
