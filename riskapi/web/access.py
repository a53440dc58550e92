"""Who may do what. Every route says which roles it is for; what says nothing is served to nobody.

A caller shows a key (Authorization: Bearer, RFC 6750); a browser shows it once and has a session from then on. What a
browser asks to change must come from a page of this server: the browser says so (Sec-Fetch-Site, or Origin), and in a
session the page also hands over a token that no other site can read. An installation of a single
user works without keys, but only for requests that come from this machine itself and address it as such: no proxy in
between, no other host name (which a web page elsewhere could point at this machine).
"""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from ipaddress import ip_address
from urllib.parse import urlsplit

from flask import Flask, current_app, g, request

from riskapi.domain.choices import ROLES
from riskapi.errors import FromElsewhere, NoKey, NotAllowed
from riskapi.storage import LOCAL, Account, Accounts, Sessions

Roles = frozenset[str]
ANYBODY: Roles = frozenset({"anybody"})  # no key needed
EVERY_ROLE: Roles = frozenset(ROLES)
SESSION_COOKIE, FORM_COOKIE, FORM_HEADER = "riskapi_session", "riskapi_form", "X-Riskapi-Form"
METRICS = "metrics"  # an endpoint that a token of its own opens
BY_KEY, ALONE = "keys", "alone"  # values of the setting ACCESS

_TABLE = "riskapi_access"
_PROXIED = ("Forwarded", "X-Forwarded-For", "X-Forwarded-Host", "X-Real-Ip", "Via")
_THIS_MACHINE = frozenset({"localhost", "127.0.0.1", "[::1]"})


@dataclass(frozen=True, slots=True)
class Caller:
    """Whose request it is."""

    account: Account

    def may(self, roles: Roles) -> bool:
        return self.account.role in roles or self.account.role == LOCAL


def register(app: Flask) -> None:
    """Let nobody in before it is known who it is. Setting ACCESS: 'alone' (default) or 'keys'."""
    app.config.setdefault("ACCESS", ALONE)
    if app.config["ACCESS"] not in (ALONE, BY_KEY):
        raise ValueError(f"ACCESS is {ALONE!r} or {BY_KEY!r}, not {app.config['ACCESS']!r}.")
    app.extensions[_TABLE] = {}
    app.before_request(_check)


def allow(app: Flask, roles: Mapping[str, Roles]) -> None:
    """Say for whom these endpoints are."""
    app.extensions[_TABLE].update(roles)


def roles_of(app: Flask) -> Mapping[str, Roles]:
    """For whom each endpoint is."""
    table: dict[str, Roles] = app.extensions[_TABLE]
    return table


def unsaid(app: Flask) -> Iterable[str]:
    """Endpoints for which nobody said who may use them."""
    return {rule.endpoint for rule in app.url_map.iter_rules()} - set(app.extensions[_TABLE])


def caller() -> Caller | None:
    """Whose request this is; None where no key is needed and none was shown."""
    found: Caller | None = g.get("caller")
    return found


def may(roles: Roles) -> bool:
    """Whether the caller has one of these roles."""
    known = caller()
    return known is not None and known.may(roles)


def _check() -> None:
    if request.endpoint is None:
        return  # no such path: 404, whoever asks
    roles = roles_of(current_app).get(request.endpoint, frozenset())
    if roles == ANYBODY:
        return
    if request.endpoint == METRICS and _shows_token():
        return
    known = _identify()
    if not known.may(roles):
        raise NotAllowed(known.account.role, roles)
    g.caller = known


def _shows_token() -> bool:
    """Whether this request shows the token that opens /metrics and nothing else (setting METRICS_TOKEN)."""
    token, shown = current_app.config.get("METRICS_TOKEN"), request.headers.get("Authorization", "")
    return bool(token) and hmac.compare_digest(shown.encode(), f"Bearer {token}".encode())


def _identify() -> Caller:
    """Raises NoKey."""
    scheme, _, key = request.headers.get("Authorization", "").partition(" ")
    if scheme:
        accounts: Accounts = current_app.extensions["riskapi"].accounts
        account = accounts.account_of(key.strip(), datetime.now(UTC)) if scheme.lower() == "bearer" else None
        if account is None:
            raise NoKey(shown=True)
        return Caller(account)
    if SESSION_COOKIE in request.cookies and (signed_in := _in_session(request.cookies[SESSION_COOKIE])):
        return signed_in
    if current_app.config["ACCESS"] == ALONE and _from_this_machine():
        if _changes() and not from_own_page():
            raise FromElsewhere
        return Caller(Account(LOCAL, "this installation", LOCAL))
    raise NoKey(shown=False)


def _in_session(token: str) -> Caller | None:
    """Raises FromElsewhere."""
    sessions = Sessions(current_app.extensions["riskapi"].accounts.engine)
    account = sessions.account_of(token, datetime.now(UTC))
    if account is None:
        return None
    if _changes() and not (from_own_page() and _token_handed_over(token)):
        raise FromElsewhere
    return Caller(account)


def form_token(session: str) -> str:
    """What a page of this server hands over with a change, made from the token of its session."""
    return hashlib.sha256(b"form:" + session.encode()).hexdigest()


def _token_handed_over(session: str) -> bool:
    """Signing out needs none: it harms nobody."""
    shown = request.headers.get(FORM_HEADER, "")
    return request.endpoint == "pages.sign_out" or hmac.compare_digest(shown.encode(), form_token(session).encode())


def _changes() -> bool:
    return request.method not in ("GET", "HEAD", "OPTIONS")


def from_own_page() -> bool:
    """Whether no other site made a browser ask this. A client that says nothing of the kind is no browser."""
    site, origin = request.headers.get("Sec-Fetch-Site"), request.headers.get("Origin")
    if site is not None:
        return site in ("same-origin", "none")
    return origin is None or urlsplit(origin).netloc in (request.host, request.headers.get("X-Forwarded-Host"))


def _from_this_machine() -> bool:
    host = request.host.rpartition(":")[0] if request.host.rsplit("]", 1)[-1].count(":") else request.host
    direct = not any(name in request.headers for name in _PROXIED)
    return direct and host in _THIS_MACHINE and is_loopback(request.remote_addr)


def is_loopback(address: str | None) -> bool:
    """Whether an address (or the name 'localhost') is this machine itself."""
    if address == "localhost":
        return True
    try:
        return address is not None and ip_address(address).is_loopback
    except ValueError:
        return False
