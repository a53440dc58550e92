"""Outcomes handed out: one JSON object per line, or a table that a spreadsheet may open."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator, Mapping
from datetime import datetime
from typing import Any

from riskapi.domain.units import convert

COLUMNS = (
    "outcome_id", "assessment_id", "told_on", "told_by", "bought", "bought_on", "price_paid", "odometer_km",
    "weak_point", "state", "on", "found_odometer_km", "cost", "currency", "evidence", "note",
)  # fmt: skip
_RUNS = ("=", "+", "-", "@", "\t", "\r", "\n")  # what a spreadsheet may take for the start of a formula


def outcome_object(outcome_id: str, assessment_id: str, created_at: datetime, content: bytes) -> dict[str, Any]:
    """One telling with its ids, as it is answered and exported."""
    head = {"outcome_id": outcome_id, "assessment_id": assessment_id, "created_at": created_at.isoformat()}
    return {**head, **json.loads(content)}


def ndjson_line(told: Mapping[str, Any]) -> str:
    """The telling in one line of JSON."""
    return json.dumps(told, ensure_ascii=False, separators=(",", ":")) + "\n"


def csv_lines(tellings: Iterator[Mapping[str, Any]]) -> Iterator[str]:
    """A header, then a line for everything that was found; a telling that found nothing has one line (RFC 4180)."""
    yield _line(dict(zip(COLUMNS, COLUMNS, strict=True)))
    for told in tellings:
        yield from (_line(row) for row in _rows(told))


def _rows(told: Mapping[str, Any]) -> Iterator[dict[str, Any]]:
    head = {key: told.get(key) for key in ("outcome_id", "assessment_id", "told_on", "told_by", "bought", "bought_on")}
    head |= {"price_paid": _value(told, "price_paid"), "odometer_km": _km(told)}
    head["currency"] = _unit(told, "price_paid")
    for found in told.get("found") or [{}]:
        row = {key: found.get(key) for key in ("weak_point", "state", "on", "evidence")}
        row |= {"found_odometer_km": _km(found), "cost": _value(found, "cost")}
        row["currency"] = _unit(found, "cost") or head["currency"]
        row["note"] = found.get("note") or told.get("note")
        yield {**head, **row}


def _value(holder: Mapping[str, Any], key: str) -> Any:
    return holder[key]["value"] if key in holder else None


def _unit(holder: Mapping[str, Any], key: str) -> Any:
    return holder[key]["unit"] if key in holder else None


def _km(holder: Mapping[str, Any]) -> float | None:
    """The odometer [km]."""
    if "odometer" not in holder:
        return None
    return round(convert(holder["odometer"]["value"], holder["odometer"]["unit"], "km"), 1)


def _line(row: Mapping[str, Any]) -> str:
    out = io.StringIO()
    csv.writer(out).writerow([_safe(row.get(column)) for column in COLUMNS])
    return out.getvalue()


def _safe(value: Any) -> Any:
    """A text that a spreadsheet would run as a formula gets an apostrophe before it, which shows it as a text."""
    if isinstance(value, str) and value.startswith(_RUNS):
        return f"'{value}"
    return "" if value is None else value
