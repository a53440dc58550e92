"""Planned renewals: at a distance or an age, whichever comes first, one after the other."""

from __future__ import annotations

import numpy as np
import pytest

from riskapi.domain.knowledge import PlannedInterval
from riskapi.domain.lane import Lane
from riskapi.domain.planned_dates import fitted_until, planned_chain, planned_date
from tests.domain.builders import lane, mode, part

WEAR = mode((4.0, 200_000.0))
FITTED = np.linspace(0.0, 9.0, 10)


def with_interval(km: float | None, years: float | None, **more: float) -> Lane:
    interval = PlannedInterval(km, years, (1.0, 1.0, 1.0), "renew")
    return lane(10.0, 15_000.0, annual=15_000.0, parts=(part(WEAR, planned=interval),), **{"kept": 1.0, **more})


@pytest.mark.parametrize(
    ("km", "years", "interval"),
    [(60_000.0, None, 4.0), (None, 3.0, 3.0), (60_000.0, 3.0, 3.0), (30_000.0, 3.0, 2.0)],
)
def test_whichever_comes_first(km: float | None, years: float | None, interval: float) -> None:
    one = with_interval(km, years)
    due = planned_date(one, FITTED, np.zeros(10, dtype=int))
    assert due == pytest.approx(FITTED + interval)


def test_without_an_interval_nothing_falls_due() -> None:
    assert np.isinf(planned_date(lane(), FITTED, np.zeros(10, dtype=int))).all()


def test_each_part_has_its_own_interval() -> None:
    short, none = part(WEAR, planned=PlannedInterval(None, 2.0, (1, 1, 1), "renew")), part(WEAR)
    due = planned_date(lane(parts=(short, none)), np.array([1.0, 1.0]), np.array([0, 1]))
    assert due.tolist() == [3.0, np.inf]


def test_the_chain_runs_up_to_today() -> None:
    assert planned_chain(with_interval(None, 3.0), 0.5, 0) == [(0.5, 0), (3.5, 0), (6.5, 0), (9.5, 0)]


def test_without_kept_intervals_there_is_no_chain() -> None:
    assert planned_chain(with_interval(None, 3.0, kept=0.0), 0.5, 0) == [(0.5, 0)]


@pytest.mark.parametrize(("km", "years"), [(60_000.0, None), (None, 3.0), (60_000.0, 3.0)])
def test_fitted_until_turns_planned_date_round(km: float | None, years: float | None) -> None:
    one = with_interval(km, years)
    fitted = FITTED[1:]
    due = planned_date(one, fitted, np.zeros(9, dtype=int))
    interval = one.parts[0].planned
    assert interval is not None
    assert (due < one.timeline.t[-1]).all()
    assert fitted_until(one, interval, due) == pytest.approx(fitted)


def test_before_the_first_interval_is_over_nothing_has_fallen_due() -> None:
    one = with_interval(60_000.0, None)
    interval = one.parts[0].planned
    assert interval is not None
    assert fitted_until(one, interval, np.array([3.9])).tolist() == [-np.inf]
