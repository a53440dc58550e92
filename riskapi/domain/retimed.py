"""Lanes of the same car under other plans of the buyer: only the last stretch of every clock differs."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from riskapi.domain.lane import Lane
from riskapi.domain.lanes import LaneSet
from riskapi.domain.timeline import Clocks, Timeline


def retimed(lanes: LaneSet, annual: float, years: float) -> LaneSet | None:
    """The lanes for a buyer who drives `annual` [km/year] for `years`. None where they have to be built anew: from a
    car that will stand nobody can tell by how much stress stretches a kilometre to come."""
    before = lanes.timeline
    if before.annual == 0.0 and annual != 0.0:
        return None
    timeline = _ahead(before, annual, years)
    distinct = {id(lane.clocks): lane.clocks for lane in lanes.lanes}
    clocks = {name: _stretched(each, before, timeline) for name, each in distinct.items()}

    def same(lane: Lane) -> Lane:
        """Its copies beside it run on alike; of earlier lives nothing changes."""
        beside = None if lane.beside is None else same(lane.beside)
        return replace(lane, timeline=timeline, clocks=clocks[id(lane.clocks)], beside=beside)

    return replace(lanes, lanes=tuple(map(same, lanes.lanes)), timeline=timeline)


def _ahead(before: Timeline, annual: float, years: float) -> Timeline:
    """The last knot lies a year beyond the horizon, at the annual distance from today."""
    end = before.now + years
    t, x = before.t.copy(), before.x.copy()
    t[-1] = end + 1.0
    x[-1] = x[-2] + annual * (t[-1] - before.now)
    return replace(before, t=t, x=x, annual=annual, horizon=end)


def _stretched(clocks: Clocks, before: Timeline, after: Timeline) -> Clocks:
    """The last stretch at the same factors: stress in force today stays in force."""
    t, y, z = clocks.t.copy(), clocks.y.copy(), clocks.z.copy()
    kilometres = before.x[-1] - before.x[-2]
    by_distance = (clocks.y[-1] - clocks.y[-2]) / kilometres if kilometres > 0.0 else 1.0
    by_age = (clocks.z[-1] - clocks.z[-2]) / (clocks.t[-1] - clocks.t[-2])
    t[-1] = after.t[-1]
    y[-1] = clocks.y[-2] + by_distance * (after.x[-1] - after.x[-2])
    z[-1] = clocks.z[-2] + by_age * (after.t[-1] - after.t[-2])
    return Clocks(np.asarray(t), y, z)
