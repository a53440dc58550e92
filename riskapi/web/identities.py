"""/v1/assessments/{id}/identity: what is kept apart of an assessment, and its erasure."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from typing import Any

from flask import Response
from marshmallow import fields

from riskapi.desk.personal import commitment_in
from riskapi.errors import NotFound
from riskapi.storage.erasing import compact, erase_identity
from riskapi.web.answer_fields import AnswerSchema, text
from riskapi.web.routes import Routes
from riskapi.web.state import state

routes = Routes("identities", "Identities: VIN, plate, names and addresses, apart from everything else.")


class IdentityAnswerSchema(AnswerSchema):
    """What is kept apart of an assessment. `commitment` is SHA-256 over `salt` and `content` in canonical JSON (UTF-8,
    keys sorted, no spaces)."""

    assessment_id = text("Id of the assessment.")
    commitment = text("The digest that the result and the report carry.")
    salt = text("The salt, in hexadecimal digits; null once erased.", allow_none=True)
    content = fields.Dict(
        required=True,
        allow_none=True,
        metadata={"description": "What of the case is kept apart, as it was sent; null once erased."},
    )
    erased_at = text("When it was erased (RFC 3339), else null.", allow_none=True)


@routes.get("/assessments/<string:identifier>/identity", IdentityAnswerSchema, errors=(404,))
def get_identity(identifier: str) -> Any:
    """Read what is kept apart

    404 where there never was anything personal in the case.
    """
    repository = state().repository
    stored, known = repository.get(identifier), repository.identity(identifier)
    if known is None:
        raise NotFound("identity", identifier)
    return {
        "assessment_id": identifier,
        "commitment": commitment_in(stored),
        "salt": None if known.salt is None else known.salt.hex(),
        "content": None if known.content is None else json.loads(known.content),
        "erased_at": None if known.erased_at is None else known.erased_at.isoformat(),
    }


@routes.delete("/assessments/<string:identifier>/identity")
def delete_identity(identifier: str) -> Response:
    """Erase what is personal of a car

    VIN, plate, names and addresses of all versions of this car, photos that its findings name, and kept reports with
    any of it in them. Figures, commitments and seals stay; a report printed from now on says "identity removed". The
    car is not known again. Webhooks are told. Backups of the operator are not reached.
    """
    repository = state().repository
    erase_identity(repository.engine, repository.account_id, identifier, datetime.now(UTC))
    compact(repository.engine)
    return Response(status=204)
