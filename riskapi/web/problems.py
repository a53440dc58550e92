"""Errors as problem details (RFC 9457). Nothing else in this package knows which error has which HTTP status.

A problem says what is wrong and how to mend it, in the language that the request accepts; what only concerns the inside
of the program stays in the log, under the request id that the problem carries.
"""

from __future__ import annotations

import json
import logging
from collections.abc import Iterable
from typing import Any

from flask import Flask, Response, g, request
from sqlalchemy.exc import SQLAlchemyError
from werkzeug.exceptions import HTTPException

from riskapi.domain.sentence import Sentence, Written, at_fault, told
from riskapi.errors import (
    CaseError,
    Fault,
    FindingsClash,
    FromElsewhere,
    HeaderError,
    KeyReused,
    NoKey,
    NotAllowed,
    NotFound,
    NothingNewer,
    NotPublishable,
    Outdated,
    Overtaken,
    PhotoError,
    RiskapiError,
    TooComplex,
    TooMany,
    TooOften,
    Unreadable,
)
from riskapi.intake import BYTES_LIMIT
from riskapi.intake.photo import PHOTO_BYTES_LIMIT
from riskapi.report.faults import faults_in_words, kind_word
from riskapi.report.language import speaking
from riskapi.report.translate import text_in_words
from riskapi.storage.faults import FULL, MISTAKE, fault_of
from riskapi.web.body import PDF_BYTES_LIMIT
from riskapi.web.idempotency import HEADER
from riskapi.web.language import in_language, problem_language
from riskapi.web.problem_texts import title
from riskapi.web.query_faults import query_faults
from riskapi.web.state import state

MEDIA_TYPE = "application/problem+json"
RETRY_SECONDS = 5
_LOG = logging.getLogger(__name__)

Json = dict[str, Any]


def register(app: Flask) -> None:
    """Answer every error of this application with a problem."""
    app.register_error_handler(RiskapiError, of_riskapi)
    app.register_error_handler(SQLAlchemyError, of_database)
    app.register_error_handler(HTTPException, of_http)
    app.register_error_handler(Exception, of_accident)


def of_riskapi(error: RiskapiError) -> Response:
    """An error that this package raised on purpose."""
    if isinstance(error, CaseError):
        return _at_fault(error)
    if isinstance(error, TooComplex):
        return problem(422, "too-complex", detail=error.message, faults=error.faults)
    if isinstance(error, NotFound):
        return problem(404, detail=told("There is no {kind} with this id.", kind=kind_word(error.kind)))
    if isinstance(error, TooOften):
        return _too_often(error)
    if isinstance(error, NotAllowed):
        roles = tuple(map(Written, error.roles))
        return problem(403, "not-allowed", detail=told("This is for the roles {roles}.", roles=roles))
    return _about_versions(error) or _at_the_door(error)


def _too_often(error: TooOften) -> Response:
    detail = told(
        "In {seconds:d} seconds there is room again for this {kind}.",
        seconds=error.seconds, kind=kind_word(error.kind),
    )  # fmt: skip
    answer = problem(429, "too-often", detail=detail)
    answer.headers["Retry-After"] = str(error.seconds)
    return answer


def _about_versions(error: RiskapiError) -> Response | None:
    if isinstance(error, Outdated):
        return problem(409, "made-by-another-version", detail=_outdated(error))
    if isinstance(error, Overtaken):
        detail = told("Read the latest version of this {kind}, then send it again.", kind=kind_word(error.kind))
        return problem(412, "overtaken", detail=detail)
    if isinstance(error, NothingNewer):
        return problem(409, "nothing-newer", detail=told("There is nothing else to say yet; nothing was kept."))
    if isinstance(error, NotPublishable):
        return problem(409, "not-publishable", faults=[error.fault])
    if isinstance(error, TooMany):
        most = told("At most {most:d} {kind} are taken in a day.", most=error.most, kind=kind_word(error.kind))
        return problem(429, "too-many", detail=most)
    return None


def _outdated(error: Outdated) -> Sentence:
    return told(
        "This {kind} was made by version {version}. Nothing else is printed in its place: what was printed before is "
        "kept, and /rescore says what this version makes of it.",
        kind=kind_word(error.kind), version=Written(error.version),
    )  # fmt: skip


def _at_the_door(error: RiskapiError) -> Response:
    if isinstance(error, PhotoError):
        return problem(422, "photo-at-fault", faults=error.faults)
    if isinstance(error, FromElsewhere):
        return problem(403, "from-elsewhere", detail=told("Ask from a page of this server, or show a key."))
    if isinstance(error, HeaderError):
        return problem(400, "header-at-fault", faults=error.faults, place="header")
    if isinstance(error, KeyReused):
        message, mend = told("This key came with another body before."), told("Send a new key with a new body.")
        return problem(422, "key-reused", faults=[at_fault(HEADER, message, mend)], place="header")
    return _who(error) if isinstance(error, NoKey) else of_accident(error)


def _at_fault(error: CaseError) -> Response:
    if isinstance(error, Unreadable):
        return problem(400, "not-json", faults=error.faults)
    kind = "findings-clash" if isinstance(error, FindingsClash) else "case-at-fault"
    return problem(422, kind, faults=error.faults)


def _who(error: NoKey) -> Response:
    """401 with the challenge of RFC 6750."""
    answer = problem(401, "no-key", detail=_SHOWN if error.shown else _NEEDED)
    answer.headers["WWW-Authenticate"] = 'Bearer realm="riskapi"' + (', error="invalid_token"' if error.shown else "")
    return answer


_SHOWN = told("This key is unknown, revoked or has expired.")
_NEEDED = told("Send a key as 'Authorization: Bearer KEY'. 'riskapi keys create' makes one.")


def of_http(error: HTTPException) -> Response | HTTPException:
    """An error of the HTTP layer: unknown path, wrong method, body too long, and the like."""
    if error.code is None or error.code < 400:
        return error
    data = getattr(error, "data", None) or {}
    if "messages" in data:
        return problem(422, "query-at-fault", faults=query_faults(data["messages"]), place="parameter")
    if error.code >= 500 and error.code != 503:
        return of_accident(error)
    answer = problem(error.code, detail=_DETAILS.get(error.code, error.description if error.code in _TOLD else None))
    for name, value in error.get_headers(request.environ):
        if name.lower() in ("allow", "retry-after", "accept"):
            answer.headers[name] = value
    return answer


_DETAILS = {
    413: told(
        "Of a case at most {case:,d} bytes are read, of a picture {picture:,d}, of a PDF {pdf:,d}.",
        case=BYTES_LIMIT, picture=PHOTO_BYTES_LIMIT, pdf=PDF_BYTES_LIMIT,
    )
}  # fmt: skip
_TOLD = (415, 503)  # their descriptions are written in this package


def _of_any(error: Exception) -> Response:
    if isinstance(error, RiskapiError):
        return of_riskapi(error)
    return of_database(error) if isinstance(error, SQLAlchemyError) else of_accident(error)


def body_of(error: Exception) -> Json:
    """The problem of any error, for where it is part of an answer."""
    answer = _of_any(error)
    told: Json = json.loads(answer.get_data())
    return told


def of_database(error: SQLAlchemyError) -> Response:
    """The database failed. What could not be kept was not kept by halves, so the same request may be sent again."""
    kind = fault_of(error)
    if kind == MISTAKE:
        return of_accident(error)
    _LOG.error("request %s: the database is %s (%s)", g.get("request_id"), kind, type(error).__name__)
    if kind == FULL:
        return problem(507, "storage-full", detail=told("Nothing of this request was kept. Tell the operator."))
    answer = problem(503, "database-away", detail=told("Nothing of this request was kept. Send it again in a while."))
    answer.headers["Retry-After"] = str(RETRY_SECONDS)
    return answer


def of_accident(error: Exception) -> Response:
    """Anything that nobody foresaw: logged in full, answered without a word about the inside."""
    _LOG.error("request %s failed", g.get("request_id"), exc_info=error)
    return problem(500, detail=told("The program failed. Tell the operator the request id; nothing was kept."))


def problem(
    status: int,
    kind: str | None = None,
    *,
    detail: str | None = None,
    faults: Iterable[Fault] | None = None,
    place: str = "pointer",
) -> Response:
    """A response with problem details in the language that the request accepts; `place` is what a fault calls its
    place: pointer, header or parameter."""
    language = problem_language()
    with speaking(language):
        body = _body(status, kind, detail, None if faults is None else _told(faults, place))
    return in_language(Response(json.dumps(body), status, content_type=MEDIA_TYPE), language)


def _body(status: int, kind: str | None, detail: str | None, faults: list[Json] | None) -> Json:
    heading = text_in_words(title(status, kind), None)
    body: Json = {"type": f"/v1/docs#{kind}" if kind else "about:blank", "title": heading, "status": status}
    if detail:
        body["detail"] = text_in_words(detail, state().pack)
    body["request_id"] = g.get("request_id")
    if faults is not None:
        body["faults"] = faults
    return body


def _told(faults: Iterable[Fault], place: str) -> list[Json]:
    told_now = faults_in_words(faults, state().pack)
    return [{place: item.place, "message": item.message, "mend": item.mend} for item in told_now]
