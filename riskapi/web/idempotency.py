"""Idempotency-Key: a write that is sent again makes nothing new.

The header as in the IETF draft 'The Idempotency-Key HTTP Header Field': a structured string (RFC 8941) or a bare word.
"""

from __future__ import annotations

import re

from flask import request

from riskapi.domain.sentence import at_fault, told
from riskapi.errors import HeaderError

HEADER = "Idempotency-Key"
DESCRIPTION = (
    "A key of your own for this write, for instance a UUID. The same key with the same body gives the same answer and "
    "makes nothing new; with another body it is refused."
)
_SHAPE = re.compile(r"[\x21-\x7e]{1,255}")


def idempotency_key() -> str | None:
    """The key of this request. Raises HeaderError when it is none."""
    stated = request.headers.get(HEADER)
    if stated is None:
        return None
    key = stated[1:-1] if len(stated) > 1 and stated[0] == stated[-1] == '"' else stated
    if not _SHAPE.fullmatch(key):
        mend = told("Send 1 to 255 printable ASCII characters.")
        raise HeaderError([at_fault(HEADER, told("This is no key."), mend)])
    return key
