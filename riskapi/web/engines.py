"""/v1/engines: the engine families of the knowledge pack, their revisions and what those are known for."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

from marshmallow import Schema, fields
from marshmallow.validate import Range

from riskapi.domain.browse import view_at, views_against
from riskapi.domain.choices import FARTHEST, OLDEST, YOUNGEST
from riskapi.web.engine_answers import EngineFamilySchema, EngineListSchema, engine_answer, engine_summary
from riskapi.web.paging import PageQuerySchema, left_out, page
from riskapi.web.routes import Routes
from riskapi.web.state import state
from riskapi.web.view_answers import RevisionSchema, SideBySideSchema, against_answer, revision_answer

routes = Routes("engines", "Engine families and their revisions.")


class ViewQuerySchema(Schema):
    """The odometer and the age at which a revision is looked at."""

    odometer = fields.Float(
        load_default=left_out,
        validate=Range(0.0, FARTHEST),
        metadata={
            "description": "Odometer [km]; default: the age at the pack's distance a year.",
            "examples": [120000],
        },
    )
    age = fields.Float(
        load_default=left_out,
        validate=Range(YOUNGEST, OLDEST),
        metadata={
            "description": "Age [years]; default: that of an engine from the middle of the revision's span, today.",
            "examples": [8],
        },
    )


@routes.get("/engines", EngineListSchema, query=PageQuerySchema)
def list_engines(query: dict[str, Any]) -> Any:
    """List the engine families"""
    items, cursor = page(state().pack.families, query, lambda family: family.id)
    return {"items": [engine_summary(family) for family in items], "next": cursor}


@routes.get("/engines/<string:family>", EngineFamilySchema, errors=(404,))
def get_engine(family: str) -> Any:
    """Read an engine family"""
    pack = state().pack
    return engine_answer(pack.family(family), pack)


@routes.get("/engines/<string:family>/<string:revision>", RevisionSchema, errors=(404,), query=ViewQuerySchema)
def get_revision(query: dict[str, Any], family: str, revision: str) -> Any:
    """Read a revision

    At an odometer and an age, with nothing looked at: its weak points with the chance of each state, the part
    revision fitted at the works, what changed from the revision before, what to look at and what no look can see.
    """
    pack = state().pack
    found = pack.family(family)
    asked = found.revision(revision)
    return revision_answer(found, asked, view_at(pack, found, asked, query["odometer"], query["age"], _today()), pack)


@routes.get(
    "/engines/<string:family>/<string:revision>/against/<string:other>",
    SideBySideSchema,
    errors=(404,),
    query=ViewQuerySchema,
)
def get_against(query: dict[str, Any], family: str, revision: str, other: str) -> Any:
    """Read two revisions side by side

    Both at the same odometer and age; by default at what is usual for the first.
    """
    pack = state().pack
    found = pack.family(family)
    pair = found.revision(revision), found.revision(other)
    views = views_against(pack, found, pair, query["odometer"], query["age"], _today())
    return against_answer(found, pair, views, pack)


def _today() -> date:
    return datetime.now(UTC).date()
