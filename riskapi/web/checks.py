"""/v1/checks: what an inspector can do, in the order of a visit."""

from __future__ import annotations

from typing import Any

from riskapi.web.check_answers import CheckListSchema, CheckSchema, check_answer, check_summary
from riskapi.web.paging import PageQuerySchema, page
from riskapi.web.routes import Routes
from riskapi.web.state import state

routes = Routes("checks", "Checks; their ids are stable.")


@routes.get("/checks", CheckListSchema, query=PageQuerySchema)
def list_checks(query: dict[str, Any]) -> Any:
    """List the checks"""
    items, cursor = page(state().pack.checks, query, lambda check: check.id)
    return {"items": [check_summary(check) for check in items], "next": cursor}


@routes.get("/checks/<string:identifier>", CheckSchema, errors=(404,))
def get_check(identifier: str) -> Any:
    """Read a check

    How to do it, its results, the conditions under which it counts, and its cautions.
    """
    pack = state().pack
    return check_answer(pack.check(identifier), pack)
