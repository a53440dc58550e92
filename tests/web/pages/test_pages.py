"""The pages as they come from the server."""

from __future__ import annotations

import html
import re
from io import BytesIO
from string import Formatter
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from pypdf import PdfReader

from riskapi.report.language import LANGUAGES
from riskapi.web.pages import assets
from riskapi.web.pages.german import PAGE_TEXTS as GERMAN
from riskapi.web.pages.routes import LANGUAGE_COOKIE, POLICY
from riskapi.web.pages.texts import PAGE_TEXTS
from riskapi.web.pages.words import SCRIPT_WORDS
from riskapi.web.sample import SAMPLE
from riskapi.web.state import state_of
from tests.german import english_in
from tests.knots import clashing_request

CAR = "family=lapwing&revision=lapwing_1b&odometer=121000&registered=2012-05-19&date=2026-04-08"


@pytest.fixture(scope="module")
def paths(made: str) -> list[str]:
    identifier = made.rsplit("/", 1)[1]
    return [
        "/",
        f"/visit?{CAR}",
        "/assessments",
        f"/assessments/{identifier}",
        f"/assessments/{identifier}/after",
        f"/assessments/{identifier}/work",
        f"/assessments?beside={identifier}",
        "/engines",
        "/engines/lapwing",
        "/engines/lapwing/lapwing_1b?odometer=150000&age=12",
        "/engines/lapwing/lapwing_1a/against/lapwing_2b",
        "/sign-in",
        "/offline",
    ]


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_page_comes_in_every_language(client: FlaskClient, paths: list[str], language: str) -> None:
    for path in paths:
        answer = client.get(path, headers={"Accept-Language": language})
        assert answer.status_code == 200, path
        assert f'<html lang="{language}">' in answer.text
        assert answer.headers["Content-Language"] == language
        said = re.sub(r"<script.*?</script>|<[^>]*>", "", answer.text, flags=re.DOTALL)
        assert "{" not in said, path  # no fact left unfilled


def test_no_page_runs_or_fetches_anything_from_elsewhere(client: FlaskClient, paths: list[str]) -> None:
    for path in paths:
        answer = client.get(path)
        assert answer.headers["Content-Security-Policy"] == POLICY
        assert "unsafe" not in POLICY
        assert not re.search(r"\sstyle=|\son[a-z]+=|<style|javascript:", answer.text), path
        assert not re.search(r"""(?:src|href|action)=["']?(?:https?:)?//""", answer.text), path


def test_german_says_as_much_as_english() -> None:
    assert set(GERMAN) == set(PAGE_TEXTS)
    for key, text in PAGE_TEXTS.items():
        assert _facts(GERMAN[key]) == _facts(text), key


def _facts(text: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(text) if name}


def test_the_words_of_the_scripts_are_there() -> None:
    assert set(SCRIPT_WORDS) <= set(PAGE_TEXTS)


def test_a_language_asked_for_is_remembered(app: Flask) -> None:
    client = app.test_client()
    assert "Welchen Motor" in client.get("/?lang=de").text
    assert "Welchen Motor" in client.get("/").text
    cookie = client.get_cookie(LANGUAGE_COOKIE)
    assert cookie is not None
    assert "Which engine" in client.get("/?lang=xx", headers={"Cookie": ""}).text or cookie.value == "de"


def test_assets_are_kept_for_good_under_their_digest(client: FlaskClient) -> None:
    answer = client.get(assets.url("page.css"))
    assert "immutable" in answer.headers["Cache-Control"]
    assert client.get("/assets/0000/page.css").headers["Cache-Control"] == "no-store"
    assert client.get(assets.url("secrets.txt")).status_code == 404


def test_the_worker_keeps_every_asset_that_there_is(client: FlaskClient) -> None:
    script = client.get("/worker.js").text
    assert "__" not in script
    assert all(assets.url(name) in script for name in assets.contents() if name != "worker.js")
    assert "connect-src 'self'" in client.get("/worker.js").headers["Content-Security-Policy"]


def test_answers_are_compressed_for_whoever_takes_it(client: FlaskClient) -> None:
    plain = client.get(f"/visit?{CAR}")
    small = client.get(f"/visit?{CAR}", headers={"Accept-Encoding": "gzip"})
    assert "Content-Encoding" not in plain.headers
    assert small.headers["Content-Encoding"] == "gzip"
    assert len(small.data) < len(plain.data) / 3
    again = client.get(f"/visit?{CAR}", headers={"Accept-Encoding": "gzip", "If-None-Match": small.headers["ETag"]})
    assert again.status_code == 304


def test_a_visit_gets_its_date(client: FlaskClient) -> None:
    answer = client.get("/visit?family=lapwing&odometer=121000")
    assert answer.status_code == 303
    assert re.search(r"[?&]date=\d{4}-\d\d-\d\d", answer.headers["Location"])


@pytest.mark.parametrize(
    ("query", "field"),
    [
        ("family=no_such&odometer=1000&date=2026-01-01", "family"),
        ("family=lapwing&odometer=many&date=2026-01-01", "odometer"),
        ("family=lapwing&odometer=1000&registered=2027-01-01&date=2026-01-01", "registered"),
        ("family=lapwing&odometer=1000&years=99&date=2026-01-01", "years"),
    ],
)
def test_a_fault_stands_beside_its_field(client: FlaskClient, query: str, field: str) -> None:
    answer = client.get(f"/visit?{query}")
    assert answer.status_code == 422
    assert f'id="fault-{field}-1"' in answer.text
    assert f'href="#f-{field}"' in answer.text


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ("family=no_such&odometer=1000", "Die Motorfamilie &#34;no_such&#34; ist nicht im Wissenspaket."),
        ("family=lapwing&odometer=many", "Erwartet wird eine endliche Zahl, nicht &#34;many&#34;."),
        ("family=lapwing&odometer=1000&years=99,5", "Erlaubt ist 0,25 bis 15 Jahre, nicht 99,5 Jahre."),
        ("family=lapwing&odometer=1000&registered=2027-01-01", "1. Januar 2027 liegt nach dem Tag der Beurteilung"),
        ("how=traits&trait.fuel=petrol&trait.cylinders=44&odometer=1000", "Zylinder: Erlaubt ist 2 bis 12, nicht 44."),
        ("family=lapwing", "Diese Angabe ist nötig und fehlt."),
    ],
)
@pytest.mark.parametrize("path", ["/visit", "/visit/checklist.pdf"])
def test_a_german_form_has_german_faults(client: FlaskClient, path: str, query: str, words: str) -> None:
    answer = client.get(f"{path}?{query}&date=2026-01-01", headers={"Accept-Language": "de"})
    assert answer.status_code == 422
    assert words in answer.text
    told = "".join(re.findall(r'<p class="fault".*?</p>|<div class="faults".*?</div>', answer.text, re.DOTALL))
    assert english_in(html.unescape(re.sub(r"<[^>]*>", " ", told))) == []


@pytest.mark.parametrize(("language", "words"), [("en", "Checklist"), ("de", "Prüfliste")])
def test_the_list_for_a_clipboard(client: FlaskClient, language: str, words: str) -> None:
    answer = client.get(f"/visit/checklist.pdf?{CAR}", headers={"Accept-Language": language})
    assert answer.content_type == "application/pdf"
    assert words in PdfReader(BytesIO(answer.data)).pages[0].extract_text()
    assert client.get("/visit/checklist.pdf?family=no_such").status_code == 422


def test_what_was_typed_comes_back_as_text(client: FlaskClient) -> None:
    answer = client.get("/visit?family=lapwing&odometer=%22%3E%3Cscript%3Ealert(1)%3C/script%3E&date=2026-01-01")
    assert answer.status_code == 422
    assert "<script>alert" not in answer.text


def test_core_checks_that_the_limits_leave_out_want_an_answer_too(client: FlaskClient, app: Flask) -> None:
    answer = client.get(f"/visit?{CAR}&equipment=none")
    core = [check.id for check in state_of(app).pack.checks if check.core]
    assert all(f'id="c-{name}"' in answer.text for name in core)


def test_an_unknown_page_and_a_foreign_assessment_are_the_same_to_a_person(browser: FlaskClient) -> None:
    for path in ("/assessments/nothing", "/engines/nothing", "/engines/lapwing/nothing"):
        answer = browser.get(path)
        assert answer.status_code == 404
        assert "text/html" in answer.content_type


def test_the_live_figure_says_which_answers_clash(client: FlaskClient) -> None:
    case: dict[str, Any] = {
        "as_of": "2026-04-08",
        "vehicle": {"engine": {"family": "lapwing"}, "odometer": {"value": 1000, "unit": "km"}},
        "findings": [{"check": "no_such", "result": "x"}],
    }
    answer = client.post("/visit/live", json=case)
    assert answer.status_code == 422
    assert "no_such" in answer.text
    german = client.post("/visit/live", json=case, headers={"Accept-Language": "de"})
    assert "Die Prüfung &#34;no_such&#34; ist nicht bekannt." in german.text


def test_the_live_figure_names_what_clashes_in_the_words_of_the_language(client: FlaskClient) -> None:
    body, _ = clashing_request(SAMPLE)
    answer = client.post("/visit/live", json=body, headers={"Accept-Language": "de"})
    assert answer.status_code == 422
    assert "Diese Befunde können nicht alle auf einen Motor zutreffen: Spiel der Turboladerwelle" in answer.text
    assert english_in(re.sub(r"<[^>]*>", " ", answer.text)) == []
