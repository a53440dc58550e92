from __future__ import annotations

import pytest
from flask.testing import FlaskClient


@pytest.mark.parametrize("path", ["/healthz", "/v1/docs", "/v1/openapi.json", "/v1/nothing"])
def test_every_answer_keeps_a_browser_within_bounds(client: FlaskClient, path: str) -> None:
    headers = client.get(path).headers
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Content-Security-Policy"].startswith("default-src 'none'")
    assert "frame-ancestors 'none'" in headers["Content-Security-Policy"]
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["Cache-Control"] == "no-store"


def test_every_request_has_its_own_id(client: FlaskClient) -> None:
    ids = {client.get("/healthz").headers["X-Request-Id"] for _ in range(5)}
    assert len(ids) == 5
