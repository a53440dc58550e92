"""/healthz: whether this server can do its work."""

from __future__ import annotations

import logging
from typing import Any

from marshmallow import fields
from sqlalchemy.exc import SQLAlchemyError
from werkzeug.exceptions import ServiceUnavailable

from riskapi import __version__
from riskapi.web.access import ANYBODY
from riskapi.web.answer_fields import AnswerSchema
from riskapi.web.routes import Routes
from riskapi.web.state import state

routes = Routes("health", "Whether the server can do its work.", prefix="")
_LOG = logging.getLogger(__name__)


class HealthSchema(AnswerSchema):
    status = fields.String(required=True, metadata={"description": "ok"})
    program_version = fields.String(required=True, metadata={"description": "Version of the program."})
    knowledge_version = fields.String(required=True, metadata={"description": "Version of the knowledge pack."})
    knowledge_digest = fields.String(required=True, metadata={"description": "SHA-256 of its files."})


@routes.get("/healthz", HealthSchema, errors=(503,), roles=ANYBODY)
def get_health() -> Any:
    """Ask whether all is well

    Reaches for the database; 503 when it does not answer.
    """
    try:
        state().repository.ping()
    except SQLAlchemyError as error:
        _LOG.error("the database does not answer: %s", type(error).__name__)
        raise ServiceUnavailable("The database does not answer.") from None
    pack = state().pack
    return {
        "status": "ok",
        "program_version": __version__,
        "knowledge_version": pack.version,
        "knowledge_digest": pack.digest,
    }
