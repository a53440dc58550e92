"""Identities and recalls over HTTP, and that nothing personal gets where it does not belong."""

from __future__ import annotations

import io
import logging
import zipfile
from collections.abc import Iterator
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from pypdf import PdfReader
from sqlalchemy import delete
from sqlalchemy.orm import Session

from riskapi.intake import canonical
from riskapi.intake.identity import commitment
from riskapi.storage.models import RecallRow
from riskapi.web.sample import SAMPLE
from riskapi.web.state import state_of
from tests.web.shapes import complaints, pointers, problem, published

VIN, OTHER = "ZZ9V19K28APUEUAF7", "ZZ9V19K28APUEUAF8"
WORDS = (VIN, "QX 8151", "Zebulon Quartermaine", "7 Nowhere Lane")


def case(vin: str = VIN, **more: Any) -> dict[str, Any]:
    identity = {"plate": "QX 8151", "client": {"name": "Zebulon Quartermaine", "address": "7 Nowhere Lane"}}
    return {**SAMPLE, "vehicle": {**SAMPLE["vehicle"], "vin": vin}, "identity": identity, **more}


def created(client: FlaskClient, sent: dict[str, Any]) -> str:
    answer = client.post("/v1/assessments", json=sent)
    assert answer.status_code == 201, answer.text
    return answer.headers["Location"]


def pdf_text(content: bytes) -> str:
    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(content)).pages)


def unpacked(data: bytes) -> bytes:
    """The text of a file, whatever it is wrapped in."""
    if data.startswith(b"PK"):
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return b"".join(archive.read(name) + name.encode() for name in archive.namelist())
    return pdf_text(data).encode() if data.startswith(b"%PDF-") else data


def test_it_is_read_proved_and_erased(client: FlaskClient, document: dict[str, Any]) -> None:
    sent = case()
    assert complaints(published(document, "Case"), sent) == []
    made = created(client, sent)
    told = client.get(f"{made}/identity").get_json()
    assert complaints(published(document, "IdentityAnswer", closed=True), told) == []
    assert told["content"]["vehicle"] == {"vin": VIN}
    assert commitment(bytes.fromhex(told["salt"]), canonical(told["content"])) == told["commitment"]
    assert client.get(made).get_json()["identity_commitment"] == told["commitment"]
    assert client.delete(f"{made}/identity").status_code == 204
    after = client.get(f"{made}/identity").get_json()
    assert (after["content"], after["salt"], after["commitment"]) == (None, None, told["commitment"])
    assert after["erased_at"]
    assert "identity removed" in pdf_text(client.get(f"{made}/report.pdf").data)


def test_a_case_with_the_same_vin_is_the_next_version(client: FlaskClient) -> None:
    first, second = created(client, case(OTHER)), created(client, case(OTHER))
    versions = client.get(f"{second}/versions").get_json()["items"]
    assert [item["assessment_id"] for item in versions] == [path.rsplit("/", 1)[1] for path in (first, second)]


def test_where_nothing_is_personal_nothing_is_apart(client: FlaskClient, made: str) -> None:
    problem(client.get(f"{made}/identity"), 404)
    assert client.delete(f"{made}/identity").status_code == 204
    problem(client.delete("/v1/assessments/nothing/identity"), 404)


def test_nothing_personal_in_answers_logs_names_links_and_metrics(
    client: FlaskClient, app: Flask, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level(logging.DEBUG)
    sent = case("ZZ9V19K28APUEUAF9", reference="quiet")
    answer = client.post("/v1/assessments", json=sent)
    path = answer.headers["Location"]
    answers = [answer, client.post(f"{path}/findings", json={"findings": [{"check": "look_sump", "result": "dry"}]})]
    answers += [client.post("/v1/assessments", json={**sent, "as_of": "never"}), client.post(f"{path}/rescore")]
    reads = (path, f"{path}/versions", f"{path}/audit.zip", f"{path}/watch.ics", f"{path}/sensitivity")
    answers += [client.get(each) for each in (*reads, "/v1/assessments?reference=quiet", "/metrics", "/healthz")]
    answers.append(client.post(f"{path}/what-if", json={}))
    report = client.get(f"{path}/report.pdf")
    said = [unpacked(each.data) for each in answers] + [str(each.headers).encode() for each in (*answers, report)]
    said.append(caplog.text.encode())
    words = (*WORDS[1:], "ZZ9V19K28APUEUAF9", "UAF9")
    assert [word for word in words for text in said if word.encode() in text] == []
    assert "ends in UAF9" in pdf_text(report.data)
    with Session(state_of(app).repository.engine) as session:
        names = session.connection().exec_driver_sql("SELECT name FROM document").scalars().all()
        events = session.connection().exec_driver_sql("SELECT payload FROM event").scalars().all()
    assert not any(word in name for name in names for word in words)
    assert not any(word.encode() in bytes(event) for event in events for word in words)


@pytest.fixture
def nothing_recalled(app: Flask) -> Iterator[None]:
    yield
    with Session(state_of(app).repository.engine) as session, session.begin():
        session.execute(delete(RecallRow))


def test_a_recall_marks_what_was_made_and_leaves_its_bytes(
    client: FlaskClient, document: dict[str, Any], nothing_recalled: None
) -> None:
    path = created(client, {**SAMPLE, "reference": "recalled"})
    before, first = client.get(path), client.get(f"{path}/report.pdf")
    assert "Knowledge-Recalled" not in before.headers
    wanted = {"digest": before.get_json()["knowledge"]["digest"], "reason": "Hours of one operation were wrong."}
    answer = client.post("/v1/recalls", json=wanted)
    assert answer.status_code == 201, answer.text
    assert complaints(published(document, "Recall", closed=True), answer.get_json()) == []
    assert path.rsplit("/", 1)[1] in answer.get_json()["assessments"]
    assert client.get("/v1/recalls").get_json()["items"] == [answer.get_json()]
    after, marked = client.get(path), client.get(f"{path}/report.pdf")
    assert after.data == before.data
    assert after.headers["Knowledge-Recalled"] == answer.get_json()["recalled_at"]
    assert marked.data != first.data
    assert "Hours of one operation were wrong." in pdf_text(marked.data).replace("\n", " ")
    listed = client.get("/v1/assessments?reference=recalled").get_json()["items"]
    assert [item["recalled"] for item in listed] == [wanted["reason"]]
    assert client.get(f"{path}/versions").get_json()["items"][0]["recalled"] == wanted["reason"]


def test_faults_of_a_recall(client: FlaskClient) -> None:
    problem(client.post("/v1/recalls", json={"digest": "0" * 64, "reason": "Why."}), 404)
    told = problem(client.post("/v1/recalls", json={"digest": "0", "reason": "", "x": 1}), 422)
    assert pointers(told) == ["/digest", "/reason", "/x"]
    assert pointers(problem(client.post("/v1/recalls", json={"digest": "0" * 64, "reason": "a\tb"}), 422)) == [
        "/reason"
    ]
