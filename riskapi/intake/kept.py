"""Reading a case as it is kept."""

from __future__ import annotations

import json
from typing import Any

from riskapi.domain.case import Case
from riskapi.domain.knowledge import Pack
from riskapi.intake.reading import case_in
from riskapi.intake.schemas import CaseSchema


def read_kept(kept: bytes | dict[str, Any], pack: Pack) -> Case:
    """The Case in a kept document. Raises CaseError with every fault."""
    value = json.loads(kept) if isinstance(kept, bytes) else kept
    return case_in(CaseSchema(), value, [], pack)
