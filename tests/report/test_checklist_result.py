"""The checklist as JSON: everything needed beside the car, as the pack says it."""

from __future__ import annotations

import json
from typing import Any

import pytest

from riskapi.domain.knowledge import Pack
from riskapi.report.checklist_result import checklist_to_json
from tests.domain.listings import BY_TRAITS, checklist

VISIT = {"equipment": "workshop", "minutes": 240, "consents": ["ask", "written"]}


@pytest.fixture(scope="module")
def told(shipped: Pack) -> dict[str, Any]:
    return json.loads(json.dumps(checklist_to_json(checklist(shipped, BY_TRAITS, **VISIT), shipped), allow_nan=False))


def test_a_check_carries_what_the_pack_says_of_it(told: dict[str, Any], shipped: Pack) -> None:
    for row in told["checks"]:
        check = shipped.check(row["check"])
        assert row["how"] == check.how
        assert [r["id"] for r in row["results"]] == [r.id for r in check.results]
        assert [c["id"] for c in row["conditions"]] == list(check.needs)
        assert row["consent"] == check.consent
        assert row["cautions"] == list(check.cautions)
        assert (row["measure"] is None) == (check.measure is None)


def test_thresholds_have_their_source(told: dict[str, Any]) -> None:
    sound = next(row for row in told["checks"] if row["check"] == "cold_start_sound")
    assert (sound["measure"]["unit"], sound["measure"]["bounds"]) == ("s", [1.0, 3.0])
    assert sound["measure"]["source"] == {"kind": "common_practice", "citation": "common practice, no source"}


def test_the_parts_of_an_act_come_with_it(told: dict[str, Any], shipped: Pack) -> None:
    codes = next(row for row in told["checks"] if row["check"] == "stored_codes")
    parts = {check.id for check in shipped.checks if check.part_of == "stored_codes"}
    assert {part["check"] for part in codes["also_answers"]} == parts


def test_an_engine_by_its_traits_has_no_revision(told: dict[str, Any]) -> None:
    assert [item["revision"] for item in told["identified"]] == [None]
    assert told["scope"].startswith("This covers the engine only")
