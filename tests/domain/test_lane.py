"""What is on sale when."""

from __future__ import annotations

import pytest

from riskapi.domain.lane import on_sale
from tests.domain.builders import lane

SUPPLIES = ((2.0, 0), (5.0, 1), (9.0, 2))


@pytest.mark.parametrize(("t", "part"), [(0.0, 0), (2.0, 0), (4.99, 0), (5.0, 1), (8.0, 1), (50.0, 2)])
def test_the_latest_supply_counts_and_before_the_first_that_first_one(t: float, part: int) -> None:
    assert on_sale(SUPPLIES, t) == part
    assert lane(supplies=SUPPLIES).part_at(t) == part
