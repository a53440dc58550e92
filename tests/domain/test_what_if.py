"""The law of a what-if: every figure is the one that an assessment of the changed case gives."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from riskapi.domain.case import Case
from riskapi.domain.knowledge import Pack
from riskapi.domain.what_if import Base, Changes, Figures, base_of, what_if
from riskapi.intake import case_from_json
from riskapi.service import assess
from tests.simulator import tiny, tiny_cases

SAMPLES = Path(__file__).resolve().parents[2] / "sample_requests"
SPREAD = ("mean", "discounted_mean", "p10", "p50", "p80", "p90", "p_zero", "typical_if_any")
CHANGES = {
    "nothing": Changes(),
    "budget": Changes(repair_budget=3_333.0),
    "prices": Changes(labour_rate=131.0, parts_index=1.4, tax=0.07),
    "values": Changes(asking_price=4_000.0, sound_value=6_100.0),
    "longer": Changes(years=4.5),
    "short": Changes(years=0.75),
    "standing": Changes(annual_distance_km=0.0),
    "farther": Changes(annual_distance_km=41_000.0),
    "all": Changes(5.0, 9_000.0, 900.0, 70.0, 1.3, 0.1, 4_000.0, 6_100.0),
}


def assert_same(base: Base, changes: Changes) -> None:
    found, answer = what_if(base, changes), assess(changes.applied(base.case), base.pack)
    cost, decision = answer.cost, answer.decision
    close(found.score, answer.risk.score)
    close(found.repair_budget, answer.risk.repair_budget)
    for name in SPREAD:
        close(getattr(found.unplanned, name), getattr(cost.unplanned, name))
    close(found.planned_mean, cost.planned.mean)
    for one, other in zip(found.by_year, cost.by_year, strict=True):
        for name in ("year", "mean", "p10", "p50", "p90"):
            close(getattr(one, name), getattr(other, name))
    close(found.price_for_findings, decision.price_for_findings)
    close(found.cautious_price, decision.cautious_price)
    assert (found.advice, found.reasons) == (decision.advice, decision.reasons)


def close(one: float | None, other: float | None) -> None:
    assert one == (None if other is None else pytest.approx(other, rel=1e-9, abs=1e-9))


CASES = {"full": tiny_cases.full_case, "plain": tiny_cases.plain_case, "failed": tiny_cases.failed_case}


@cache
def tiny_base(name: str) -> Base:
    return base_of(CASES[name](), tiny.pack())


@pytest.mark.parametrize("changes", CHANGES.values(), ids=CHANGES)
@pytest.mark.parametrize("name", CASES)
def test_it_is_the_assessment_of_the_changed_case(name: str, changes: Changes) -> None:
    assert_same(tiny_base(name), changes)


def maybe(low: float, high: float) -> st.SearchStrategy[float | None]:
    return st.none() | st.floats(low, high)


@settings(max_examples=20, deadline=None)
@given(
    st.builds(
        Changes,
        years=maybe(0.25, 9.0),
        annual_distance_km=maybe(0.0, 60_000.0),
        repair_budget=maybe(1.0, 20_000.0),
        labour_rate=maybe(20.0, 300.0),
        parts_index=maybe(0.2, 5.0),
        tax=maybe(0.0, 0.3),
        asking_price=maybe(0.0, 30_000.0),
        sound_value=maybe(0.0, 30_000.0),
    ),
    st.sampled_from(sorted(CASES)),
)
def test_it_is_the_assessment_of_any_changed_case(changes: Changes, name: str) -> None:
    assert_same(tiny_base(name), changes)


@pytest.mark.parametrize("sample", ["clean_late", "measured_compression", "swollen_belt"])
def test_on_shipped_cases(shipped: Pack, sample: str) -> None:
    """A car of 65 weak points, one with a past look, one whose owners keep a planned interval."""
    body: dict[str, Any] = json.loads((SAMPLES / f"{sample}.json").read_text(encoding="utf-8"))
    base = base_of(case_from_json(body, shipped), shipped)
    assert_same(base, CHANGES["all"])


def test_from_a_car_that_would_stand() -> None:
    """Nothing is known of the stress on kilometres to come, so everything is computed anew."""
    case = Changes(annual_distance_km=0.0).applied(tiny_cases.full_case())
    assert_same(base_of(case, tiny.pack()), Changes(annual_distance_km=12_000.0, sound_value=9_000.0))


def figures(case: Case, changes: Changes) -> Figures:
    return what_if(base_of(case, tiny.pack()), changes)


def test_the_net_benefit_needs_both_prices() -> None:
    case = tiny_cases.full_case()
    assert figures(case, Changes()).net_benefit is None
    found = figures(case, Changes(asking_price=5_000.0))
    assert found.price_for_findings is not None
    assert found.net_benefit == pytest.approx(found.price_for_findings - 5_000.0)


def test_more_use_never_costs_less() -> None:
    base = tiny_base("full")
    means = [what_if(base, Changes(annual_distance_km=km)).unplanned.mean for km in (0.0, 8_000.0, 20_000.0, 60_000.0)]
    assert means == sorted(means)
