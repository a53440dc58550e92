"""/healthz: whether this server runs. /readyz: whether it can do its work."""

from __future__ import annotations

from typing import Any

from flask import Response, current_app
from marshmallow import fields

from riskapi import __version__
from riskapi.report.audit import json_bytes
from riskapi.web import checkup
from riskapi.web.access import ANYBODY
from riskapi.web.answer_fields import AnswerSchema, flag, many, text
from riskapi.web.routes import Routes
from riskapi.web.state import state

routes = Routes("health", "Whether the server can do its work.", prefix="")
LEAST = "DISK_LEAST"  # setting [MB]


class HealthSchema(AnswerSchema):
    status = fields.String(required=True, metadata={"description": "ok"})
    program_version = fields.String(required=True, metadata={"description": "Version of the program."})
    knowledge_version = fields.String(required=True, metadata={"description": "Version of the knowledge pack."})
    knowledge_digest = fields.String(required=True, metadata={"description": "SHA-256 of its files."})


class ReadyCheckSchema(AnswerSchema):
    name = text("database, migrations, pack or disk.")
    well = flag("Whether it is as it should be.")
    told = text("What was found.")


class ReadySchema(AnswerSchema):
    """What was looked at."""

    ready = flag("Whether requests should be sent here.")
    checks = many(ReadyCheckSchema, "One by one.")


@routes.get("/healthz", HealthSchema, roles=ANYBODY)
def get_health() -> Any:
    """Ask whether the server runs

    Looks at nothing beside it; /readyz does.
    """
    pack = state().pack
    return {
        "status": "ok",
        "program_version": __version__,
        "knowledge_version": pack.version,
        "knowledge_digest": pack.digest,
    }


@routes.get("/readyz", ReadySchema, roles=ANYBODY)
def get_ready() -> Response:
    """Ask whether the server can do its work

    Looks at the database, its tables, the knowledge pack and the disk; 503 when one of them is not as it should be.
    """
    engine, pack = state().repository.engine, state().pack
    room = checkup.disk(engine, current_app.config.get(LEAST, 0))
    known = checkup.Check("pack", True, f"Version {pack.version}.")
    checks = [*checkup.database(engine), known, room]
    well = all(each.well for each in checks)
    told = {"ready": well, "checks": [{"name": c.name, "well": c.well, "told": c.told} for c in checks]}
    return Response(json_bytes(told), 200 if well else 503, content_type="application/json")
