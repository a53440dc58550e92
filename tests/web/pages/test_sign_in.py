"""The key is asked for once; then a session opens the pages and the API, for pages of this server alone."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from flask import Flask
from flask.testing import FlaskClient

from riskapi.web.access import FORM_COOKIE, FORM_HEADER, SESSION_COOKIE
from riskapi.web.sample import SAMPLE
from riskapi.web.state import state_of

OWN = {"Sec-Fetch-Site": "same-origin"}


def handed_over(browser: FlaskClient) -> dict[str, str]:
    cookie = browser.get_cookie(FORM_COOKIE)
    assert cookie is not None
    return {FORM_HEADER: cookie.value}


def test_a_person_without_a_key_is_asked_for_it_and_comes_back(guarded: Flask, key: str) -> None:
    browser = guarded.test_client()
    asked = browser.get("/visit?family=lapwing&odometer=1000&date=2026-01-01")
    assert asked.status_code == 303
    form = browser.get(asked.headers["Location"])
    assert form.status_code == 200
    assert 'value="/visit?family=lapwing&amp;odometer=1000&amp;date=2026-01-01"' in form.text
    shown = browser.post("/sign-in", data={"key": key, "next": "/visit?family=lapwing"}, headers=OWN)
    assert shown.headers["Location"] == "/visit?family=lapwing"


def test_the_cookies_are_for_this_site_alone(guarded: Flask, key: str) -> None:
    answer = guarded.test_client().post("/sign-in", data={"key": key}, headers={**OWN, "X-Forwarded-Proto": "https"})
    session, form = (c for c in answer.headers.getlist("Set-Cookie") if c.startswith((SESSION_COOKIE, FORM_COOKIE)))
    for cookie in (session, form):
        assert "SameSite=Strict" in cookie
        assert "Secure" in cookie
    assert "HttpOnly" in session
    assert "HttpOnly" not in form
    assert key not in str(answer.headers)


def test_a_session_opens_pages_and_api(browser: FlaskClient) -> None:
    assert browser.get("/").status_code == 200
    assert browser.get("/v1/engines").status_code == 200
    answer = browser.post("/v1/previews", json=SAMPLE, headers={**OWN, **handed_over(browser)})
    assert answer.status_code == 200


@pytest.mark.parametrize(
    "headers",
    [
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {"Origin": "https://cars.example"},
        {"Origin": "null"},
    ],
)
def test_another_site_changes_nothing_in_a_session(browser: FlaskClient, headers: dict[str, str]) -> None:
    answer = browser.post("/v1/previews", json=SAMPLE, headers={**headers, **handed_over(browser)})
    assert answer.status_code == 403
    assert answer.get_json(force=True)["type"] == "/v1/docs#from-elsewhere"


def test_without_the_token_nothing_changes_in_a_session(browser: FlaskClient) -> None:
    assert browser.post("/v1/previews", json=SAMPLE, headers=OWN).status_code == 403
    wrong = {**OWN, FORM_HEADER: "0" * 64}
    assert browser.post("/v1/previews", json=SAMPLE, headers=wrong).status_code == 403


@pytest.mark.parametrize("headers", [{"Sec-Fetch-Site": "cross-site"}, {"Origin": "https://cars.example"}])
def test_another_site_changes_nothing_where_no_key_is_needed(client: FlaskClient, headers: dict[str, str]) -> None:
    assert client.post("/v1/previews", json=SAMPLE, headers=headers).status_code == 403
    assert client.post("/v1/previews", json=SAMPLE).status_code == 200


def test_another_site_signs_nobody_in(guarded: Flask, key: str) -> None:
    answer = guarded.test_client().post("/sign-in", data={"key": key}, headers={"Sec-Fetch-Site": "cross-site"})
    assert answer.status_code == 403
    assert "Set-Cookie" not in answer.headers


def test_a_wrong_key_is_refused(guarded: Flask) -> None:
    answer = guarded.test_client().post("/sign-in", data={"key": "riskapi_00000000_" + 43 * "a"}, headers=OWN)
    assert answer.status_code == 422
    assert 'role="alert"' in answer.text


def test_signing_out_ends_the_session(browser: FlaskClient) -> None:
    token = browser.get_cookie(SESSION_COOKIE)
    assert token is not None
    assert browser.post("/sign-out", headers=OWN).status_code == 303
    browser.set_cookie(SESSION_COOKIE, token.value)
    assert browser.get("/v1/engines").status_code == 401


def test_a_revoked_key_ends_its_sessions(guarded: Flask, browser: FlaskClient, key: str) -> None:
    assert browser.get("/v1/engines").status_code == 200
    state_of(guarded).accounts.revoke(key.split("_")[1], datetime.now(UTC))
    assert browser.get("/v1/engines").status_code == 401
    assert browser.get("/").status_code == 303


@pytest.mark.parametrize("wanted", ["https://cars.example/", "//cars.example", "/\\cars.example", "javascript:1", ""])
def test_it_goes_on_to_pages_of_this_server_alone(guarded: Flask, key: str, wanted: str) -> None:
    answer = guarded.test_client().post("/sign-in", data={"key": key, "next": wanted}, headers=OWN)
    assert answer.headers["Location"] == "/"
