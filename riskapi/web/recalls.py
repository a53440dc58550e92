"""/v1/recalls: knowledge packs that are no longer to be relied on, and what of an account was made with them."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

from riskapi.errors import CaseError, InputError
from riskapi.intake import read_document
from riskapi.intake.base import RequestSchema, load
from riskapi.intake.fields import Text
from riskapi.intake.pointers import in_order
from riskapi.intake.schemas import docs
from riskapi.storage.recalls import LONGEST_REASON, SHORTEST_DIGEST, Recall, recall, recalls
from riskapi.web.answer_fields import AnswerSchema, many, text, texts
from riskapi.web.body import json_body
from riskapi.web.routes import Routes
from riskapi.web.state import state

routes = Routes("recalls", "Recalls: knowledge that is no longer to be relied on.")
SAMPLE = {"digest": "0" * 64, "reason": "The hours of one operation were too low by half."}
CURATOR = frozenset({"curator"})


class RecallRequestSchema(RequestSchema):
    """Which pack is recalled, and why."""

    digest = Text(
        required=True,
        least=SHORTEST_DIGEST,
        limit=64,
        metadata=docs("SHA-256 of the pack's files, or its first digits.", SAMPLE["digest"]),
    )
    reason = Text(
        required=True, limit=LONGEST_REASON, metadata=docs("Why, in a sentence for its readers.", SAMPLE["reason"])
    )


class RecallSchema(AnswerSchema):
    """A pack that was recalled."""

    digest = text("SHA-256 of the pack's files.")
    version = text("Version of the pack.")
    reason = text("Why it was recalled.")
    recalled_at = text("When (RFC 3339).")
    assessments = texts("Ids of your assessments that were made with it.")


class RecallListSchema(AnswerSchema):
    """All recalls, the newest first."""

    items = many(RecallSchema, "The recalls.")


@routes.get("/recalls", RecallListSchema)
def list_recalls() -> Any:
    """See which knowledge was recalled

    With the assessments of your account that were made with it. They stay as they are; their reports are marked.
    """
    repository = state().repository
    return {"items": [_item(each) for each in recalls(repository.engine, repository.account_id)]}


@routes.post("/recalls", RecallRequestSchema, RecallSchema, sample=SAMPLE, roles=CURATOR, errors=(404,))
def create_recall() -> tuple[dict[str, Any], int]:
    """Recall a knowledge pack

    For all accounts: reports made with it are marked from now on, and webhooks are told. The first recall of a pack
    stands, so this may be sent again.
    """
    document = read_document(json_body())
    loaded, malformed = load(RecallRequestSchema(), document.value)
    if faults := in_order([*document.faults, *malformed]):
        raise CaseError(faults)
    repository = state().repository
    try:
        made = recall(repository.engine, loaded["digest"], loaded["reason"], datetime.now(UTC))
    except InputError as error:
        raise CaseError(replace(each, place=f"/{each.place}") for each in error.faults) from None
    mine = recalls(repository.engine, repository.account_id)
    return _item(next(each for each in mine if each.digest == made.digest)), 201


def _item(found: Recall) -> dict[str, Any]:
    return {
        "digest": found.digest,
        "version": found.version,
        "reason": found.reason,
        "recalled_at": found.recalled_at.isoformat(),
        "assessments": list(found.assessments),
    }
