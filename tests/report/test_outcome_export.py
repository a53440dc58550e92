"""Tables that a spreadsheet may open: RFC 4180, and no text that runs as a formula (OWASP, 'CSV Injection')."""

from __future__ import annotations

import csv
import io
import json
from datetime import UTC, datetime
from typing import Any

import pytest

from riskapi.intake.outcome import OUTCOME_SAMPLE
from riskapi.report.outcome_export import COLUMNS, csv_lines, ndjson_line, outcome_object

THEN = datetime(2026, 1, 1, tzinfo=UTC)


def table(*tellings: dict[str, Any]) -> list[dict[str, str]]:
    objects = (outcome_object("o", "a", THEN, json.dumps(told).encode()) for told in tellings)
    return list(csv.DictReader(io.StringIO("".join(csv_lines(objects)), newline="")))


def test_a_line_for_everything_found() -> None:
    found = [{**OUTCOME_SAMPLE["found"][0]}, {"weak_point": "catalyst", "state": "sound"}]
    first, second = table({**OUTCOME_SAMPLE, "found": found})
    assert tuple(first) == COLUMNS
    assert (first["weak_point"], first["cost"], first["currency"], first["price_paid"]) == (
        "coolant_pump",
        "410",
        "EUR",
        "5900",
    )
    assert (second["weak_point"], second["cost"], second["bought"]) == ("catalyst", "", "yes")


def test_a_telling_that_found_nothing_has_a_line() -> None:
    (only,) = table({**OUTCOME_SAMPLE, "found": [], "odometer": {"value": 100, "unit": "mi"}})
    assert only["weak_point"] == ""
    assert only["odometer_km"] == "160.9"


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "\n"])
def test_no_text_runs_as_a_formula(start: str) -> None:
    (only,) = table({**OUTCOME_SAMPLE, "found": [], "note": f'{start}HYPERLINK("http://x.example","a"),\n"b"'})
    assert only["note"] == f'\'{start}HYPERLINK("http://x.example","a"),\n"b"'


def test_a_line_of_json_is_one_line() -> None:
    told = outcome_object("o", "a", THEN, json.dumps({"note": "a\nb ü"}).encode())
    line = ndjson_line(told)
    assert line.count("\n") == 1
    assert json.loads(line) == told
