"""The grid of the recursion has an edge at every date where something is known or bends."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from riskapi.domain.knowledge import PlannedInterval
from riskapi.domain.lane import PastLook, ToldRenewal
from riskapi.domain.renewal_grid import MERGE_YEARS, edge_at, exact_dates, make_grid
from tests.domain.builders import NO_DOUBT, lane, mode, part

FUTURE = 10.0 + np.arange(7) / 2.0
PLANNED = part(mode((4.0, 200_000.0)), planned=PlannedInterval(None, 4.0, (1.0, 1.0, 1.0), "renew"))
BUSY = replace(
    lane(parts=(PLANNED,), kept=0.6),
    told=ToldRenewal(3.3, 0.4, 0),
    looks=(PastLook(7.1, (1.0, 0.5, 0.1)),),
    kinks=(2.2, 5.9),
    supplies=((0.0, 0), (6.4, 0)),
)


def test_every_known_date_is_an_edge() -> None:
    grid = make_grid([BUSY], NO_DOUBT, FUTURE, 10)
    for t in (0.0, 4.0, 8.0, 3.3, 7.3, 7.1, 2.2, 5.9, 6.4, 10.0):
        assert grid.edges[0, edge_at(grid.edges[0], t)] == pytest.approx(t, abs=1e-12)


def test_edges_rise_and_the_longest_stretch_is_split_first() -> None:
    steps = np.diff(make_grid([lane(kinks=(2.0,))], np.zeros(1), FUTURE, 10).edges[0])
    assert (steps > 0.0).all()
    assert steps == pytest.approx([1.0] * 10)


def test_kinks_too_close_to_another_edge_get_none() -> None:
    edges = make_grid([lane(kinks=(5.0, 5.0 + 0.5 * MERGE_YEARS))], np.zeros(1), FUTURE, 2).edges[0]
    assert edges == pytest.approx([0.0, 5.0, 10.0])


def test_lanes_side_by_side_have_the_same_number_of_cells() -> None:
    grid = make_grid([lane(), BUSY], NO_DOUBT, FUTURE, 4)
    assert grid.edges.shape == (2, 10 + 0)
    assert grid.halved().edges.shape == (2, 19)
    assert grid.halved().edges[:, ::2] == pytest.approx(grid.edges)


def test_no_lanes_make_an_empty_grid() -> None:
    assert make_grid([], NO_DOUBT, FUTURE, 4).edges.shape == (0, 5)


def test_exact_dates_follow_the_start_and_the_told_renewal() -> None:
    first, told = exact_dates(BUSY)
    assert [t for t, _ in first] == pytest.approx([0.0, 4.0, 8.0])
    assert [t for t, _ in told] == pytest.approx([3.3, 7.3])


def test_nothing_fails_before_the_start() -> None:
    """A renewal at an edge is of what failed the repair delay before it."""
    grid = make_grid([lane(start=1.0, delay=0.5)], NO_DOUBT, FUTURE, 6)
    assert grid.failed[0, 0] == 1.0
    assert grid.failed[0, 1:] == pytest.approx(grid.edges[0, 1:] - 0.5)


def test_what_is_never_renewed_or_left_unrepaired_shows_no_renewal() -> None:
    grid = make_grid([lane(never_renewed=True), lane(left=0.3)], NO_DOUBT, FUTURE, 4)
    assert grid.mended == pytest.approx([0.0, 0.7])
