"""Errors as problem details (RFC 9457). Nothing else in this package knows which error has which HTTP status.

A problem says what is wrong and how to mend it; what only concerns the inside of the program stays in the log,
under the request id that the problem carries.
"""

from __future__ import annotations

import json
import logging
from collections.abc import Iterable
from http import HTTPStatus
from typing import Any

from flask import Flask, Response, g, request
from sqlalchemy.exc import SQLAlchemyError
from werkzeug.exceptions import HTTPException

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
from riskapi.storage.faults import FULL, MISTAKE, fault_of
from riskapi.web.idempotency import HEADER

MEDIA_TYPE = "application/problem+json"
TYPES = {
    "not-json": "The request body is not JSON.",
    "case-at-fault": "The case has faults; each is listed with its place and how to mend it.",
    "findings-clash": "The findings cannot be true together.",
    "too-complex": "The findings hang together too closely for an exact answer; leaving out the least telling helps.",
    "photo-at-fault": "The picture cannot be read, or it is too large.",
    "header-at-fault": "A header of the request is at fault.",
    "key-reused": "The idempotency key belongs to another request.",
    "overtaken": "Another version came in between.",
    "nothing-newer": "The knowledge pack and the program are those that this was made with.",
    "not-publishable": "This assessment cannot be shown to the public now.",
    "too-many": "No more of these are taken today.",
    "no-key": "It is not known who asks.",
    "from-elsewhere": "A page of another site asked.",
    "not-allowed": "The role of this key does not allow it.",
    "made-by-another-version": "This was made by another version of the program, which comes to another result now.",
    "too-often": "More requests than are allowed.",
    "database-away": "The database does not answer for the moment.",
    "storage-full": "There is no room left to keep anything.",
    "query-at-fault": "A parameter of the query is at fault.",
}
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
        return problem(422, "too-complex", detail=str(error), faults=_faults(error.faults))
    if isinstance(error, NotFound):
        return problem(404, detail=f"There is no {error.kind} with this id.")
    if isinstance(error, TooOften):
        return _too_often(error)
    if isinstance(error, NotAllowed):
        return problem(403, "not-allowed", detail=f"This is for the roles {', '.join(error.roles)}.")
    return _about_versions(error) or _at_the_door(error)


def _too_often(error: TooOften) -> Response:
    told = f"In {error.seconds} seconds there is room again for this {error.kind}."
    answer = problem(429, "too-often", detail=told)
    answer.headers["Retry-After"] = str(error.seconds)
    return answer


def _about_versions(error: RiskapiError) -> Response | None:
    if isinstance(error, Outdated):
        return problem(409, "made-by-another-version", detail=_OUTDATED.format(kind=error.kind, version=error.version))
    if isinstance(error, Overtaken):
        return problem(412, "overtaken", detail=f"Read the latest version of this {error.kind}, then send it again.")
    if isinstance(error, NothingNewer):
        return problem(409, "nothing-newer", detail="There is nothing else to say yet; nothing was kept.")
    if isinstance(error, NotPublishable):
        return problem(409, "not-publishable", faults=_faults([error.fault]))
    if isinstance(error, TooMany):
        return problem(429, "too-many", detail=f"At most {error.most} {error.kind} are taken in a day.")
    return None


_OUTDATED = (
    "This {kind} was made by version {version}. Nothing else is printed in its place: what was printed before is kept, "
    "and /rescore says what this version makes of it."
)


def _at_the_door(error: RiskapiError) -> Response:
    if isinstance(error, PhotoError):
        return problem(422, "photo-at-fault", faults=_faults(error.faults))
    if isinstance(error, FromElsewhere):
        return problem(403, "from-elsewhere", detail="Ask from a page of this server, or show a key.")
    if isinstance(error, HeaderError):
        return problem(400, "header-at-fault", faults=_faults(error.faults, "header"))
    if isinstance(error, KeyReused):
        fault = Fault(HEADER, "This key came with another body before.", "Send a new key with a new body.")
        return problem(422, "key-reused", faults=_faults([fault], "header"))
    return _who(error) if isinstance(error, NoKey) else of_accident(error)


def _at_fault(error: CaseError) -> Response:
    if isinstance(error, Unreadable):
        return problem(400, "not-json", faults=_faults(error.faults))
    kind = "findings-clash" if isinstance(error, FindingsClash) else "case-at-fault"
    return problem(422, kind, faults=_faults(error.faults))


def _who(error: NoKey) -> Response:
    """401 with the challenge of RFC 6750."""
    answer = problem(401, "no-key", detail=_SHOWN if error.shown else _NEEDED)
    answer.headers["WWW-Authenticate"] = 'Bearer realm="riskapi"' + (', error="invalid_token"' if error.shown else "")
    return answer


_SHOWN = "This key is unknown, revoked or has expired."
_NEEDED = "Send a key as 'Authorization: Bearer KEY'. 'riskapi keys create' makes one."


def of_http(error: HTTPException) -> Response | HTTPException:
    """An error of the HTTP layer: unknown path, wrong method, body too long, and the like."""
    if error.code is None or error.code < 400:
        return error
    data = getattr(error, "data", None) or {}
    if "messages" in data:
        return problem(422, "query-at-fault", faults=_parameters(data["messages"]))
    if error.code >= 500 and error.code != 503:
        return of_accident(error)
    answer = problem(error.code, detail=_DETAILS.get(error.code, error.description if error.code in _TOLD else None))
    for name, value in error.get_headers(request.environ):
        if name.lower() in ("allow", "retry-after", "accept"):
            answer.headers[name] = value
    return answer


_DETAILS = {
    413: f"Of a case at most {BYTES_LIMIT:,} bytes are read, of a picture {PHOTO_BYTES_LIMIT:,}, of a PDF 20,000,000."
}
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
        return problem(507, "storage-full", detail="Nothing of this request was kept. Tell the operator.")
    answer = problem(503, "database-away", detail="Nothing of this request was kept. Send it again in a while.")
    answer.headers["Retry-After"] = str(RETRY_SECONDS)
    return answer


def of_accident(error: Exception) -> Response:
    """Anything that nobody foresaw: logged in full, answered without a word about the inside."""
    _LOG.error("request %s failed", g.get("request_id"), exc_info=error)
    return problem(500, detail="The program failed. Tell the operator the request id; nothing was kept.")


def problem(
    status: int, kind: str | None = None, *, detail: str | None = None, faults: list[Json] | None = None
) -> Response:
    """A response with problem details."""
    title = TYPES[kind] if kind else HTTPStatus(status).phrase
    body: Json = {"type": f"/v1/docs#{kind}" if kind else "about:blank", "title": title, "status": status}
    if detail:
        body["detail"] = detail
    body["request_id"] = g.get("request_id")
    if faults is not None:
        body["faults"] = faults
    return Response(json.dumps(body), status, content_type=MEDIA_TYPE)


def _faults(faults: Iterable[Fault], kind: str = "pointer") -> list[Json]:
    return [{kind: item.place, "message": item.message, "mend": item.mend} for item in faults]


def _parameters(messages: dict[str, dict[str, list[str]]]) -> list[Json]:
    return [
        {"parameter": name, "message": message, "mend": "Mend or leave out this parameter."}
        for named in messages.values()
        for name, told in named.items()
        for message in told
    ]
