"""What schemathesis has to be told about this service: how lines of JSON and PDFs are sent."""

from __future__ import annotations

from typing import Any

import schemathesis


@schemathesis.serializer("application/x-ndjson", "application/pdf")
def as_it_is(_context: Any, value: Any) -> bytes:
    return value if isinstance(value, bytes) else str(value).encode(errors="surrogatepass")
