"""Who gets in: every route with every role, with a foreign account, without a key, and from elsewhere."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from riskapi.domain.choices import ROLES
from riskapi.web import assessments, create_app
from riskapi.web.access import ANYBODY, BY_KEY, EVERY_ROLE, roles_of
from riskapi.web.sample import SAMPLE
from riskapi.web.state import state_of

EXAMPLES = {
    "version": "0",
    "name": "page.css",
    "token": "x" * 43,
    "family": "lapwing",
    "revision": "lapwing_1a",
    "other": "lapwing_2a",
}


@pytest.fixture(scope="module")
def guarded(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Flask]:
    """An application that every caller needs a key for."""
    url = f"sqlite:///{tmp_path_factory.mktemp('access') / 'riskapi.sqlite'}"
    app = create_app({"DATABASE_URL": url, "ACCESS": BY_KEY})
    yield app
    state_of(app).repository.engine.dispose()


def key_for(app: Flask, role: str, valid: timedelta | None = None) -> dict[str, str]:
    """The header of a new account of this role."""
    accounts, now = state_of(app).accounts, datetime.now(UTC)
    return {"Authorization": f"Bearer {accounts.make_key(accounts.open(role, role, now).id, now, valid)}"}


@pytest.fixture(scope="module")
def keys(guarded: Flask) -> dict[str, dict[str, str]]:
    return {role: key_for(guarded, role) for role in ROLES}


@pytest.fixture(scope="module")
def owned(guarded: Flask, keys: dict[str, dict[str, str]]) -> dict[str, str]:
    """An assessment of every role's account: its id."""
    client, made = guarded.test_client(), {}
    for role, header in keys.items():
        answer = client.post("/v1/assessments", json=SAMPLE, headers=header)
        assert answer.status_code == 201, answer.text
        made[role] = answer.headers["Location"].rsplit("/", 1)[1]
    return made


def calls(app: Flask, identifier: str) -> list[tuple[str, str, str]]:
    """(endpoint, method, path) of every route, its variables filled in; checks get the id of a check."""
    found = []
    for rule in app.url_map.iter_rules():
        values = {**EXAMPLES, "identifier": "oil_level" if "/checks/" in rule.rule else identifier}
        path = rule.rule
        for name in rule.arguments:
            path = path.replace(f"<string:{name}>", values[name]).replace(f"<{name}>", values[name])
        found += [(rule.endpoint, method, path) for method in sorted((rule.methods or set()) - {"HEAD", "OPTIONS"})]
    return found


def call(client: FlaskClient, method: str, path: str, **more: Any) -> TestResponse:
    body = {"json": {}} if method == "POST" else {}
    return client.open(path, method=method, **body, **more)


@pytest.mark.parametrize("role", ROLES)
def test_every_route_is_open_to_its_roles_alone(
    guarded: Flask, keys: dict[str, dict[str, str]], owned: dict[str, str], role: str
) -> None:
    for endpoint, method, path in calls(guarded, owned[role]):
        answer = call(guarded.test_client(), method, path, headers=keys[role])
        roles = roles_of(guarded)[endpoint]
        allowed = roles == ANYBODY or role in roles
        assert (answer.status_code in (401, 403)) != allowed, (endpoint, answer.status_code)
        assert answer.status_code < 500


def test_without_a_key_only_what_is_for_anybody_is_served(guarded: Flask, owned: dict[str, str]) -> None:
    public = set()
    for endpoint, method, path in calls(guarded, owned["buyer"]):
        answer = call(guarded.test_client(), method, path)
        if answer.status_code == 303 and answer.headers["Location"].startswith("/sign-in?"):
            assert endpoint.startswith("pages."), endpoint  # a person is asked for the key
        elif answer.status_code == 401:
            assert answer.headers["WWW-Authenticate"] == 'Bearer realm="riskapi"'
            assert answer.get_json()["type"] == "/v1/docs#no-key"
        else:
            public.add(endpoint)
    assert public == {endpoint for endpoint, roles in roles_of(guarded).items() if roles == ANYBODY}
    pages = {f"pages.{name}" for name in ("asset", "worker", "offline", "sign_in", "signed_in")}
    seals = {"seal.list_seal_keys", "seal.verify"}
    shown = {f"public_pages.{name}" for name in ("page", "add_dispute", "listing", "qr", "badge", "photo")}
    shown |= {"public.get_public", "public.create_dispute"}
    assert public == {"health.get_health", "health.get_ready", "openapi", "docs"} | pages | seals | shown


@pytest.mark.parametrize("role", ROLES)
def test_what_belongs_to_another_account_does_not_exist(
    guarded: Flask, keys: dict[str, dict[str, str]], owned: dict[str, str], role: str
) -> None:
    """404, not 403: who asks does not even learn that there is such an assessment."""
    others = [other for other in ROLES if other != role]
    for other in others:
        paths = [(e, m, p) for e, m, p in calls(guarded, owned[other]) if owned[other] in p]
        assert len(paths) >= 3
        for endpoint, method, path in paths:
            answer = call(guarded.test_client(), method, path, headers=keys[role])
            assert answer.status_code == 404 or role not in roles_of(guarded)[endpoint], (endpoint, answer.status_code)


@pytest.mark.parametrize(
    "header",
    [
        "Bearer riskapi_00000000_" + 43 * "a",
        "Bearer ",
        "Bearer",
        "Basic dXNlcjpwYXNz",
        "riskapi_00000000_" + 43 * "a",
        "Bearer \u00e9",
        "Bearer ' OR 1=1 --",
    ],
)
def test_a_wrong_key_is_refused_and_says_so(guarded: Flask, header: str) -> None:
    answer = guarded.test_client().get("/v1/engines", headers={"Authorization": header})
    assert answer.status_code == 401
    assert 'error="invalid_token"' in answer.headers["WWW-Authenticate"]


def test_an_expired_and_a_revoked_key_are_refused(guarded: Flask) -> None:
    client, accounts = guarded.test_client(), state_of(guarded).accounts
    gone = key_for(guarded, "buyer", timedelta(seconds=-1))
    assert client.get("/v1/engines", headers=gone).status_code == 401
    key = key_for(guarded, "buyer")
    assert client.get("/v1/engines", headers=key).status_code == 200
    accounts.revoke(key["Authorization"].split("_")[1], datetime.now(UTC))
    assert client.get("/v1/engines", headers=key).status_code == 401


def test_a_key_is_looked_at_even_where_none_is_needed(app: Flask, client: FlaskClient) -> None:
    """A wrong key on this machine itself is a mistake worth hearing of; a right one opens its own account."""
    assert client.get("/v1/engines", headers={"Authorization": "Bearer wrong"}).status_code == 401
    assert client.get("/v1/engines", headers=key_for(app, "dealer")).status_code == 200


ELSEWHERE: dict[str, dict[str, Any]] = {
    "another address": {"environ_overrides": {"REMOTE_ADDR": "192.0.2.7"}},
    "another host name": {"headers": {"Host": "cars.example"}},
    "a host name that begins like this machine": {"headers": {"Host": "localhost.example:80"}},
    "a proxy's header": {"headers": {"X-Forwarded-For": "192.0.2.7"}},
    "a forwarded header": {"headers": {"Forwarded": "for=192.0.2.7"}},
}


@pytest.mark.parametrize("how", ELSEWHERE)
def test_without_keys_only_this_machine_itself_is_served(client: FlaskClient, how: str) -> None:
    assert client.get("/v1/engines", **ELSEWHERE[how]).status_code == 401


@pytest.mark.parametrize("host", ["localhost", "localhost:8000", "127.0.0.1:8000", "[::1]:8000", "[::1]"])
def test_this_machine_goes_by_these_names(client: FlaskClient, host: str) -> None:
    assert client.get("/v1/engines", headers={"Host": host}).status_code == 200


def test_an_unknown_path_is_unknown_to_everybody(guarded: Flask) -> None:
    assert guarded.test_client().get("/v1/nothing").status_code == 404


def test_a_route_that_names_no_roles_stops_the_start(tmp_path: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delitem(assessments.routes.access, "assessments.get_report")
    with pytest.raises(RuntimeError, match=r"nobody said who may use assessments\.get_report"):
        create_app({"DATABASE_URL": f"sqlite:///{tmp_path / 'x.sqlite'}"})


def test_a_wrong_setting_stops_the_start(tmp_path: Any) -> None:
    with pytest.raises(ValueError, match="ACCESS"):
        create_app({"DATABASE_URL": f"sqlite:///{tmp_path / 'x.sqlite'}", "ACCESS": "open"})


def test_every_role_may_assess() -> None:
    assert frozenset(ROLES) == EVERY_ROLE
