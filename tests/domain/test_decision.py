"""Advice, price and next checks put together."""

from __future__ import annotations

from dataclasses import replace

import pytest

from riskapi.domain.assessment import Assessment
from riskapi.service import assess
from tests.simulator import tiny, tiny_cases

CASE = tiny_cases.full_case()


def assessed(sound_value: float | None, asking_price: float | None) -> Assessment:
    market = replace(CASE.market, sound_value=sound_value, asking_price=asking_price)
    return assess(replace(CASE, market=market), tiny.pack())


def test_a_price_needs_the_value_of_the_car() -> None:
    decision = assessed(None, 5_000.0).decision
    assert (decision.price_for_findings, decision.cautious_price, decision.items) == (None, None, ())


def test_the_price_does_not_depend_on_what_is_asked() -> None:
    prices = [assessed(9_000.0, asked).decision.price_for_findings for asked in (1_000.0, 8_000.0, None)]
    assert prices[0] == pytest.approx(prices[1])
    assert prices[0] == pytest.approx(prices[2])


def test_the_cautious_price_is_no_higher() -> None:
    decision = assessed(9_000.0, 8_000.0).decision
    assert decision.cautious_price is not None
    assert decision.price_for_findings is not None
    assert decision.cautious_price <= decision.price_for_findings


def test_advice_comes_with_its_reasons() -> None:
    found = assessed(9_000.0, 8_000.0)
    assert found.decision.advice in (
        "do_not_drive",
        "repair_first",
        "look_closer",
        "price_it_in",
        "nothing_stands_out",
    )
    assert set(found.decision.reasons) <= {point.id for point in found.weak_points}


def test_next_checks_are_none_of_those_done() -> None:
    plain = assess(replace(tiny_cases.plain_case(), findings=(tiny_cases.found("listen", "r0"),)), tiny.pack())
    listed = {row.check for row in plain.decision.next_checks}
    assert "listen" not in listed
    assert listed
