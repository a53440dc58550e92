"""When to look again at what is left."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from riskapi.domain.knowledge import DEGRADED, FAULTY, Pack
from riskapi.domain.plan_records import WatchItem
from riskapi.domain.watch import FREQUENT, MISSED, best_looks, first_look, warning_years, what_is_left
from tests.domain.test_repair_plan import NAMES, Bought, bought, pack


def left(car: Bought, put_right: tuple[str, ...] = (), looked: tuple[str, ...] = ()) -> tuple[WatchItem, ...]:
    return what_is_left(pack(), car.found.case, car.worth, put_right, looked).watch


def test_by_hand() -> None:
    """10 in 100 fail in the third year and none before: 2 in 100 have failed after 2.2 years, half of a P-F interval
    of 0.6 years before that is at 1.9 years."""
    assert first_look((1.0, 2.0, 3.0), np.array([0.0, 0.0, 0.1]), 0.0, 0.6) == pytest.approx(1.9)


def test_what_is_degraded_today_fails_within_the_interval() -> None:
    """4 in 100 are degraded and fail within 0.5 years, 2 in 100 by 0.25 years at an even pace: the look is due now."""
    assert first_look((1.0, 3.0), np.array([0.05, 0.06]), 0.04, 0.5) == pytest.approx(0.0)
    assert first_look((1.0, 3.0), np.array([0.022, 0.06]), 0.021, 0.5) == pytest.approx(0.5 * 0.02 / 0.021 - 0.25)


def test_where_too_few_fail_it_is_the_end_of_the_term() -> None:
    assert first_look((1.0, 3.0), np.array([0.001, 0.01]), 0.0, 0.5) == 3.0


@given(
    st.lists(st.floats(0.0, 0.3), min_size=3, max_size=3),
    st.floats(0.0, 0.5),
    st.floats(0.02, 4.0),
)
def test_no_more_than_the_share_has_failed_half_an_interval_after_the_first_look(
    steps: list[float], degraded: float, warning: float
) -> None:
    """Law of the rule, on the curve it is stated for."""
    fails_by = np.minimum(np.cumsum(steps), 1.0)
    first = first_look((1.0, 2.0, 3.0), fails_by, min(degraded, float(fails_by[-1])), warning)
    assert 0.0 <= first <= 3.0
    if 0.0 < first < 3.0 - 0.5 * warning:
        failed = float(np.interp(first + 0.5 * warning, [0.0, 1.0, 2.0, 3.0], [0.0, *fails_by]))
        assert failed <= MISSED + 1e-9


@given(st.floats(0.0, 1.0))
def test_the_likelier_the_failure_the_earlier_the_look(more: float) -> None:
    curve = np.array([0.02, 0.05, 0.09])
    assert first_look((1.0, 2.0, 3.0), np.minimum(curve * (1.0 + more), 1.0), 0.0, 0.5) <= first_look(
        (1.0, 2.0, 3.0), curve, 0.0, 0.5
    )


def test_the_warning_is_the_shorter_of_distance_and_time(shipped: Pack) -> None:
    pump = shipped.weak_point("coolant_pump")  # 8,000 km or 0.6 years
    assert warning_years(pump, 20_000.0) == pytest.approx(0.4)
    assert warning_years(pump, 5_000.0) == pytest.approx(0.6)
    assert warning_years(pump, 0.0) == pytest.approx(0.6)


@pytest.mark.parametrize("name", NAMES)
def test_the_lists_of_the_samples(name: str) -> None:
    car = bought(name)
    case, worth = car.found.case, car.worth
    points = {wp.id: (w, wp) for w, wp in enumerate(worth.basis.outlook.lanes.weak_points)}
    items = left(car)
    assert [item.on for item in items] == sorted(item.on for item in items)
    end = case.as_of + timedelta(days=366 * car.terms.years)
    for item in items:
        w, wp = points[item.weak_point]
        assert wp.warning != "none"
        assert item.chance == pytest.approx(worth.fails_by[w, -1])
        assert item.chance >= (FREQUENT if wp.hazard == "none" else MISSED)
        assert case.as_of <= item.on <= end
        years = (item.on - case.as_of).days / 365.25
        assert item.odometer_km == pytest.approx(case.vehicle.odometer_km + years * car.terms.annual, abs=100.0)
        assert item.every_km == pytest.approx(0.5 * min(wp.pf_km, wp.pf_years * car.terms.annual))
        assert item.every_months <= 6.0 * wp.pf_years or item.every_months == 1


def test_what_is_put_right_is_not_watched_and_what_was_looked_at_comes_later() -> None:
    car = bought("noisy_early")
    items = {item.weak_point: item for item in left(car)}
    name, first = next((k, v) for k, v in items.items() if v.on == car.found.case.as_of)
    assert name not in {item.weak_point for item in left(car, (name,))}
    later = next(item for item in left(car, (), (first.check,)) if item.weak_point == name)
    half = first.every_km / car.terms.annual
    assert later.on == car.found.case.as_of + timedelta(days=round(half * 365.25))


def test_what_no_look_shows_in_time_is_named_apart() -> None:
    car = bought("noisy_early")
    apart = what_is_left(pack(), car.found.case, car.worth, (), ())
    assert "ignition_coils" in apart.unseen
    assert not set(apart.unseen) & {item.weak_point for item in apart.watch}


def test_a_look_shows_wear_before_failure_and_needs_no_workshop_where_one_does(shipped: Pack) -> None:
    """A coolant pump weeps before it fails, and that is seen from above: common practice, no source."""
    car = bought("noisy_early")
    lanes = car.worth.basis.outlook.lanes
    names = tuple(wp.id for wp in lanes.weak_points)
    looks = dict(zip(names, best_looks(shipped, names, lanes.candidates[0].traits), strict=True))
    assert looks["coolant_pump"] == "look_coolant_pump"
    assert shipped.check(looks["coolant_pump"]).equipment != "workshop"


def test_after_the_purchase_nobody_is_asked_what_the_owner_can_see(shipped: Pack) -> None:
    """Coolant that goes missing can be asked for, or looked for; the seller is gone by then."""
    lanes = bought("noisy_early").worth.basis.outlook.lanes
    names = tuple(wp.id for wp in lanes.weak_points)
    looks = dict(zip(names, best_looks(shipped, names, lanes.candidates[0].traits), strict=True))
    asked = {name for name, look in looks.items() if look and shipped.check(look).told_by != "self"}
    assert asked <= {"ring_sticking"}  # oil use per distance is known to whoever drives it, and to nobody else


def test_states_move_the_list() -> None:
    """A part more likely degraded is looked at no later."""
    car = bought("plain_and_clean")
    worth = car.worth
    item = left(car)[0]
    w = [wp.id for wp in worth.basis.outlook.lanes.weak_points].index(item.weak_point)
    state = worth.basis.posterior.state.copy()
    moved = 0.5 * state[w, 0]
    state[w, 0] -= moved
    state[w, DEGRADED] += moved
    basis = replace(worth.basis, posterior=replace(worth.basis.posterior, state=state))
    other = replace(car, worth=replace(worth, basis=basis))
    changed = next(i for i in left(other) if i.weak_point == item.weak_point)
    assert changed.on <= item.on
    assert state[w, FAULTY].sum() == pytest.approx(worth.basis.posterior.state[w, FAULTY].sum())
