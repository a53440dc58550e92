"""What schemathesis has to be told about this service: how lines of JSON are sent."""

from __future__ import annotations

from typing import Any

import schemathesis


@schemathesis.serializer("application/x-ndjson")
def lines(_context: Any, value: Any) -> bytes:
    return value if isinstance(value, bytes) else str(value).encode(errors="surrogatepass")
