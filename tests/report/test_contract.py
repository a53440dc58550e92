"""The section about a repair contract."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

from riskapi.domain.assessment import Bounds, ContractFigures
from riskapi.report.content import build_report
from riskapi.report.contract import contract_json
from riskapi.report.plain import plain_text
from tests.report import builders

FOUND = ContractFigures(
    price=600.0,
    years=2.0,
    waiting=0.0,
    covered=("chain_tensioner",),
    existing_faults=False,
    excess=150.0,
    limit_per_claim=None,
    limit_total=2_000.0,
    covered_repairs=0.4,
    expected_payout=310.0,
    expected_repairs=900.0,
    exceeds_without=0.3,
    exceeds_with=Bounds(0.2, 0.24),
    exceeds_with_price=Bounds(0.35, 0.35),
)


def told(found: ContractFigures | None, seller: str | None = "private") -> str:
    assessment = replace(builders.assessment(), contract=found)
    case = replace(builders.case(), seller=seller)
    now = datetime(2026, 11, 3, tzinfo=UTC)
    report = build_report(assessment, case, builders.pack(), assessment_id="x" * 16, created_at=now)
    return " ".join(plain_text(report, ["contract"]).split())


def test_figures_stand_with_and_without_it() -> None:
    text = told(FOUND)
    for words in (
        "about 30",
        "between about 20 and about 24",
        "about 35",
        "excess of 150 EUR",
        "at most 2,000 EUR in all",
    ):
        assert words in text


def test_without_one_there_is_no_section() -> None:
    assert "contract" not in told(None).lower()


def test_rights_against_a_trade_seller_are_mentioned_and_not_priced() -> None:
    assert "by law" in told(FOUND, "trade")
    assert "by law" not in told(FOUND)
    assert "by law" not in told(FOUND, None)


def test_it_neither_advises_nor_ranks() -> None:
    text = told(FOUND, "trade").lower()
    assert not [word for word in ("worth it", "recommend", "should buy", "good value", "guarantee") if word in text]


def test_a_waiting_period_is_told() -> None:
    assert "Waiting period from the purchase on: 2.5 months," in told(replace(FOUND, waiting=2.5 / 12.0))
    assert "Waiting period from the purchase on: 1 month," in told(replace(FOUND, waiting=1.0 / 12.0))
    assert "Waiting period" not in told(FOUND)


def test_as_json() -> None:
    told = contract_json(FOUND)
    assert told["exceeds_with"] == [0.2, 0.24]
    assert told["expected_left"] == 590.0
    assert told["limit_per_claim"] is None
    assert contract_json(replace(FOUND, waiting=0.25))["waiting"] == 0.25
