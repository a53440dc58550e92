"""Two clocks: the odometer through the readings, and distance and age weighed with the stress in force."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from riskapi.domain.timeline import Reading, Span, build_timeline, effective_clocks, years_between


def test_years_are_of_365_25_days() -> None:
    assert years_between(date(2020, 3, 1), date(2024, 3, 1)) == pytest.approx(4.0, abs=1e-12)


def test_the_path_goes_through_every_reading_and_on_at_the_buyers_rate() -> None:
    timeline = build_timeline([Reading(4.0, 80_000.0, "a"), Reading(2.0, 50_000.0, "b")], 6.0, 100_000.0, 9_000.0, 3.0)
    assert timeline.odometer(np.array([0.0, 2.0, 4.0, 6.0, 8.0])).tolist() == [0, 50_000, 80_000, 100_000, 118_000]
    assert (timeline.now, timeline.horizon, timeline.facts) == (6.0, 9.0, ())


def test_time_at_is_the_inverse_of_the_odometer() -> None:
    timeline = build_timeline([Reading(2.0, 50_000.0, "a")], 6.0, 100_000.0, 9_000.0, 3.0)
    t = np.linspace(0.1, 8.9, 23)
    assert timeline.time_at(timeline.odometer(t)) == pytest.approx(t, abs=1e-9)
    assert timeline.time_at(1e9) == np.inf


def test_time_at_takes_the_first_time_while_the_car_stands() -> None:
    timeline = build_timeline([Reading(2.0, 50_000.0, "a"), Reading(4.0, 50_000.0, "b")], 6.0, 90_000.0, 9_000.0, 3.0)
    assert timeline.time_at(50_000.0) == pytest.approx(2.0)


def test_a_falling_reading_takes_the_cautious_path_and_is_told_as_a_fact() -> None:
    """The model: scored on the cautious path, reported as a fact, never as an accusation."""
    timeline = build_timeline([Reading(2.0, 60_000.0, "2021"), Reading(3.0, 40_000.0, "2022")], 5.0, 70_000.0, 0.0, 1.0)
    assert timeline.odometer(np.array([2.0, 3.0, 5.0])).tolist() == [60_000, 60_000, 90_000]
    assert (np.diff(timeline.x) >= 0.0).all()
    (fact,) = timeline.facts
    assert "2021 (60,000 km)" in fact
    assert "2022 (40,000 km) disagree; ask" in fact


def test_a_rate_that_no_car_drives_is_told_as_a_fact() -> None:
    timeline = build_timeline(
        [Reading(1.0, 10_000.0, "first"), Reading(1.5, 160_000.0, "second")], 3.0, 170_000.0, 0, 1
    )
    (fact,) = timeline.facts
    assert "Between first and second the readings rise faster" in fact


def test_of_two_readings_on_one_day_the_longer_counts() -> None:
    timeline = build_timeline([Reading(2.0, 50_000.0, "a"), Reading(2.0, 52_000.0, "b")], 4.0, 80_000.0, 0.0, 1.0)
    assert timeline.odometer(2.0) == pytest.approx(52_000.0)
    assert timeline.facts == ()


def test_without_stress_the_effective_clocks_are_the_plain_ones() -> None:
    timeline = build_timeline([Reading(2.0, 50_000.0, "a")], 6.0, 100_000.0, 9_000.0, 3.0)
    t = np.linspace(0.0, 9.0, 19)
    y, z = effective_clocks(timeline, ()).at(t)
    assert y == pytest.approx(timeline.odometer(t))
    assert z == pytest.approx(t)


def test_effective_clocks_are_integrals_of_the_product_of_the_factors() -> None:
    """y = integral of m dx, z = integral of m dt, computed by a fine sum over a path with two overlapping spans."""
    timeline = build_timeline([Reading(2.0, 60_000.0, "a")], 6.0, 100_000.0, 9_000.0, 3.0)
    spans = (Span(1.0, 4.0, 1.5, 1.0), Span(3.0, 99.0, 1.2, 1.3))
    clocks = effective_clocks(timeline, spans)
    edges = np.linspace(0.0, 9.0, 90_001)
    middle = 0.5 * (edges[1:] + edges[:-1])
    m_distance = np.where((middle >= 1.0) & (middle < 4.0), 1.5, 1.0) * np.where(middle >= 3.0, 1.2, 1.0)
    m_age = np.where(middle >= 3.0, 1.3, 1.0)
    y, z = clocks.at(9.0)
    assert float(y) == pytest.approx(float(m_distance @ np.diff(timeline.odometer(edges))), rel=1e-9)
    assert float(z) == pytest.approx(float(m_age @ np.diff(edges)), rel=1e-9)
    assert clocks.at(-1.0) == (0.0, 0.0)


def test_kinks_are_the_inner_knots_of_the_past() -> None:
    timeline = build_timeline([Reading(2.0, 50_000.0, "a")], 6.0, 100_000.0, 9_000.0, 3.0)
    assert timeline.kinks() == (2.0,)
