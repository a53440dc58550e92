"""From the masses of the last renewal to the states of today, on one lane whose part was never renewed."""

from __future__ import annotations

from dataclasses import replace
from math import exp

import numpy as np
import pytest

from riskapi.domain.future import future_edges
from riskapi.domain.knowledge import PlannedInterval
from riskapi.domain.lane import ToldRenewal
from riskapi.domain.renewal import past
from riskapi.domain.renewal_grid import make_grid
from riskapi.domain.states_today import Past, told_leaves
from tests.domain.builders import NO_DOUBT, lane, mode, part

EDGES = future_edges(8.0, 3.0)
ONE = lane(8.0, never_renewed=True)


def survival(km: float, years: float) -> float:
    return exp(-((km / 160_000.0) ** 2.5) - (years / 14.0) ** 3.0)


def found() -> Past:
    return past([ONE], NO_DOUBT, EDGES)


def test_sound_means_that_neither_clock_runs_out_within_its_interval() -> None:
    """The model: sound S(y0 + pf_y, a0 + pf_t), degraded the difference to not failed."""
    sound, degraded, _ = found().state[0, 0]
    assert sound == pytest.approx(survival(129_000.0, 8.8), rel=1e-9)
    assert degraded == pytest.approx(survival(120_000.0, 8.0) - survival(129_000.0, 8.8), rel=1e-9)


def test_first_failures_are_differences_of_the_survival_jointly_with_the_state() -> None:
    """The model: P(sound, T > t) = S(max(y0 + pf_y, y(t)), max(a0 + pf_t, t)), at 12,000 km a year."""
    km, years = 120_000.0 + 12_000.0 * np.arange(7) / 2.0, 8.0 + np.arange(7) / 2.0
    everything = np.array([survival(*point) for point in zip(km, years, strict=True)])
    sound = np.array([survival(max(x, 129_000.0), max(t, 8.8)) for x, t in zip(km, years, strict=True)])
    fails = found().fails[0, 0]
    assert fails[0] == pytest.approx(-np.diff(sound), abs=1e-12)
    assert fails.sum(axis=0) == pytest.approx(-np.diff(everything), abs=1e-12)


def test_nobody_fails_and_is_renewed_as_planned_as_well() -> None:
    """Failures before the planned date are unplanned, the renewal is planned, nothing counts as both."""
    planned = PlannedInterval(None, 9.5, (1.0, 1.0, 1.0), "renew")
    one = replace(ONE, parts=(part(mode((2.5, 160_000.0), (3.0, 14.0)), planned=planned),))
    today = past([one], NO_DOUBT, EDGES)
    ends = today.fails[0, 0].sum(axis=1) + today.planned[0, 0].sum(axis=1)
    assert ends == pytest.approx(today.state[0, 0, :2], abs=1e-12)  # by the planned date all have come to an end
    assert today.planned[0, 0].sum(axis=0)[[0, 1, 2, 4, 5, 6]] == pytest.approx(0.0)


def test_a_told_renewal_takes_away_what_was_fitted_before_it() -> None:
    grid = make_grid([lane(told=ToldRenewal(6.0, 0.4, 0)), lane()], NO_DOUBT, future_edges(10.0, 3.0), 8)
    fitted = np.array([[5.0, 7.0], [5.0, 7.0]])
    assert told_leaves(grid, fitted, np.full((2, 1), 10.0)) == pytest.approx(np.array([[0.6, 1.0], [1.0, 1.0]]))
    assert told_leaves(grid, fitted, np.full((2, 1), 5.5)) == pytest.approx(1.0)
