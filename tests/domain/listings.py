"""Cars known only from their listing, for the tests of the checklist."""

from __future__ import annotations

import json
from functools import lru_cache
from typing import Any

from riskapi import service
from riskapi.domain.checklist import Checklist
from riskapi.domain.knowledge import Pack
from riskapi.intake import case_from_json

BY_FAMILY: dict[str, Any] = {"family": "lapwing"}
BY_TRAITS: dict[str, Any] = {
    "traits": {"fuel": "petrol", "cylinders": 4, "induction": "turbocharged", "cam_drive": "chain"}
}


def listing(engine: dict[str, Any] | None = None, **visit: Any) -> dict[str, Any]:
    """A case without findings; `minutes` is a number [min]."""
    if "minutes" in visit:
        visit["minutes"] = {"value": visit["minutes"], "unit": "min"}
    return {
        "as_of": "2026-03-01",
        "vehicle": {
            "engine": engine or BY_FAMILY,
            "first_registered": "2016-05-19",
            "odometer": {"value": 121_000, "unit": "km"},
        },
        "visit": visit,
    }


def checklist(pack: Pack, engine: dict[str, Any] | None = None, more: dict[str, Any] | None = None,
              **visit: Any) -> Checklist:  # fmt: skip
    """The checklist of that car; `more` is laid over the case."""
    return _made(pack, json.dumps(listing(engine, **visit) | (more or {})))


@lru_cache(maxsize=64)
def _made(pack: Pack, case: str) -> Checklist:
    return service.checklist(case_from_json(json.loads(case), pack), pack)
