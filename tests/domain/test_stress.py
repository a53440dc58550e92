"""Stress in force: undocumented stretches of the oil service, care, tune, the seller's past and the buyer's plans."""

from __future__ import annotations

from dataclasses import replace

import pytest

from riskapi.domain.case import Usage
from riskapi.domain.knowledge import CareShare, Family, PlannedService, ServiceInterval, Stress
from riskapi.domain.stress import EVER, TOLERANCE, Use, oil_interval, oil_service, spans_of, undocumented_stretches
from riskapi.domain.timeline import Reading, Span, build_timeline
from tests.simulator import tiny
from tests.simulator.build import weak_point

PACK = tiny.pack()
INTERVAL = oil_interval(PACK, None)  # an oil service every 15,000 km or year
SHARES = (CareShare(0.3, 0.0), CareShare(0.5, 0.4), CareShare(0.2, 0.9))
CAREFUL, AVERAGE, NEGLECTED = 0, 1, 2
STRETCHED = Stress("stretched_oil_service", "distance", 1.5)
TRIPS = Stress("short_trips", "age", 1.3)
TUNE = Stress("software_tune", "distance", 2.0)


def use(past: tuple[str, ...] = (), planned: tuple[str, ...] = (), gaps: tuple[tuple[float, float], ...] = ()) -> Use:
    return Use(Usage(past, planned), gaps, SHARES, 10.0)


def test_without_services_the_whole_past_is_undocumented() -> None:
    timeline = build_timeline([], 5.0, 75_000.0, 10_000.0, 3.0)
    assert undocumented_stretches([], timeline, INTERVAL) == ((0.0, 5.0),)


def test_services_in_time_leave_no_stretch() -> None:
    timeline = build_timeline([], 4.0, 48_000.0, 10_000.0, 3.0)
    services = [3.0, 1.0, 2.0]
    assert undocumented_stretches(services, timeline, INTERVAL) == ()


def test_a_stretch_counts_by_years_or_by_distance() -> None:
    """Longer than the interval and a tolerance of 30 % (common practice, no source)."""
    timeline = build_timeline([Reading(3.2, 36_000.0, "a reading")], 4.0, 66_000.0, 10_000.0, 3.0)
    services = [1.0, 1.0 + 1.01 * TOLERANCE, 3.2]
    assert undocumented_stretches(services, timeline, INTERVAL) == (
        (1.0, 1.0 + 1.01 * TOLERANCE),
        (3.2, 4.0),  # 30,000 km in 0.8 years
    )


# ---- whose interval ------------------------------------------------------------------------------

CAREFUL_OIL = ServiceInterval(10_000.0, 1.0, "test")
OIL = PlannedService("oil", "Oil service", "oil", 20_000.0, 2.0, "test", CAREFUL_OIL, True)
BELT = PlannedService("belt", "Belt", "belt", 90_000.0, None, "test", ServiceInterval(60_000.0, 6.0, "test"))
FAMILY = PACK.family("tiny")


def test_the_family_says_how_often_careful_practice_changes_the_oil() -> None:
    family = replace(FAMILY, services=(BELT, OIL))
    assert oil_interval(PACK, family) == CAREFUL_OIL
    assert oil_service(family) == OIL


@pytest.mark.parametrize(
    "family",
    [None, FAMILY, replace(FAMILY, services=(BELT,)), replace(FAMILY, services=(replace(OIL, careful=None),))],
    ids=["no family", "no services", "no oil service", "no careful interval"],
)
def test_else_the_pack_says_it(family: Family | None) -> None:
    assert oil_interval(PACK, family) == ServiceInterval(15_000.0, 1.0, PACK.defaults.source)


def test_a_shorter_interval_never_leaves_fewer_stretches() -> None:
    timeline = build_timeline([], 6.0, 84_000.0, 14_000.0, 3.0)  # 14,000 km a year, served every year
    services = [1.0, 2.0, 3.0, 4.0, 5.0]
    assert undocumented_stretches(services, timeline, INTERVAL) == ()
    assert undocumented_stretches(services, timeline, CAREFUL_OIL) == tuple((float(y), float(y + 1)) for y in range(6))


# ---- spans ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(("care", "factor"), [(AVERAGE, 1.2), (NEGLECTED, 1.45)])
def test_care_decides_how_far_undocumented_years_are_stretched(care: int, factor: float) -> None:
    (span,) = spans_of(weak_point(stresses=(STRETCHED,)), use(gaps=((2.0, 5.0),)), care, False)
    assert (span.start, span.end, span.age_factor) == (2.0, 5.0, 1.0)
    assert span.distance_factor == pytest.approx(factor)


def test_a_careful_owner_has_no_stretched_service() -> None:
    assert spans_of(weak_point(stresses=(STRETCHED,)), use(gaps=((2.0, 5.0),)), CAREFUL, False) == ()


def test_stretched_services_that_are_stated_count_in_full_whatever_the_care() -> None:
    stated = use(past=("stretched_oil_service",), gaps=((2.0, 5.0),))
    assert spans_of(weak_point(stresses=(STRETCHED,)), stated, CAREFUL, False) == (Span(2.0, 5.0, 1.5, 1.0),)


def test_the_sellers_past_ends_today_and_the_buyers_use_begins() -> None:
    """The model: after a0, m follows the buyer's stated use."""
    point = weak_point(stresses=(TRIPS,))
    assert spans_of(point, use(past=("short_trips",)), AVERAGE, False) == (Span(0.0, 10.0, 1.0, 1.3),)
    assert spans_of(point, use(planned=("short_trips",)), AVERAGE, False) == (Span(10.0, EVER, 1.0, 1.3),)


def test_a_tune_lasts_for_ever_and_only_where_there_is_one() -> None:
    point = weak_point(stresses=(TUNE,))
    assert spans_of(point, use(), AVERAGE, True) == (Span(0.0, EVER, 2.0, 1.0),)
    assert spans_of(point, use(), AVERAGE, False) == ()
