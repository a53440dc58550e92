"""/p/{token}: the public page of a publication, made on the server, without scripts and with nothing fetched elsewhere.

Whoever has the address can read it; nobody can guess it. Search engines are kept out until the publisher wants them.
"""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Callable
from datetime import UTC, date, datetime
from functools import wraps
from importlib.resources import files
from typing import Any

from flask import Blueprint, Flask, Response, make_response, render_template, request
from markupsafe import Markup
from werkzeug.exceptions import RequestEntityTooLarge

from riskapi.desk.publishing import LIVE
from riskapi.errors import NotFound, TooMany
from riskapi.intake.publication import LONGEST, SHORTEST
from riskapi.report import format as fmt
from riskapi.report.audit import json_bytes
from riskapi.report.badge import badge_svg
from riskapi.report.language import LANGUAGES, speaking, spoken
from riskapi.report.publication_pdf import listing_sheet
from riskapi.report.publication_texts import tell
from riskapi.report.publication_words import (
    carrying_words,
    dropped_words,
    found_words,
    quiet_words,
    unsaid_words,
    vin_words,
)
from riskapi.report.qr import qr_svg
from riskapi.report.structured import structured
from riskapi.storage.public import PublicView
from riskapi.web.access import ANYBODY, allow
from riskapi.web.language import asked_language, in_language
from riskapi.web.public import is_gone, public, public_told, view_of
from riskapi.web.state import state

STYLE = files("riskapi.web").joinpath("templates", "public", "page.css").read_text(encoding="utf-8")
_STYLE_HASH = base64.b64encode(hashlib.sha256(STYLE.encode()).digest()).decode()
POLICY = (
    f"default-src 'none'; style-src 'sha256-{_STYLE_HASH}'; img-src 'self'; form-action 'self'; "
    "frame-ancestors 'none'; base-uri 'none'"
)
_FARTHEST = 5_000_000.0  # [km] that an odometer can show
_FORM_LIMIT = 20_000  # bytes of a form
_GONE = 410
View = Callable[..., Any]
_routes = Blueprint("public_pages", __name__, url_prefix="/p/<string:token>")


def register(app: Flask) -> None:
    """Serve the public pages."""
    app.register_blueprint(_routes)
    names = (rule.endpoint for rule in app.url_map.iter_rules() if rule.endpoint.startswith("public_pages."))
    allow(app, dict.fromkeys(names, ANYBODY))


def _page_for(rule: str, method: str = "GET") -> Callable[[View], View]:
    """A view in the language of whoever asks; an unknown address is a page too."""

    def declare(view: View) -> View:
        @wraps(view)
        def speaks(**values: str) -> Response:
            stated = request.args.get("language")
            language = asked_language(stated if stated in LANGUAGES else None)
            with speaking(language):
                try:
                    answer = make_response(view(**values))
                except NotFound:
                    answer = _html("missing.html", 404)
            return in_language(answer, language)

        _routes.add_url_rule(rule, view.__name__, speaks, methods=[method])
        return view

    return declare


@_page_for("")
def page(token: str) -> Response:
    """The page for people."""
    return _shown(token)


@_page_for("/disputes", "POST")
def add_dispute(token: str) -> Response:
    """What a reader says, from the form of the page."""
    request.max_content_length = request.max_form_memory_size = _FORM_LIMIT
    try:
        text = fmt.lines(request.form.get("text", ""))
    except RequestEntityTooLarge:
        text = ""
    if not SHORTEST <= len(text) <= LONGEST:
        return _shown(token, 422, fault=tell("dispute_bad"), written=text[:LONGEST])
    try:
        public().dispute(token, text, datetime.now(UTC))
    except TooMany:
        return _shown(token, 429, fault=tell("dispute_many"), written=text)
    return Response(status=303, headers={"Location": f"../{token}?language={spoken()}#disputes"})


@_page_for("/listing.pdf")
def listing(token: str) -> Response:
    """A sheet of one page, sealed; none of what was withdrawn or superseded."""
    view = view_of(token)
    said = public_told(view, spoken())
    if said["standing"] != LIVE:
        return _shown(token)
    content = json_bytes(said["facts"])
    sealer, shown = state().sealer(), view.publication
    facts: Any = said["facts"]
    sheet = listing_sheet(facts, shown.shown.looked_by, _address(said), sealer.mark(content), spoken())
    answer = Response(sealer.seal(sheet, shown.published_at, content), content_type="application/pdf")
    answer.headers["Content-Disposition"] = 'inline; filename="listing.pdf"'
    return _kept_out(answer, said)


@_page_for("/qr.svg")
def qr(token: str) -> Response:
    """The address of the page as a QR code."""
    said = public_told(view_of(token), spoken())
    return _image(qr_svg(_address(said), tell("qr")), said)


@_page_for("/badge.svg")
def badge(token: str) -> Response:
    """Facts to embed elsewhere."""
    said = public_told(view_of(token), spoken())
    return _image(badge_svg(said), said)


@_page_for("/photos/<string:identifier>")
def photo(token: str, identifier: str) -> Response:
    """A photo that the publisher chose."""
    return Response(public().photo(token, identifier), content_type="image/jpeg", headers={"X-Robots-Tag": "noindex"})


def _shown(token: str, status: int = 200, **more: Any) -> Response:
    view = view_of(token)
    odometer, odd = _odometer()
    said = public_told(view, spoken(), odometer)
    status = _GONE if status == 200 and is_gone(said) else status
    told = {"said": said, "facts": said["facts"], "odometer": odd, "photos": _photo_paths(view), "token": token}
    told |= {"fault": None, "written": "", "longest": LONGEST, "shortest": SHORTEST, **more}
    told["data"] = _structured(said) if said["standing"] == LIVE else None
    return _kept_out(_html("page.html", status, **told), said)


def _html(template: str, status: int, **told: Any) -> Response:
    words = {"t": tell, "fmt": fmt, "day_of": _day_of, "date_of": date.fromisoformat, "style": STYLE}
    words |= {"found_words": found_words, "carrying_words": carrying_words, "dropped_words": dropped_words}
    words |= {"unsaid_words": unsaid_words, "vin_words": vin_words, "quiet_words": quiet_words}
    words |= {"language": spoken(), "other": next(name for name in LANGUAGES if name != spoken())}
    body = render_template(f"public/{template}", **words, **told)
    answer = Response(body, status, content_type="text/html; charset=utf-8")
    answer.headers["Content-Security-Policy"] = POLICY
    answer.headers.setdefault("X-Robots-Tag", "noindex")
    return answer


def _kept_out(answer: Response, said: dict[str, Any]) -> Response:
    """Search engines are told to stay out, unless the publisher wants them and the page is live."""
    wanted = said["indexed"] and said["standing"] == LIVE
    answer.headers.pop("X-Robots-Tag", None)
    if not wanted:
        answer.headers["X-Robots-Tag"] = "noindex"
    return answer


def _image(content: bytes, said: dict[str, Any]) -> Response:
    answer = Response(content, content_type="image/svg+xml")
    answer.headers["Cross-Origin-Resource-Policy"] = "cross-origin"  # it is there to be embedded
    return _kept_out(answer, said)


def _address(said: dict[str, Any]) -> str:
    return str(said["links"]["page"])


def _structured(said: dict[str, Any]) -> Markup:
    """JSON inside HTML: nothing in it can end the element."""
    text = json.dumps(structured(said, _address(said)), ensure_ascii=True)
    return Markup(text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026"))  # noqa: S704


def _photo_paths(view: PublicView) -> list[str]:
    return [f"{view.publication.token}/photos/{name}" for name in view.photos]


def _odometer() -> tuple[float | None, str]:
    """(what a reader sees on the odometer today [km], the same as it was typed); what is no number is none."""
    typed = request.args.get("odometer", "")[:20]
    digits = typed.strip().replace(".", "").replace(",", "").replace(" ", "").replace("\u2019", "")
    value = float(digits) if digits.isascii() and digits.isdigit() else None
    return (value, typed) if value is not None and value <= _FARTHEST else (None, typed)


def _day_of(instant: str) -> str:
    return fmt.day(datetime.fromisoformat(instant).date())
