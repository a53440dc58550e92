"""The JSON result."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from riskapi.domain.assessment import (
    Assessment,
    Evidence,
    RootEvidence,
    Spread,
    StateChances,
    TraitChances,
    TraitValueChance,
    YearCost,
)
from riskapi.report.result import DECIBAN_LIMIT, result_to_json
from tests.report import builders

# The shape promised to callers: key -> keys below it; a list holds the keys of its entries.
SHAPE: dict[str, object] = {
    "assessment_id": None,
    "created_at": None,
    "reference": None,
    "scope": None,
    "knowledge": {"version", "digest", "judgement_share"},
    "identified": [{"revision", "probability"}],
    "identification": {"generic", "family", "how", "settled_by", "says"},
    "care": {"careful", "average", "neglected"},
    "care_says": None,
    "tune": None,
    "tune_says": None,
    "traits": None,
    "risk": {"score", "band", "repair_budget", "budget_origin", "after_work", "fixed"},
    "weak_points": [
        {
            "id",
            "name",
            "state",
            "failure_probability",
            "expected_cost",
            "hazard",
            "warning",
            "evidence",
            "cautions",
        }
    ],
    "cost": {"currency", "unplanned", "planned", "immediate", "by_year"},
    "decision": {
        "advice",
        "reasons",
        "price_for_findings",
        "cautious_price",
        "items",
        "next_checks",
        "repair_plan",
    },
    "coverage": {"checked", "not_checked", "void"},
    "assumptions": None,
    "cautions": None,
}


def render(assessment: Assessment) -> dict[str, object]:
    return result_to_json(assessment, builders.IDENTIFIER, builders.CREATED)


def test_the_promised_keys_are_there() -> None:
    result = render(builders.assessment())
    for key, below in SHAPE.items():
        assert key in result
        entries = result[key] if isinstance(below, list) else [result[key]]
        wanted = below[0] if isinstance(below, list) else below
        assert isinstance(entries, list)
        assert entries
        for entry in entries:
            assert wanted is None or (isinstance(entry, dict) and wanted <= entry.keys())


def test_the_promised_nesting_of_cost_decision_and_evidence() -> None:
    result = json.loads(json.dumps(render(builders.assessment())))
    spread = {"mean", "discounted_mean", "p10", "p50", "p80", "p90", "p_zero"}
    assert all(spread <= result["cost"][name].keys() for name in ("unplanned", "planned", "immediate"))
    assert {"year", "mean", "p10", "p50", "p90"} <= result["cost"]["by_year"][0].keys()
    assert {"operations", "cost", "saving", "watch"} <= result["decision"]["repair_plan"].keys()
    assert {"check", "set_up", "value_of_information", "check_cost", "minutes"} <= result["decision"]["next_checks"][
        0
    ].keys()
    assert result["risk"]["fixed"][0] == {"amount": 500.0, "years": 2.0, "probability": 0.41}
    assert result["coverage"]["not_checked"] == [{"check": "tensioner_travel", "reason": "refused"}]


def test_values_are_those_of_the_assessment() -> None:
    result = json.loads(json.dumps(render(builders.assessment())))
    assert result["assessment_id"] == builders.IDENTIFIER
    assert result["created_at"] == "2026-11-03T14:05:09Z"
    assert result["risk"]["score"] == 38.2
    assert result["risk"]["band"] == [25.3, 51.8]
    assert result["weak_points"][0]["state"] == {"sound": 0.38, "degraded": 0.4, "faulty": 0.22}
    assert result["weak_points"][0]["evidence"][0] == {
        "check": "cold_start_sound",
        "result": "long",
        "decibans": 8.1,
        "last_in": 7.4,
        "words": "speaks strongly for it",
    }
    assert "engine only" in result["scope"]


def test_rounding_is_fixed_and_never_negative_nothing() -> None:
    given_one = builders.assessment()
    point = replace(
        given_one.weak_points[0],
        state=StateChances(1 / 3, 1 / 3, 1 / 3),
        expected_cost=12.3456,
        expected_immediate_cost=-0.0001,
    )
    risk = replace(given_one.risk, score=38.23456)
    result = json.loads(json.dumps(render(replace(given_one, weak_points=(point,), risk=risk))))
    assert result["weak_points"][0]["state"]["sound"] == 0.333333
    assert result["weak_points"][0]["expected_cost"] == 12.35
    assert math.copysign(1.0, result["weak_points"][0]["expected_immediate_cost"]) == 1.0
    assert result["risk"]["score"] == 38.23


def test_a_finding_that_settles_the_matter_is_written_as_the_limit() -> None:
    given_one = builders.assessment()
    settled = (Evidence("cold_start_sound", "long", math.inf, -math.inf),)
    point = replace(given_one.weak_points[0], evidence=settled)
    result = json.loads(json.dumps(render(replace(given_one, weak_points=(point,)))))
    entry = result["weak_points"][0]["evidence"][0]
    assert (entry["decibans"], entry["last_in"]) == (DECIBAN_LIMIT, -DECIBAN_LIMIT)
    assert entry["words"] == "speaks very strongly for it"


def test_reasons_are_sentences_and_their_weak_points_stay_named() -> None:
    given_one = builders.assessment()
    decision = replace(given_one.decision, reasons=("chain_tensioner",))
    result = json.loads(json.dumps(render(replace(given_one, decision=decision))))["decision"]
    assert result["reasons"] == [
        "Chain tensioner: worn or failed today in 62 % of such cars, and 47 % of the expected surprise cost."
    ]
    assert result["reason_weak_points"] == ["chain_tensioner"]


def test_prices_that_were_not_computed_are_null() -> None:
    result = json.loads(json.dumps(render(builders.nothing_seen())))
    assert result["decision"]["price_for_findings"] is None
    assert result["decision"]["cautious_price"] is None
    assert result["decision"]["repair_plan"]["cost"] is None


@pytest.mark.parametrize("wrong", [math.nan, math.inf])
def test_a_figure_that_is_no_number_is_refused_with_its_place(wrong: float) -> None:
    given_one = builders.assessment()
    cost = replace(given_one.cost, unplanned=replace(given_one.cost.unplanned, p90=wrong))
    with pytest.raises(ValueError, match=r"cost\.unplanned\.p90"):
        render(replace(given_one, cost=cost))


CHANCE = st.floats(0.0, 1.0)
AMOUNT = st.floats(-1e7, 1e7)
WEIGHT = st.floats(allow_nan=False)
MAYBE = st.none() | AMOUNT
SPREAD = st.builds(Spread, AMOUNT, AMOUNT, AMOUNT, AMOUNT, AMOUNT, AMOUNT, CHANCE, MAYBE)


@st.composite
def assessments(draw: st.DrawFn) -> Assessment:
    """The built one with any finite figures in it, and weights of evidence without bound."""
    given_one = builders.assessment()
    evidence = (Evidence("cold_start_sound", "long", draw(WEIGHT), draw(WEIGHT)),)
    state = StateChances(draw(CHANCE), draw(CHANCE), draw(CHANCE))
    points = tuple(
        replace(item, state=state, expected_cost=draw(AMOUNT), failure_probability=draw(CHANCE), evidence=evidence)
        for item in given_one.weak_points[: draw(st.integers(0, 3))]
    )
    years = tuple(YearCost(float(n), draw(AMOUNT), draw(AMOUNT), draw(AMOUNT), draw(AMOUNT)) for n in range(3))
    cost = replace(given_one.cost, unplanned=draw(SPREAD), planned=draw(SPREAD), immediate=draw(SPREAD), by_year=years)
    decision = replace(given_one.decision, price_for_findings=draw(MAYBE), cautious_price=draw(MAYBE))
    return replace(given_one, weak_points=points, cost=cost, decision=decision, judgement_share=draw(CHANCE))


@given(assessments())
@settings(max_examples=60, deadline=None)
def test_the_result_is_strict_json_whatever_the_figures(assessment: Assessment) -> None:
    text = json.dumps(render(assessment), allow_nan=False)
    assert json.loads(text) == render(assessment)


def test_open_traits_are_told_with_what_says_so() -> None:
    says = (RootEvidence("look_timing_cover", "cast", "cast", 12.3456),)
    values = (TraitValueChance("cast", 0.65, 0.65, 0.9699999), TraitValueChance("polymer", 0.35, 0.35, 0.0300001))
    traits = (TraitChances("timing_cover", values, says, ("another_look",)),)
    given = replace(builders.assessment(), traits=traits, care_says=says)
    told = result_to_json(given, builders.IDENTIFIER, builders.CREATED)
    assert told["traits"] == [
        {
            "trait": "timing_cover",
            "values": [
                {"value": "cast", "probability": 0.97, "before": 0.65, "usual": 0.65},
                {"value": "polymer", "probability": 0.03, "before": 0.35, "usual": 0.35},
            ],
            "says": [
                {
                    "check": "look_timing_cover",
                    "result": "cast",
                    "value": "cast",
                    "decibans": 12.35,
                    "words": "speaks strongly for it",
                }
            ],
            "settled_by": ["another_look"],
        }
    ]
    assert told["care_says"] == [
        {
            "check": "look_timing_cover",
            "result": "cast",
            "value": "cast",
            "decibans": 12.35,
            "words": "speaks strongly for it",
        }
    ]
