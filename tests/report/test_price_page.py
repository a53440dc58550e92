"""How the price comes about: down to what the findings support, then down to the cautious price, each adding up."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from riskapi.domain.assessment import PriceLine
from riskapi.domain.plan_records import RepairPlan
from riskapi.report.content import build_report
from riskapi.report.sections import Amount, Table
from tests.report import builders, plan_builders
from tests.report.test_content import report, section, text
from tests.report.test_samples import SAMPLES, assessed


def whole(words: object) -> int:
    return int(str(words).split()[0].replace(",", "").replace("+", "").replace("\u2212", "-"))


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_the_lines_add_up_to_both_prices_of_the_first_page(path: Path) -> None:
    assessment, case, pack = assessed(path)
    if not assessment.decision.items:
        pytest.skip("no price")
    at = {"assessment_id": builders.IDENTIFIER, "created_at": builders.CREATED}
    told = build_report(assessment, case, pack, **at)  # type: ignore[arg-type]
    table = next(block for block in section(told, "price_items").blocks if isinstance(block, Table))
    amount = next(block for block in section(told, "price").blocks if isinstance(block, Amount))
    assert table.subtotal is not None
    amounts = [whole(row[1]) for row in table.rows]
    assert sum(amounts[: table.subtotal]) == amounts[table.subtotal] == whole(amount.amount)
    assert (
        sum(amounts[table.subtotal : -1])
        == amounts[-1]
        == whole(dict(amount.rows)["Cautious price, with room for a bad run"])
    )


def test_without_room_for_a_bad_run_there_is_one_sum() -> None:
    given = builders.assessment()
    lines = (
        PriceLine("Value", 7000.4, "usual_price"),
        PriceLine("Chain", -430.4, "needed_now", "chain_tensioner", 0.5),
    )
    told = section(report(replace(given, decision=replace(given.decision, items=lines))), "price_items").blocks[1]
    assert isinstance(told, Table)
    assert (told.subtotal, told.rows[-1]) == (None, ("What the findings support", "6,570 EUR"))


def dangerous_plan(saving: float) -> RepairPlan:
    return replace(plan_builders.PLAN, saving=saving)


def test_a_price_says_that_it_leaves_what_endangers_people() -> None:
    given = plan_builders.bought(dangerous_plan(-860.0))
    danger = replace(given, decision=replace(given.decision, hazards=("turbo_oil_feed",)))
    assert "what endangers people costs about 860 EUR more over 3 years" in text(section(report(danger), "price"))
    assert "endangers" not in text(section(report(given), "price"))
    saves = plan_builders.bought(dangerous_plan(240.0))
    saves = replace(saves, decision=replace(saves.decision, hazards=("turbo_oil_feed",)))
    assert "endangers" not in text(section(report(saves), "price"))
