"""A browser shows its key once and gets a session for it."""

from __future__ import annotations

from datetime import UTC, datetime
from urllib.parse import urlsplit

from flask import Response, current_app, request

from riskapi.storage import SESSION_LASTS, Sessions
from riskapi.web.access import ANYBODY, FORM_COOKIE, SESSION_COOKIE, form_token, from_own_page
from riskapi.web.pages.routes import page, redirect, routes


@routes.get("/sign-in", roles=ANYBODY)
def sign_in() -> Response:
    """Ask for the key."""
    return page("sign_in.html", next=_next(), wrong="")


@routes.post("/sign-in", roles=ANYBODY)
def signed_in() -> Response:
    """Exchange the key for a session; only for a form of this server."""
    if not from_own_page():
        return page("sign_in.html", 403, next="/", wrong="sign_in_elsewhere")
    token = _sessions().open(request.form.get("key", "").strip(), datetime.now(UTC))
    if token is None:
        return page("sign_in.html", 422, next=_next(), wrong="sign_in_wrong")
    answer = redirect(_next())
    _give(answer, SESSION_COOKIE, token, hidden=True)
    _give(answer, FORM_COOKIE, form_token(token), hidden=False)
    return answer


@routes.post("/sign-out")
def sign_out() -> Response:
    """End the session."""
    _sessions().close(request.cookies.get(SESSION_COOKIE, ""))
    answer = redirect("/sign-in")
    for name in (SESSION_COOKIE, FORM_COOKIE):
        answer.delete_cookie(name, samesite="Strict")
    answer.headers["Clear-Site-Data"] = '"cache"'
    return answer


def _sessions() -> Sessions:
    return Sessions(current_app.extensions["riskapi"].accounts.engine)


def _give(answer: Response, name: str, value: str, *, hidden: bool) -> None:
    """A cookie for this site alone; `hidden` from scripts; over https never sent in the clear."""
    secure = request.is_secure or request.headers.get("X-Forwarded-Proto") == "https"
    lasts = int(SESSION_LASTS.total_seconds())
    answer.set_cookie(name, value, max_age=lasts, httponly=hidden, secure=secure, samesite="Strict")


def _next() -> str:
    """Where to go on: a page of this server, else the first one."""
    wanted = request.values.get("next", "/")
    parts = urlsplit(wanted)
    plain = wanted.startswith("/") and not wanted.startswith("//") and "\\" not in wanted and wanted.isprintable()
    return wanted if plain and not parts.scheme and not parts.netloc else "/"
