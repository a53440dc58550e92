"""/v1/engines: the engine families of the knowledge pack, their revisions and what those are known for."""

from __future__ import annotations

from typing import Any

from riskapi.web.engine_answers import (
    EngineFamilySchema,
    EngineListSchema,
    RevisionSchema,
    engine_answer,
    engine_summary,
    revision_answer,
)
from riskapi.web.paging import PageQuerySchema, page
from riskapi.web.routes import Routes
from riskapi.web.state import state

routes = Routes("engines", "Engine families and their revisions.")


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


@routes.get("/engines/<string:family>/<string:revision>", RevisionSchema, errors=(404,))
def get_revision(family: str, revision: str) -> Any:
    """Read a revision

    Its traits, and the weak points such an engine has with the part revision fitted at the works.
    """
    pack = state().pack
    found = pack.family(family)
    return revision_answer(found, found.revision(revision), pack)
