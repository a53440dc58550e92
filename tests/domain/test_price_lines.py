"""The price that matches the findings, and its lines."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from riskapi.domain.assessment import PriceLine, Spread
from riskapi.domain.means import Means
from riskapi.domain.price_lines import OWN_SHARE, Points, Prices, itemised, prices_of
from riskapi.domain.reference_car import ReferenceCost
from riskapi.service import assess
from tests.simulator import tiny, tiny_cases

REFERENCE = ReferenceCost(900.0, 850.0, 400.0, 390.0, (("point", 850.0, 390.0),))
POINTS = Points(("point",), ("Point",), np.array([0.3]))


def means(immediate: float, later: float, planned: float = 390.0) -> Means:
    at_once, total = np.array([immediate]), np.array([immediate + later])
    return Means(total, at_once, total, np.array([planned]), np.array([planned]), np.ones(1))


def prices(found: Means, p80: float, saving: float = 0.0, points: Points = POINTS) -> Prices:
    both = prices_of(6_000.0, 400.0, found, spread(p80), REFERENCE, saving)
    return itemised(6_000.0, both, found, REFERENCE, saving, points)


def spread(p80: float) -> Spread:
    return Spread(0.0, 0.0, 0.0, 0.0, p80, 0.0, 0.0)


def test_a_car_like_the_reference_is_worth_its_value() -> None:
    found = prices(means(0.0, 850.0), 900.0)
    assert (found.for_findings, found.cautious) == (pytest.approx(6_000.0), pytest.approx(6_000.0))
    assert found.items == (PriceLine("Value of this car as usually sold", 6_000.0, "usual_price"),)


def test_the_price_is_uncapped() -> None:
    """With a cap information would harm: a clean inspected car is worth more than an unseen one."""
    assert prices(means(0.0, 300.0), 0.0).for_findings > 6_000.0


def test_the_price_falls_by_the_cost_beyond_the_references() -> None:
    found = prices(means(500.0, 1_000.0, 450.0), 2_000.0, 40.0)
    assert found.for_findings == pytest.approx(6_000.0 - (1_500.0 - 850.0) - (450.0 - 390.0) + 40.0)
    assert found.cautious == pytest.approx(6_000.0 - (2_000.0 - 900.0))


def test_nobody_sells_for_less_than_scrap() -> None:
    found = prices(means(50_000.0, 0.0), 60_000.0)
    assert (found.for_findings, found.cautious) == (400.0, 400.0)
    assert sum(line.amount for line in found.items) == pytest.approx(400.0)


def test_what_is_needed_now_has_its_chance() -> None:
    [line] = [line for line in prices(means(500.0, 850.0), 900.0).items if line.part == "needed_now"]
    assert line == PriceLine("Point: repair needed now", -500.0, "needed_now", "point", 0.3)


def test_the_room_is_what_a_total_at_the_p80_adds() -> None:
    points = replace(POINTS, at_p80=np.array([2_000.0]))
    room = [line for line in prices(means(500.0, 1_000.0), 2_000.0, points=points).items if line.part == "bad_run"]
    assert (room[0].weak_point, room[0].amount) == ("point", pytest.approx(-500.0))


def test_small_amounts_share_a_line() -> None:
    small = 0.9 * OWN_SHARE * 6_000.0
    found = prices(means(small, 850.0), 900.0)
    assert PriceLine("All repairs needed now", -small, "needed_now") in found.items


amounts = st.floats(0.0, 20_000.0)


@given(
    immediate=st.lists(amounts, min_size=1, max_size=20),
    later=st.lists(amounts, min_size=20, max_size=20),
    usual=st.lists(amounts, min_size=20, max_size=20),
    at_p80=st.lists(amounts, min_size=20, max_size=20),
    sound_value=st.floats(500.0, 50_000.0),
    saving=st.floats(0.0, 500.0),
    p80=amounts,
)
def test_the_lines_add_up_to_the_cautious_price(
    immediate: list[float],
    later: list[float],
    usual: list[float],
    at_p80: list[float],
    sound_value: float,
    saving: float,
    p80: float,
) -> None:
    n = len(immediate)
    at_once, rest, ref = np.array(immediate), np.array(later[:n]), np.array(usual[:n])
    found = Means(at_once + rest, at_once, at_once + 0.9 * rest, ref / 3, ref / 4, np.ones(n))
    ids = tuple(f"p{w}" for w in range(n))
    each = (*((ids[w], float(ref[w]), float(rest[w])) for w in range(n)), ("other", 12.0, 5.0))
    reference = ReferenceCost(1.0, float(ref.sum()) + 12.0, 1.0, float(rest.sum()) + 5.0, each)
    points = Points(
        tuple(f"p{w}" for w in range(n)), tuple(f"P{w}" for w in range(n)), np.zeros(n), np.array(at_p80[:n])
    )
    both = prices_of(sound_value, 400.0, found, spread(p80), reference, saving)
    told = itemised(sound_value, both, found, reference, saving, points)
    assert told.cautious <= told.for_findings
    assert sum(line.amount for line in told.items) == pytest.approx(told.cautious, abs=1e-6)


@pytest.mark.parametrize("sound_value", [600.0, 3_000.0, 9_000.0, 40_000.0])
def test_whole_cars_are_itemised(sound_value: float) -> None:
    case = tiny_cases.full_case()
    decision = assess(replace(case, market=replace(case.market, sound_value=sound_value)), tiny.pack()).decision
    assert decision.price_for_findings is not None
    assert decision.cautious_price is not None
    assert decision.cautious_price <= decision.price_for_findings
    assert sum(line.amount for line in decision.items) == pytest.approx(decision.cautious_price, abs=1e-8)
    assert {line.part for line in decision.items} >= {"usual_price", "needed_now"}
