"""Declaring pages: each states for whom it is, speaks the reader's language, and carries a strict policy."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import wraps
from typing import Any
from urllib.parse import urlencode

from flask import Blueprint, Response, make_response, render_template, request

from riskapi.report import format as fmt
from riskapi.report.language import LANGUAGES, METRIC, Units, speaking, spoken, spoken_units, units_of
from riskapi.report.texts import say
from riskapi.report.trait_texts import trait_heading, trait_value
from riskapi.web.access import EVERY_ROLE, Roles, caller
from riskapi.web.language import accepted_language
from riskapi.web.pages import assets
from riskapi.web.pages.texts import tell
from riskapi.web.pages.words import distance_words, script_words

View = Callable[..., Any]
LANGUAGE_COOKIE = "riskapi_language"
UNITS_COOKIE = "riskapi_units"
_KINDS = {"distance": ("km", "mi"), "pressure": ("bar", "psi"), "volume": ("L", "qt")}
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; connect-src 'self'; "
    "worker-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
)
_YEAR = 365 * 24 * 3600


class PageRoutes:
    """All pages; `access` says for whom each of their endpoints is."""

    def __init__(self) -> None:
        self.blueprint = Blueprint("pages", __name__)
        self.access: dict[str, Roles] = {}

    def get(self, rule: str, roles: Roles = EVERY_ROLE) -> Callable[[View], View]:
        """A page for these roles."""
        return self._declare(rule, "GET", roles)

    def post(self, rule: str, roles: Roles = EVERY_ROLE) -> Callable[[View], View]:
        """Something that a page sends."""
        return self._declare(rule, "POST", roles)

    def _declare(self, rule: str, method: str, roles: Roles) -> Callable[[View], View]:
        def declare(view: View) -> View:
            self.access[f"{self.blueprint.name}.{view.__name__}"] = roles
            self.blueprint.add_url_rule(rule, view.__name__, spoken_to(view), methods=[method])
            return view

        return declare


routes = PageRoutes()


def spoken_to(view: View) -> View:
    """The view in the language of whoever asks; a language asked for in the query is remembered."""

    @wraps(view)
    def speaks(*args: Any, **kwargs: Any) -> Response:
        with speaking(language(), units()):
            answer: Response = make_response(view(*args, **kwargs))
            answer.headers.setdefault("Content-Language", spoken())
        if request.args.get("lang") in LANGUAGES:
            secure = request.is_secure
            answer.set_cookie(LANGUAGE_COOKIE, request.args["lang"], max_age=_YEAR, samesite="Lax", secure=secure)
        if any(kind in request.args for kind in _KINDS):
            answer.set_cookie(UNITS_COOKIE, written(units()), max_age=_YEAR, samesite="Lax", secure=request.is_secure)
        return answer

    return speaks


def language() -> str:
    """The language of this request: asked for, remembered, or the browser's."""
    for stated in (request.args.get("lang"), request.cookies.get(LANGUAGE_COOKIE)):
        if stated in LANGUAGES:
            return stated
    return accepted_language()


def units() -> Units:
    """The units of this request: asked for, or remembered. The address of a checklist has all of its own."""
    remembered = METRIC if request.path.startswith("/visit") and request.method == "GET" else _remembered()
    stated = {kind: request.args.get(kind, "").replace("quart", "qt") for kind in _KINDS}
    return replace(remembered, **{kind: unit for kind, unit in stated.items() if unit in _KINDS[kind]})


def written(chosen: Units) -> str:
    """'mi,psi,L'"""
    return ",".join((chosen.distance, chosen.pressure, chosen.volume))


def _remembered() -> Units:
    try:
        return units_of(request.cookies.get(UNITS_COOKIE, ""))
    except ValueError:
        return METRIC


def page(template: str, status: int = 200, **facts: Any) -> Response:
    """A page from a template of riskapi/web/templates/pages."""
    known = caller()
    told = {
        "t": tell,
        "say": say,
        "fmt": fmt,
        "asset": assets.url,
        "language": spoken(),
        "wording": _wording(),
        "units": spoken_units(),
        "other_languages": [name for name in LANGUAGES if name != spoken()],
        "trait_name": trait_heading,
        "trait_value": trait_value,
        "distance_words": distance_words,
        "script_words": script_words,
        "account": None if known is None else known.account,
        **facts,
    }
    answer = Response(render_template(f"pages/{template}", **told), status, content_type="text/html; charset=utf-8")
    answer.headers["Content-Security-Policy"] = POLICY
    answer.vary.update(("Accept-Language", "Cookie"))
    return answer


def _wording() -> str:
    """The query of a document in the language and units spoken now."""
    asked = {"language": spoken()} | ({"units": written(spoken_units())} if spoken_units().unusual else {})
    return urlencode(asked, safe=",")


def redirect(address: str) -> Response:
    """To another page of this server."""
    return Response(status=303, headers={"Location": address})


def fragment(template: str, status: int = 200, **facts: Any) -> Response:
    """A piece of a page, never kept by anybody."""
    answer = page(template, status, **facts)
    answer.headers["Cache-Control"] = "no-store"
    return answer
