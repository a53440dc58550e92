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
    assert headers["Cache-Control"] == ("no-store" if path == "/v1/nothing" else "private, no-cache")


def test_every_request_has_its_own_id(client: FlaskClient) -> None:
    ids = {client.get("/healthz").headers["X-Request-Id"] for _ in range(5)}
    assert len(ids) == 5


def test_what_has_not_changed_is_not_sent_again(client: FlaskClient, made: str) -> None:
    for path in (made, f"{made}/report.pdf", "/v1/engines", "/v1/checks/oil_level"):
        first = client.get(path)
        again = client.get(path, headers={"If-None-Match": first.headers["ETag"]})
        assert (again.status_code, again.data) == (304, b"")
        assert again.headers["ETag"] == first.headers["ETag"]
        assert client.get(path, headers={"If-None-Match": '"other"'}).data == first.data


def test_an_error_has_no_entity_tag(client: FlaskClient) -> None:
    assert "ETag" not in client.get("/v1/nothing").headers
