"""Pages for people: made on the server, with a style and scripts of their own and nothing fetched elsewhere."""

from __future__ import annotations

from urllib.parse import urlencode

from flask import Flask, Response, request
from werkzeug.exceptions import HTTPException

from riskapi.errors import FromElsewhere, NoKey, NotAllowed, NotFound, Outdated, RiskapiError
from riskapi.web import access
from riskapi.web.access import ANYBODY
from riskapi.web.pages import after, assets, browse, live, result, shelf, sign_in, start, visit, visit_pdf, work
from riskapi.web.pages.routes import page, redirect, routes, spoken_to
from riskapi.web.pages.texts import tell
from riskapi.web.problems import of_accident, of_riskapi

__all__ = ["after", "browse", "live", "register", "result", "shelf", "sign_in", "start", "visit", "visit_pdf", "work"]


@routes.get("/assets/<string:version>/<string:name>", roles=ANYBODY)
def asset(version: str, name: str) -> Response:
    """Style and scripts."""
    return assets.serve(version, name)


@routes.get("/worker.js", roles=ANYBODY)
def worker() -> Response:
    """The service worker."""
    return assets.worker()


@routes.get("/offline", roles=ANYBODY)
def offline() -> Response:
    """What a browser shows without a signal."""
    return page("offline.html")


def register(app: Flask) -> None:
    """Serve the pages."""
    app.register_blueprint(routes.blueprint)
    access.allow(app, routes.access)


@routes.blueprint.errorhandler(RiskapiError)
def _of_riskapi(error: RiskapiError) -> Response:
    return spoken_to(_told)(error)  # type: ignore[no-any-return]


@routes.blueprint.errorhandler(HTTPException)
def _of_http(error: HTTPException) -> Response | HTTPException:
    if error.code is None or error.code < 400:
        return error
    return spoken_to(_plain)(error.code)  # type: ignore[no-any-return]


def _told(error: RiskapiError) -> Response:
    """A page that says what is wrong; whoever is not known is asked for a key first."""
    if isinstance(error, NoKey):
        asked = request.full_path.rstrip("?")
        return redirect(f"/sign-in?{urlencode({'next': asked})}") if request.method == "GET" else of_riskapi(error)
    if isinstance(error, FromElsewhere):
        return of_riskapi(error)
    if isinstance(error, NotAllowed):
        return _page("refused_title", "refused", 403)
    if isinstance(error, NotFound):
        return _page("missing_title", "missing", 404)
    if isinstance(error, Outdated):
        return _page("failed_title", "outdated", 409)
    of_accident(error)  # into the log, under the number of the request
    return _page("failed_title", "failed", 500)


def _plain(code: int) -> Response:
    return _page("missing_title", "missing", code) if code == 404 else _page("failed_title", "failed", code)


def _page(title: str, detail: str, status: int) -> Response:
    return page("fault.html", status, title=tell(title), detail=tell(detail))
