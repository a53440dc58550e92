"""New parts of lanes that fare alike share a row; the rows are those that each lane has by itself."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from riskapi.domain.earlier_lives import lives_of
from riskapi.domain.future import future_edges
from riskapi.domain.lane import Lane
from riskapi.domain.lifetime import doubt_nodes
from riskapi.domain.new_parts import new_parts
from riskapi.domain.reference_car import reference_lanes
from riskapi.domain.timeline import Clocks
from tests.domain.builders import lane
from tests.domain.weighed import full

NODES = doubt_nodes(3)


def lanes_of_a_car() -> tuple[list[Lane], np.ndarray]:
    found = full()
    lanes = lives_of(found.basis.outlook.lanes)
    return list(lanes), future_edges(lanes[0].timeline.now, 3.0)


def test_every_lane_has_the_row_it_has_by_itself() -> None:
    lanes, edges = lanes_of_a_car()
    together = new_parts(lanes, NODES, edges)
    assert len(together.rows) < len(lanes)
    for i, one in enumerate(lanes):
        assert together.fail[i] == pytest.approx(new_parts([one], NODES, edges).fail[0], abs=1e-12)


def test_lanes_with_planned_dates_share_nothing() -> None:
    lanes, edges = lanes_of_a_car()
    found = new_parts(lanes, NODES, edges)
    assert found.serviced
    rows = found.which.tolist()
    assert all(rows.count(rows[i]) == 1 for i in found.serviced)
    for k, i in enumerate(found.serviced):
        assert found.plan[k] == pytest.approx(new_parts([lanes[i]], NODES, edges).plan[0], abs=1e-14)


def test_what_another_car_knows_is_taken_over() -> None:
    found = full()
    lanes, edges = lanes_of_a_car()
    chances = [1.0 / len(found.identity.candidates)] * len(found.identity.candidates)
    others = lives_of(reference_lanes(found.case, found.pack, found.identity, chances, found.terms))
    known = new_parts(lanes, NODES, edges)
    like = new_parts(others, NODES, edges, known)
    alone = new_parts(others, NODES, edges)
    assert like.fail == pytest.approx(alone.fail, abs=1e-12)
    assert len(like.rows) - len(known.rows) < len(alone.rows)


def test_what_is_known_for_other_edges_is_not() -> None:
    one = lane()
    short, long = (future_edges(one.timeline.now, years) for years in (1.0, 2.0))
    assert new_parts([one], NODES, long, new_parts([one], NODES, short)).rows.shape == (1, 3, 5, 5)


def test_the_same_parts_on_other_clocks_fare_otherwise() -> None:
    one = lane()
    edges = future_edges(one.timeline.now, 2.0)
    faster = replace(one, clocks=Clocks(one.clocks.t, 1.5 * one.clocks.y, one.clocks.z))
    later = replace(one, clocks=Clocks(one.clocks.t, one.clocks.y + 5_000.0, one.clocks.z + 0.3))
    found = new_parts([one, faster, later], NODES, edges)
    assert found.which.tolist() == [0, 1, 0]
    assert (found.rows[1] > found.rows[0]).any()


def test_no_lane_no_row() -> None:
    assert new_parts([], NODES, np.array([1.0, 1.5])).rows.shape == (0, 3, 2, 2)
