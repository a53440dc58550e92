"""What `riskapi outcomes` does: what was told about the assessed cars, for whoever learns from it."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from typing import Any

from riskapi.report.outcome_export import csv_lines, ndjson_line, outcome_object
from riskapi.storage import migrate, open_database
from riskapi.storage.outcomes import every_outcome


def outcomes(as_table: bool) -> None:
    """Print every outcome that was told to the service, of all accounts, the first one first."""
    lines = csv_lines(_tellings()) if as_table else map(ndjson_line, _tellings())
    for line in lines:
        sys.stdout.write(line)


def _tellings() -> Iterator[dict[str, Any]]:
    engine = open_database()
    migrate(engine)
    for each in every_outcome(engine):
        yield outcome_object(each.id, each.assessment_id, each.created_at, each.content)
    engine.dispose()
