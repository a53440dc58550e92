"""How far parts fitted in the past have lived, at the moments that matter."""

from __future__ import annotations

from math import exp

import numpy as np
import pytest

from riskapi.domain.future import future_edges
from riskapi.domain.knowledge import PlannedInterval
from riskapi.domain.lane import Lane
from riskapi.domain.renewal_alive import Alive, Survivals, before_due, survivals, without_looks
from riskapi.domain.renewal_fits import Fits, past_fits
from riskapi.domain.renewal_grid import Grid, make_grid
from tests.domain.builders import NO_DOUBT, lane, mode, part

WEAR = mode((2.5, 160_000.0), (3.0, 14.0))


def belt(kept: float) -> Lane:
    planned = PlannedInterval(None, 6.0, (kept, kept, kept), "renew")
    return lane(parts=(part(WEAR, planned=planned),), kept=kept)


def prepared(one: Lane) -> tuple[Grid, Fits, Survivals, Alive]:
    grid = make_grid([one], NO_DOUBT, future_edges(10.0, 3.0), 10)
    fits = past_fits(grid).fits
    plain = survivals(grid, fits)
    return grid, fits, plain, without_looks(grid, fits, plain)


def test_survivals_are_those_of_the_clocks_run_since_the_part_was_fitted() -> None:
    """The first part, in closed form, at 15,000 km a year and 12,000 from today on."""
    grid, _, plain, _ = prepared(lane())
    t = grid.failed[0]
    assert plain.failed[0, 0, 0] == pytest.approx(np.exp(-((15_000 * t / 160_000) ** 2.5) - (t / 14) ** 3))
    assert plain.now[0, 0, 0, 0] == pytest.approx(exp(-((150 / 160) ** 2.5) - (10 / 14) ** 3))
    assert plain.ahead[0, 0, 0, -1] == pytest.approx(exp(-((186 / 160) ** 2.5) - (13 / 14) ** 3))
    assert plain.sound_now[0, 0, 0, 0] == pytest.approx(exp(-((159 / 160) ** 2.5) - (10.8 / 14) ** 3))


def test_a_part_cannot_fail_before_it_was_fitted() -> None:
    grid, fits, plain, _ = prepared(lane())
    not_yet = grid.failed[0] <= fits.s[0][:, None]
    assert (plain.failed[0, 0][not_yet] == 1.0).all()
    assert (np.diff(plain.failed, axis=3) <= 0.0).all()


def test_survival_is_at_least_being_sound() -> None:
    _, _, plain, _ = prepared(lane())
    assert (plain.sound_now <= plain.now).all()
    assert (plain.sound_ahead <= plain.ahead).all()


@pytest.mark.parametrize("kept", [0.0, 0.7, 1.0])
def test_a_kept_interval_takes_the_part_out_of_the_car(kept: float) -> None:
    """From the planned date on the share that keeps it fails no more; the others go on."""
    grid, fits, plain, alive = prepared(belt(kept))
    after = ~before_due(grid, fits)[0]
    assert after.any()
    expected = kept * plain.due[0, 0] + (1.0 - kept) * plain.failed[0, 0]
    assert alive.repaired[0, 0][after] == pytest.approx(expected[after])
    assert alive.repaired[0, 0][~after] == pytest.approx(plain.failed[0, 0][~after])


def test_without_a_look_all_ways_to_count_are_one() -> None:
    _, _, _, alive = prepared(belt(0.7))
    assert alive.repaired is alive.given_up is alive.unseen
    assert alive.due is alive.unseen_due
