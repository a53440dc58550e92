"""Published figures for reference tests; sources in SOURCES.md beside the files."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent


def table(name: str) -> list[dict[str, str]]:
    """Rows of a CSV file."""
    with (HERE / f"{name}.csv").open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def document(name: str) -> Any:
    """Content of a JSON file."""
    return json.loads((HERE / f"{name}.json").read_text(encoding="utf-8"))
