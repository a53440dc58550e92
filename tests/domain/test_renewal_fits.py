"""What was fitted when, and when it falls due."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from riskapi.domain.knowledge import PlannedInterval
from riskapi.domain.lane import Lane, ToldRenewal
from riskapi.domain.renewal_fits import due_shares, past_fits
from riskapi.domain.renewal_grid import make_grid
from tests.domain.builders import NO_DOUBT, lane, mode, part

FUTURE = 10.0 + np.arange(7) / 2.0
PLANNED = part(mode((4.0, 200_000.0)), planned=PlannedInterval(None, 4.0, (1.0, 1.0, 1.0), "renew"))


def planned_lane(**more: object) -> Lane:
    return replace(lane(parts=(PLANNED,), kept=0.6), **more)


def test_columns_are_exact_dates_then_midpoints() -> None:
    grid = make_grid([planned_lane(told=ToldRenewal(3.0, 0.4, 0))], NO_DOUBT, FUTURE, 10)
    columns = past_fits(grid)
    assert (columns.first, columns.told) == (3, 2)
    assert columns.fits.s[0, :5] == pytest.approx([0.0, 4.0, 8.0, 3.0, 7.0])
    assert columns.fits.s[0, 5:] == pytest.approx(0.5 * (grid.edges[0, 1:] + grid.edges[0, :-1]))
    assert columns.fits.due[0] == pytest.approx(columns.fits.s[0] + 4.0)


def test_a_used_engine_brings_along_what_it_has_run() -> None:
    used = lane(start=3.0, run_y=60_000.0, run_z=4.0)
    fits = past_fits(make_grid([used], NO_DOUBT, FUTURE, 4)).fits
    assert fits.y[0, 0] == pytest.approx(45_000.0 - 60_000.0)
    assert fits.z[0, 0] == pytest.approx(3.0 - 4.0)
    assert fits.z[0, 2:] == pytest.approx(fits.s[0, 2:])


def test_the_part_on_sale_is_fitted() -> None:
    """The model: a part renewed before the mend existed is the flawed one again."""
    early, mended = part(mode((4.0, 100_000.0))), part(mode((4.0, 300_000.0)), id="mended")
    columns = past_fits(make_grid([lane(parts=(early, mended), supplies=((0.0, 0), (5.0, 1)))], NO_DOUBT, FUTURE, 10))
    fits = columns.fits
    assert fits.part[0, columns.exact :].tolist() == (fits.s[0, columns.exact :] >= 5.0).astype(int).tolist()


def test_all_that_was_fitted_four_years_before_some_cell_falls_due_there() -> None:
    grid = make_grid([planned_lane()], NO_DOUBT, FUTURE, 10)
    columns = past_fits(grid)
    shares = due_shares(grid, columns)
    cells = slice(columns.exact, None)
    reach = columns.fits.due[0, cells] < FUTURE[-1]
    assert shares.past.min() >= 0.0
    whole = shares.ahead[0, cells].sum(axis=1)
    assert whole[reach] == pytest.approx(1.0)
    assert shares.ahead[0, cells, 0] == pytest.approx(shares.past[0, cells].sum(axis=1))


def test_an_exact_date_falls_due_at_one_moment() -> None:
    grid = make_grid([planned_lane()], NO_DOUBT, FUTURE, 10)
    columns = past_fits(grid)
    shares = due_shares(grid, columns)
    assert columns.fits.due[0, :3] == pytest.approx([4.0, 8.0, 12.0])
    assert shares.ahead[0, 0].tolist() == [1, 0, 0, 0, 0, 0, 0]  # overdue today
    assert shares.ahead[0, 2].tolist() == [0, 0, 0, 0, 1, 0, 0]  # in the cell that ends at 12
