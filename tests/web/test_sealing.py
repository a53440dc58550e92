from __future__ import annotations

import hashlib
import io
from datetime import UTC, datetime
from typing import Any

from cryptography.hazmat.primitives.serialization import load_pem_public_key
from flask import Flask
from flask.testing import FlaskClient

from riskapi.report.seal import check, key_id
from riskapi.web.body import PDF_BYTES_LIMIT
from riskapi.web.sample import SAMPLE
from riskapi.web.state import state_of


def verdict(client: FlaskClient, data: bytes) -> Any:
    answer = client.post("/v1/verify", data=data, content_type="application/pdf")
    assert answer.status_code == 200, answer.text
    return answer.get_json()


def test_a_report_is_unchanged(client: FlaskClient, made: str) -> None:
    data = client.get(f"{made}/report.pdf").data
    found = verdict(client, data)
    assert found["status"] == "unchanged"
    assert "nothing about the car" in found["words"]
    assert found["content_sha256"] == hashlib.sha256(client.get(made).data).hexdigest()
    assert found["dated"] == client.get(made).get_json()["created_at"]
    assert found["key"]["id"] == found["key_id"]
    assert found["key"]["retired_at"] is None


def test_a_form_is_read_too(client: FlaskClient, made: str) -> None:
    data = client.get(f"{made}/report.pdf").data
    answer = client.post("/v1/verify", data={"file": (io.BytesIO(data), "any name.pdf")})
    assert answer.get_json()["status"] == "unchanged"


def test_a_checklist_is_sealed(client: FlaskClient) -> None:
    printed = client.post("/v1/checklists/checklist.pdf", json=SAMPLE)
    told = client.post("/v1/checklists", json=SAMPLE)
    found = verdict(client, printed.data)
    assert found["status"] == "unchanged"
    assert found["content_sha256"] == hashlib.sha256(told.data).hexdigest()


def test_changed_and_foreign_documents_are_told_apart(client: FlaskClient, made: str) -> None:
    data = client.get(f"{made}/report.pdf").data
    assert verdict(client, data[:9000] + bytes([data[9000] ^ 4]) + data[9001:])["status"] == "changed"
    assert verdict(client, data + b"\n")["status"] == "changed"
    assert verdict(client, b"")["status"] == "not_sealed"
    nothing = verdict(client, b"%PDF-1.4")
    assert (nothing["key_id"], nothing["key"], nothing["dated"], nothing["content_sha256"]) == (None,) * 4


def test_the_public_keys_check_offline(client: FlaskClient, made: str) -> None:
    items = client.get("/v1/seal-keys").get_json()["items"]
    public = [load_pem_public_key(item["public_key"].encode()).public_bytes_raw() for item in items]  # type: ignore[union-attr]
    assert [key_id(each) for each in public] == [item["id"] for item in items]
    keys = {key_id(each): each for each in public}
    assert check(client.get(f"{made}/report.pdf").data, keys).standing == "unchanged"


def test_after_a_rotation_old_seals_check_and_new_ones_name_the_new_key(app: Flask, client: FlaskClient) -> None:
    old = client.post("/v1/checklists/checklist.pdf", json=SAMPLE).data
    new_key = state_of(app).seal_keys.rotate(datetime.now(UTC))
    new = client.post("/v1/checklists/checklist.pdf", json=SAMPLE).data
    before, after = verdict(client, old), verdict(client, new)
    assert (before["status"], after["status"]) == ("unchanged", "unchanged")
    assert before["key"]["retired_at"] is not None
    assert after["key_id"] == new_key.id != before["key_id"]


def test_what_is_no_document_is_refused(client: FlaskClient) -> None:
    for more in ({"json": {}}, {"data": {"other": "x"}}, {"data": b"x", "content_type": "text/plain"}, {}):
        answer = client.post("/v1/verify", **more)
        assert answer.status_code == 415
        assert "application/pdf" in answer.get_json()["detail"]


def test_a_document_has_a_longest_size(client: FlaskClient) -> None:
    assert client.post("/v1/verify", data=bytes(PDF_BYTES_LIMIT + 1), content_type="application/pdf").status_code == 413
    form = (
        b'--x\r\nContent-Disposition: form-data; name="file"; filename="x"\r\n\r\n'
        + bytes(PDF_BYTES_LIMIT + 1)
        + b"\r\n--x--"
    )
    kind = "multipart/form-data; boundary=x"
    assert client.post("/v1/verify", data=form, content_type=kind).status_code == 413
    assert verdict(client, bytes(1_500_000))["status"] == "not_sealed"
