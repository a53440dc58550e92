"""The plan, the sale and the purchase as JSON data."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from riskapi.report.plan_result import after_purchase, before_sale, repair_plan
from riskapi.report.result import result_to_json
from tests.report import builders, plan_builders

PLAN = {"weak_points", "jobs", "operations", "access", "as_found", "cost", "apart", "saving", "score_after",
        "dearer_than", "watch", "unseen"}  # fmt: skip


def test_the_plan_has_all_its_keys_with_and_without_one() -> None:
    """Null is not the same as none."""
    without = repair_plan(None, ("chain_tensioner",))
    assert without.keys() == PLAN
    assert without["weak_points"] == ["chain_tensioner"]
    assert {key for key, value in without.items() if value is None} == PLAN - {"weak_points"}
    told = repair_plan(plan_builders.PLAN, ())
    assert told.keys() == PLAN
    assert told["weak_points"] == ["turbo_oil_feed", "chain_tensioner"]


def test_the_lines_add_up_to_the_cost() -> None:
    told = json.loads(json.dumps(repair_plan(plan_builders.PLAN, ())))
    lines = sum(row["chance"] * row["cost"] for row in (*told["operations"], *told["access"]))
    assert lines + told["as_found"] == pytest.approx(told["cost"])


def test_a_look_has_a_day_and_an_odometer() -> None:
    told = json.loads(json.dumps(repair_plan(plan_builders.PLAN, ())))
    assert told["watch"][1] == {
        "weak_point": "piston_rings",
        "name": "Oil control rings",
        "check": "oil_use_told",
        "check_name": "Ask for the oil use; watch it, too",
        "odometer_km": 150321.0,
        "date": "2027-08-31",
        "every_km": 20000.0,
        "every_months": 12,
        "failure_probability": 0.12,
    }


def test_the_sale_is_null_unless_asked_for() -> None:
    assert before_sale(None) is None
    told = before_sale(plan_builders.SALE)
    assert told is not None
    assert (told["price_rise"], told["pays_back"], told["score_after"]) == (2000.0, 400.0, 12.0)


def test_after_the_purchase() -> None:
    assert after_purchase(builders.assessment()) is None
    told = json.loads(json.dumps(after_purchase(plan_builders.bought())))
    assert [item["id"] for item in told["first_service"]][:2] == ["oil_change", "coolant_level"]
    assert told["first_service"][2]["last"] == "2015-02-01"
    assert told["first_service"][4]["date"] == "2027-08-21"
    assert any("old parts back" in line for line in told["workshop"])
    assert [item["months"] for item in told["follow_ups"]] == [6, 12]


def test_it_is_part_of_the_result() -> None:
    result = json.loads(
        json.dumps(result_to_json(plan_builders.bought(sale=plan_builders.SALE), "x", builders.CREATED))
    )
    assert result["decision"]["repair_plan"]["saving"] == 240.0
    assert result["decision"]["before_sale"]["price_after"] == 8570.0
    assert result["after_purchase"]["workshop"]


def test_a_figure_that_is_no_number_is_refused_with_its_place() -> None:
    wrong = replace(plan_builders.PLAN, saving=float("nan"))
    with pytest.raises(ValueError, match=r"decision\.repair_plan\.saving"):
        repair_plan(wrong, ())
