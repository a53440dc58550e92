"""/v1/publications: an account shows an assessment to the public, withdraws it, and answers readers."""

from __future__ import annotations

from datetime import UTC, datetime
from html import escape
from typing import Any

from flask import request, url_for

from riskapi.desk.publishing import Wish, dispute_told, links_of, publish, standing_of
from riskapi.intake import canonical, read_document
from riskapi.intake.publication import (
    PUBLISH_SAMPLE,
    BecauseSchema,
    PublishSchema,
    SaidSchema,
    read_because,
    read_publish,
    read_said,
)
from riskapi.report import format as fmt
from riskapi.storage import Intent
from riskapi.storage.public import Disputes, Public
from riskapi.storage.publications import Publication, Publications
from riskapi.web.body import json_body
from riskapi.web.idempotency import idempotency_key
from riskapi.web.paging import PageQuerySchema
from riskapi.web.public import shown_words
from riskapi.web.publication_schemas import (
    DisputeListSchema,
    DisputeSchema,
    PublicationListSchema,
    PublicationSchema,
)
from riskapi.web.routes import Routes
from riskapi.web.state import state

PUBLISHERS = frozenset({"dealer", "inspector"})
OPERATORS = frozenset({"curator"})
routes = Routes("publications", "Publications: the latest assessment of a car, shown to the public by who offers it.")
_LOCATION = {"Location": {"description": "Where the publication can be read.", "schema": {"type": "string"}}}
_BECAUSE = {"because": "The car is sold."}
_SAID = {"text": "The front cover was cleaned after the look; the invoice is in the papers."}


@routes.post(
    "/publications",
    PublishSchema,
    PublicationSchema,
    headers=_LOCATION,
    sample=PUBLISH_SAMPLE,
    roles=PUBLISHERS,
    errors=(404, 409),
)
def create_publication() -> tuple[dict[str, Any], int, dict[str, str]]:
    """Publish an assessment

    Only the latest assessment of a car, and none of a trial. The page counts all assessments of that car in your
    account and shows findings that an earlier one had and this one dropped. Publishing a later one supersedes it.
    """
    key, body = idempotency_key(), json_body()
    loaded = read_publish(body)
    wish = Wish(loaded["looked_by"], tuple(loaded["photos"]), loaded["indexed"])
    intent = Intent.to(key, canonical(read_document(body).value), request.path)
    made = publish(state(), loaded["assessment_id"], wish, _now(), intent)
    return _told(made), 201, {"Location": url_for("publications.get_publication", identifier=made.id)}


@routes.get("/publications", PublicationListSchema, query=PageQuerySchema, roles=PUBLISHERS)
def list_publications(query: dict[str, Any]) -> dict[str, Any]:
    """List your publications

    Newest first, withdrawn ones too.
    """
    limit = query["limit"]
    found = _publications().page(limit + 1, query["cursor"])
    page = found[:limit]
    return {"items": [_told(each) for each in page], "next": page[-1].id if len(found) > limit else None}


@routes.get("/publications/<string:identifier>", PublicationSchema, errors=(404,), roles=PUBLISHERS)
def get_publication(identifier: str) -> dict[str, Any]:
    """Read a publication"""
    return _told(_publications().get(identifier))


@routes.ask(
    "/publications/<string:identifier>/withdraw",
    BecauseSchema,
    PublicationSchema,
    sample=_BECAUSE,
    errors=(404,),
    roles=PUBLISHERS,
)
def withdraw_publication(identifier: str) -> dict[str, Any]:
    """Withdraw a publication

    The page stays and says that it was withdrawn, when and why.
    """
    _publications().get(identifier)
    return _told(_publications().withdraw(identifier, shown_words("because", read_because(json_body())), _now()))


@routes.get("/publications/<string:identifier>/disputes", DisputeListSchema, errors=(404,), roles=PUBLISHERS)
def list_disputes(identifier: str) -> dict[str, Any]:
    """Read what readers say against a publication"""
    return {"items": [dispute_told(each) for each in _disputes().of(identifier)]}


@routes.ask(
    "/disputes/<string:identifier>/reply", SaidSchema, DisputeSchema, sample=_SAID, errors=(404,), roles=PUBLISHERS
)
def reply_to_dispute(identifier: str) -> dict[str, Any]:
    """Reply to a reader

    Everybody sees it beside what the reader said. A later reply replaces it.
    """
    _disputes().get(identifier)
    return dispute_told(_disputes().reply(identifier, shown_words("text", read_said(json_body())), _now()))


@routes.ask(
    "/disputes/<string:identifier>/remove",
    BecauseSchema,
    DisputeSchema,
    sample={"because": "It named a person."},
    errors=(404,),
    roles=OPERATORS,
)
def remove_dispute(identifier: str) -> dict[str, Any]:
    """Remove what a reader said

    For whoever runs this service, not for the publisher. That there was a text, and why it went, stays visible.
    """
    _disputes().get(identifier, anybodys=True)
    return dispute_told(_disputes().remove(identifier, shown_words("because", read_because(json_body())), _now()))


def _now() -> datetime:
    return datetime.now(UTC)


def _publications() -> Publications:
    repository = state().repository
    return Publications(repository.engine, repository.account_id)


def _disputes() -> Disputes:
    repository = state().repository
    return Disputes(repository.engine, repository.account_id)


def _told(made: Publication) -> dict[str, Any]:
    address = state().address
    links = links_of(address, made.token)
    page, badge = (escape(str(links[name])) for name in ("page", "badge"))
    view = Public(state().repository.engine).view(made.token)
    embed = f'<a href="{page}"><img src="{badge}" alt="" width="340" height="84"></a>'
    return {
        "publication_id": made.id,
        "assessment_id": made.assessment_id,
        "standing": standing_of(made, view.published),
        "looked_by": made.shown.looked_by,
        "published_at": fmt.instant(made.published_at),
        "withdrawn_at": None if made.withdrawn_at is None else fmt.instant(made.withdrawn_at),
        "withdrawn_because": made.withdrawn_because,
        "photos": list(made.shown.photos),
        "indexed": made.shown.indexed,
        "links": links,
        "badge_html": embed,
    }
