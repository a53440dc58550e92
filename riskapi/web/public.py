"""/v1/public/{token}: what the public page says, for programs. For anybody who has the address."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from typing import Any

from flask import Response

from riskapi.desk.publishing import WITHDRAWN, dispute_told, told_now
from riskapi.domain.sentence import at_fault, told
from riskapi.errors import CaseError
from riskapi.intake.publication import LONGEST, SHORTEST, SaidSchema, read_said
from riskapi.report import format as fmt
from riskapi.report.figures import Json
from riskapi.storage.public import Public, PublicView
from riskapi.web.access import ANYBODY
from riskapi.web.body import json_body
from riskapi.web.language import asked_language, in_language
from riskapi.web.publication_schemas import DisputeSchema, PublicQuerySchema, PublicSchema
from riskapi.web.routes import Routes
from riskapi.web.state import state

routes = Routes("public", "What the public is told of an assessment, for programs.")
_SAID = {"text": "The front cover was wet when I looked at the car."}


@routes.get("/public/<string:token>", PublicSchema, query=PublicQuerySchema, errors=(404,), roles=ANYBODY)
def get_public(query: dict[str, Any], token: str) -> Response:
    """Read what a publication says

    `standing` says whether it is live, superseded or withdrawn; what was withdrawn stays readable.
    """
    language = asked_language(query["language"])
    answer = Response(json.dumps(public_told(view_of(token), language, query["odometer"])), 200)
    answer.content_type = "application/json"
    return in_language(answer, language)


@routes.post(
    "/public/<string:token>/disputes", SaidSchema, DisputeSchema, sample=_SAID, roles=ANYBODY, errors=(404, 429)
)
def create_dispute(token: str) -> tuple[dict[str, Any], int]:
    """Say what is not right

    Everybody sees it as it was written, beside the publisher's reply. No names, numbers or addresses, please.
    """
    view_of(token)
    text = shown_words("text", read_said(json_body()), SHORTEST)
    return dispute_told(public().dispute(token, text, datetime.now(UTC))), 201


def shown_words(key: str, text: str, least: int = 1) -> str:
    """What readers will see of a text. Raises CaseError where that is too little: other characters do not show."""
    seen = fmt.lines(text)
    if len(seen) < least:
        mend = told("Write {least:d} to {most:,d} characters.", least=least, most=LONGEST)
        raise CaseError([at_fault(f"/{key}", told("This says too little."), mend)])
    return seen


def public() -> Public:
    """All publications by their tokens."""
    return Public(state().repository.engine)


def view_of(token: str) -> PublicView:
    """Raises NotFound."""
    return public().view(token)


def public_told(view: PublicView, language: str, odometer_km: float | None = None) -> Json:
    """What the public is told now."""
    return told_now(state(), view, language, datetime.now(UTC), odometer_km)


def is_gone(said: Json) -> bool:
    """Whether it was withdrawn."""
    return said["standing"] == WITHDRAWN
