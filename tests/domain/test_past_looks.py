"""A look in the past weighs lifetimes by the state they had then."""

from __future__ import annotations

import numpy as np
import pytest

from riskapi.domain.future import future_edges
from riskapi.domain.lane import Lane, PastLook
from riskapi.domain.lifetime import life_arrays, survival
from riskapi.domain.past_looks import with_looks
from riskapi.domain.renewal import past
from riskapi.domain.renewal_alive import Alive, survivals, without_looks
from riskapi.domain.renewal_fits import Fits, past_fits
from riskapi.domain.renewal_grid import Grid, edge_at, make_grid
from tests.domain.builders import NO_DOUBT, lane

A, SOUND, DEGRADED, FAULTY = 6.0, 0.9, 0.4, 0.05


def looked(**more: object) -> Lane:
    return lane(looks=(PastLook(A, (SOUND, DEGRADED, FAULTY)),), **more)


def prepared(one: Lane) -> tuple[Grid, Fits, Alive, Alive]:
    grid = make_grid([one], NO_DOUBT, future_edges(10.0, 3.0), 12)
    fits = past_fits(grid).fits
    plain = survivals(grid, fits)
    unseen = without_looks(grid, fits, plain)
    return grid, fits, unseen, with_looks(grid, fits, plain, unseen)


def test_what_was_fitted_after_the_look_is_not_weighed() -> None:
    grid, fits, unseen, seen = prepared(looked())
    later = fits.s[0] > A
    assert later.any()
    for name in ("repaired", "given_up", "due", "now", "ahead", "sound_now"):
        assert (getattr(seen, name)[0][:, later] == getattr(unseen, name)[0][:, later]).all()
    assert (seen.unseen == unseen.unseen).all()
    assert grid.edges.shape == (1, 13)


def test_the_first_part_is_weighed_by_its_state_then() -> None:
    """The formula of the module, with survival computed here: P(alive at t and result) for t after the look."""
    one = looked()
    grid, _, _, seen = prepared(one)
    life = life_arrays(list(one.parts)).take(np.array([[0]]))
    y = 15_000.0 * np.array([A, 10.0]) + one.pf_y
    z = np.array([A, 10.0]) + one.pf_z
    km, years = np.array([150_000.0, max(150_000.0, y[0])]), np.array([10.0, max(10.0, z[0])])
    alive, sound_and_alive = survival(life, km[None, None], years[None, None], NO_DOUBT)[0, 0, 0]
    assert seen.now[0, 0, 0, 0] == pytest.approx(DEGRADED * alive + (SOUND - DEGRADED) * sound_and_alive)
    assert grid.now.tolist() == [10.0]


def test_failures_before_the_look_weigh_by_whether_they_were_repaired_then() -> None:
    """Repaired before the look: 1, waiting for repair at it or never repaired: as faulty."""
    one = looked(delay=1.0)
    grid, _, unseen, seen = prepared(one)
    edge = edge_at(grid.failed[0], A - one.delay)
    plain, repaired, given_up = (
        -np.diff(x[0, 0, 0, : edge + 1]) for x in (unseen.repaired, seen.repaired, seen.given_up)
    )
    assert repaired == pytest.approx(plain)
    assert given_up == pytest.approx(FAULTY * plain)
    last = edge_at(grid.failed[0], 5.999)
    waiting = seen.repaired[0, 0, 0, edge] - seen.repaired[0, 0, 0, last]
    assert waiting == pytest.approx(FAULTY * (unseen.repaired[0, 0, 0, edge] - unseen.repaired[0, 0, 0, last]))


def test_what_was_found_faulty_has_been_repaired_since() -> None:
    """All of these cars have a part today that is less than half a year old."""
    one = lane(10.0, looks=(PastLook(9.5, (0.0, 0.0, 1.0)),), delay=0.3)
    mass = past([one], NO_DOUBT, future_edges(10.0, 3.0)).state[0, 0]
    assert mass[0] / mass.sum() > 0.99


def test_finding_it_fine_is_good_news() -> None:
    plain, fine = (
        past([one], NO_DOUBT, future_edges(10.0, 3.0)).state[0, 0]
        for one in (lane(), lane(looks=(PastLook(9.5, (1.0, 0.2, 0.0)),)))
    )
    assert fine[1] / fine.sum() < plain[1] / plain.sum()
