"""Documents in the language asked for: the query wins, then Accept-Language, then English."""

from __future__ import annotations

import io
import re
from typing import Any

import icalendar
import pytest
from flask.testing import FlaskClient
from pypdf import PdfReader

from riskapi.web.sample import SAMPLE
from tests.web.shapes import problem

CASE = {**SAMPLE, "visit": {"minutes": {"value": 10, "unit": "min"}}}


def language_of(data: bytes) -> str:
    return str(PdfReader(io.BytesIO(data)).root_object["/Lang"])


@pytest.mark.parametrize(
    ("query", "header", "language"),
    [
        ("", None, "en"),
        ("?language=de", None, "de"),
        ("", "de-AT, en;q=0.5", "de"),
        ("", "fr, de;q=0.8, en;q=0.3", "de"),
        ("", "fr", "en"),
        ("", "en-GB, de;q=0.9", "en"),
        ("?language=en", "de", "en"),
    ],
)
def test_the_query_wins_then_what_the_browser_accepts(
    client: FlaskClient, made: str, query: str, header: str | None, language: str
) -> None:
    headers = {} if header is None else {"Accept-Language": header}
    answer = client.get(f"{made}/report.pdf{query}", headers=headers)
    assert (answer.status_code, answer.headers["Content-Language"]) == (200, language)
    assert "Accept-Language" in answer.headers["Vary"]
    assert language_of(answer.data) == language


def test_each_language_is_kept_for_itself(client: FlaskClient, made: str) -> None:
    german = client.get(f"{made}/report.pdf?language=de").data
    english = client.get(f"{made}/report.pdf").data
    assert german != english
    assert client.get(f"{made}/report.pdf?language=de").data == german
    assert client.get(f"{made}/report.pdf?language=en").data == english


def test_the_calendar_in_german(client: FlaskClient, made: str) -> None:
    answer = client.get(f"{made}/watch.ics?language=de")
    told = [str(event["SUMMARY"]) for event in icalendar.Calendar.from_ical(answer.data).walk("VEVENT")]
    assert told
    assert all(text.startswith(("Prüfung: ", "Fällig: ")) or "nach dem Kauf" in text for text in told)
    english = icalendar.Calendar.from_ical(client.get(f"{made}/watch.ics").data).walk("VEVENT")
    uids = {str(event["UID"]) for event in icalendar.Calendar.from_ical(answer.data).walk("VEVENT")}
    assert {str(event["UID"]) for event in english} == uids  # a calendar that reads both keeps one entry


def test_the_checklist_in_german(client: FlaskClient) -> None:
    answer = client.post("/v1/checklists/checklist.pdf?language=de", json=CASE)
    assert answer.headers["Content-Language"] == language_of(answer.data) == "de"


def test_an_unknown_language_is_refused(client: FlaskClient, made: str) -> None:
    for path in ("report.pdf", "watch.ics"):
        told = problem(client.get(f"{made}/{path}?language=fr"), 422)
        assert [fault["parameter"] for fault in told["faults"]] == ["language"]
    problem(client.post("/v1/checklists/checklist.pdf?language=fr", json=CASE), 422)


def test_the_result_stays_english(client: FlaskClient, made: str) -> None:
    assert client.get(made, headers={"Accept-Language": "de"}).data == client.get(made).data


# ---- units -----------------------------------------------------------------------------------------------


def words_of(data: bytes) -> str:
    return " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(data)).pages).split())


def unfolded(data: bytes) -> str:
    """The lines of a calendar file as they were before folding (RFC 5545, 3.1), with plain spaces."""
    return data.decode().replace("\r\n ", "").replace("\u00a0", " ")


def test_the_report_in_miles_is_kept_beside_the_one_in_kilometres(client: FlaskClient, made: str) -> None:
    """NIST SP 811 (2008), B.8: a mile is 1609.344 m."""
    kilometres = SAMPLE["vehicle"]["odometer"]["value"]
    plain, miles = client.get(f"{made}/report.pdf"), client.get(f"{made}/report.pdf?units=mi")
    assert (plain.status_code, miles.status_code) == (200, 200)
    assert f"{kilometres:,} km" in words_of(plain.data)
    assert f"{round(kilometres / 1.609344):,} mi" in words_of(miles.data)
    assert client.get(f"{made}/report.pdf?units=mi").data == miles.data
    assert client.get(f"{made}/report.pdf?units=km,bar").data == plain.data


def test_the_calendar_and_the_checklist_in_miles(client: FlaskClient, made: str) -> None:
    miles, plain = (unfolded(client.get(f"{made}/watch.ics{query}").data) for query in ("?units=mi", ""))
    assert " mi" in miles
    assert " km" not in miles
    assert " mi" not in plain
    answer = client.post("/v1/checklists/checklist.pdf?units=mi&language=de", json=CASE)
    assert f"{round(SAMPLE['vehicle']['odometer']['value'] / 1.609344):,} mi".replace(",", ".") in words_of(answer.data)


@pytest.mark.parametrize("units", ["miles", "km,mi", "psi,mi", "", "mi, psi"])
def test_an_unknown_unit_and_one_chosen_twice_are_refused(client: FlaskClient, made: str, units: str) -> None:
    told = problem(client.get(f"{made}/report.pdf?units={units}"), 422)
    assert [fault["parameter"] for fault in told["faults"]] == ["units"]


def test_the_document_tells_the_units_as_they_are_asked_for(document: dict[str, Any]) -> None:
    asked = document["paths"]["/v1/assessments/{identifier}/report.pdf"]["get"]["parameters"]
    schema = next(each["schema"] for each in asked if each["name"] == "units")
    assert (schema["type"], schema["default"]) == ("string", "km,bar,L")
    assert {text: bool(re.search(schema["pattern"], text)) for text in ("km,bar,L", "mi,qt", "psi", "km,mi", "")} == {
        "km,bar,L": True, "mi,qt": True, "psi": True, "km,mi": False, "": False,
    }  # fmt: skip
