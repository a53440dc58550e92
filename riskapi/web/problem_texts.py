"""What problems are called: the types of our own, and statuses that say it all."""

from __future__ import annotations

from http import HTTPStatus

from riskapi.domain.sentence import Sentence, Written, told

TYPES = {
    "not-json": told("The request body is not JSON."),
    "case-at-fault": told("The case has faults; each is listed with its place and how to mend it."),
    "findings-clash": told("The findings cannot be true together."),
    "too-complex": told(
        "The findings hang together too closely for an exact answer; leaving out the least telling helps."
    ),
    "photo-at-fault": told("The picture cannot be read, or it is too large."),
    "header-at-fault": told("A header of the request is at fault."),
    "key-reused": told("The idempotency key belongs to another request."),
    "overtaken": told("Another version came in between."),
    "nothing-newer": told("The knowledge pack and the program are those that this was made with."),
    "not-publishable": told("This assessment cannot be shown to the public now."),
    "too-many": told("No more of these are taken today."),
    "no-key": told("It is not known who asks."),
    "from-elsewhere": told("A page of another site asked."),
    "not-allowed": told("The role of this key does not allow it."),
    "made-by-another-version": told(
        "This was made by another version of the program, which comes to another result now."
    ),
    "too-often": told("More requests than are allowed."),
    "database-away": told("The database does not answer for the moment."),
    "storage-full": told("There is no room left to keep anything."),
    "query-at-fault": told("A parameter of the query is at fault."),
}
_STATUSES = {  # as RFC 9110 and RFC 6585 call them
    400: told("Bad Request"),
    401: told("Unauthorized"),
    403: told("Forbidden"),
    404: told("Not Found"),
    405: told("Method Not Allowed"),
    413: told("Content Too Large"),
    415: told("Unsupported Media Type"),
    422: told("Unprocessable Content"),
    429: told("Too Many Requests"),
    500: told("Internal Server Error"),
    503: told("Service Unavailable"),
    507: told("Insufficient Storage"),
}


def title(status: int, kind: str | None) -> Sentence | Written:
    """The title of a problem: that of its type, else of its status."""
    return TYPES[kind] if kind else _STATUSES.get(status, Written(HTTPStatus(status).phrase))
