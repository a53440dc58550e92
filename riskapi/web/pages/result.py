"""The result of one assessment: what to do first, then why, then the figures."""

from __future__ import annotations

from flask import Response, request

from riskapi.web.access import may
from riskapi.web.pages import reasons
from riskapi.web.pages.charts import fan
from riskapi.web.pages.kept import Kept, not_sound
from riskapi.web.pages.routes import page, routes
from riskapi.web.pages.words import bar_words, local_pack
from riskapi.web.publications import PUBLISHERS
from riskapi.web.state import state

CLOSED_COOKIE = "riskapi_closed"  # that whoever looks hid price and advice
SHOWN = 8  # weak points in the first table


@routes.get("/assessments/<string:identifier>")
def assessment(identifier: str) -> Response:
    """One assessment of this account."""
    kept = kept_of(identifier)
    told = reasons.reasons(kept)
    low, high = kept.risk["band"]
    return page(
        "result.html",
        kept=kept,
        bar_words=bar_words(kept.risk["score"], (low, high)),
        fan=fan(kept.result["cost"]["by_year"]),
        not_sound=not_sound,
        shown=SHOWN,
        why=reasons.why(kept),
        reasons=told,
        reasons_heading=reasons.heading(kept, told),
        next_looks=reasons.next_looks(kept),
        closed_cookie=CLOSED_COOKIE,
        closed=request.cookies.get(CLOSED_COOKIE) == "1",
        may_publish=may(PUBLISHERS),
    )


def kept_of(identifier: str) -> Kept:
    """An assessment of the caller's account. Raises NotFound."""
    return Kept.of(state().repository.get(identifier), local_pack())
