"""When services fall due, and what bringing one forward gains."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riskapi.domain.knowledge import PlannedService
from riskapi.domain.service_dates import due_service, gain_of_now
from riskapi.domain.timeline import build_timeline

TIMELINE = build_timeline([], 9.9, 148_000.0, 14_000.0, 3.0)


def service(km: float | None, years: float | None) -> PlannedService:
    return PlannedService("oil", "Oil service", "oil", km, years, "test")


def test_by_hand() -> None:
    """Every year from new: at 10, 11 and 12 years, so 0.1, 1.1 and 2.1 from now; after one today at 1, 2 and 3."""
    due = due_service(service(None, 1.0), TIMELINE)
    assert due.usual == pytest.approx((0.1, 1.1, 2.1))
    assert due.renewed == pytest.approx((1.0, 2.0, 3.0))
    discount = 1.02
    saved = sum(discount**-t for t in (0.1, 1.1, 2.1)) - sum(discount**-t for t in (1.0, 2.0, 3.0))
    assert gain_of_now(due, 150.0, 0.02) == pytest.approx(150.0 * saved)


def test_by_distance() -> None:
    """Every 20,000 km: at 160,000 and 180,000 km, so 12,000 and 32,000 from now; after one today 20,000 and 40,000."""
    due = due_service(service(20_000.0, None), TIMELINE)
    assert due.usual == pytest.approx((12 / 14, 32 / 14))
    assert due.renewed == pytest.approx((20 / 14, 40 / 14))


def test_after_one_today_whichever_clock_comes_first() -> None:
    assert due_service(service(28_000.0, 1.5), TIMELINE).renewed == pytest.approx((1.5, 3.0))
    assert due_service(service(14_000.0, 1.5), TIMELINE).renewed == pytest.approx((1.0, 2.0, 3.0))


def test_without_an_interval_nothing_falls_due() -> None:
    due = due_service(service(None, None), TIMELINE)
    assert (due.usual, due.renewed) == ((), ())


@given(st.floats(2_000.0, 90_000.0), st.floats(0.3, 9.0), st.floats(0.5, 25.0), st.floats(1.0, 8.0))
def test_bringing_forward_gains_no_more_than_one_service_where_one_clock_runs(
    km: float, years: float, now: float, term: float
) -> None:
    """Law: a service today stands in for the next one and puts all others off by less than an interval; undiscounted
    that is one service at most, and never a loss."""
    timeline = build_timeline([], now, 12_000.0 * now, 12_000.0, term)
    for one in (service(km, None), service(None, years)):
        assert -1e-9 <= gain_of_now(due_service(one, timeline), 1.0, 0.0) <= 1.0 + 1e-9
