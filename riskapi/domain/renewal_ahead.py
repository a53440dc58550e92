"""The same past under other plans of the buyer: what was found about the renewals up to today is kept.

States of today do not depend on the future, nor do the masses of the last renewal. With another annual distance or
term only survival at the future edges and the planned dates after today have to be computed again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from riskapi.domain.lane import Indices, Lane
from riskapi.domain.planned_dates import planned_date
from riskapi.domain.renewal import CELLS, extrapolated, grouped, renewals_on, today_on, together
from riskapi.domain.renewal_alive import survivals, without_looks
from riskapi.domain.renewal_fits import PastFits, clock_points, due_shares
from riskapi.domain.renewal_grid import Grid, make_grid
from riskapi.domain.states_today import Past, first_events, today, told_leaves
from riskapi.domain.timeline import Floats


@dataclass(frozen=True, slots=True)
class Known:
    """One grid of lanes without a past look: its columns, and the masses (L, K, J) of the parts still in the car."""

    grid: Grid
    columns: PastFits
    masses: Floats


@dataclass(frozen=True, slots=True)
class KnownGroup:
    """Lanes (positions `mine`) on one grid and its half: what is `kept` of them; None where a past look weighs a part
    at all moments together, so that they are computed anew on the same grids."""

    mine: list[int]
    grids: tuple[Grid, Grid]
    kept: tuple[Known, Known] | None

    def under(self, lanes: Sequence[Lane], future: Floats, state: Floats, just_failed: Floats) -> Past:
        """Their past under other plans; `state` and `just_failed` are those of these lanes."""
        if self.kept is not None:
            coarse, fine = (Past(state, *_events(each, lanes, future), just_failed) for each in self.kept)
        else:
            coarse, fine = (today_on(replace(grid, lanes=lanes, future=future)) for grid in self.grids)
        return extrapolated(coarse, fine)


@dataclass(frozen=True, slots=True)
class KnownPast:
    """The past of some lanes as far as no plan of the buyer changes it, with their states today (see Past)."""

    state: Floats
    just_failed: Floats
    groups: tuple[KnownGroup, ...]


def known_past(lanes: Sequence[Lane], nodes: Floats, future: Floats, cells: int = CELLS) -> tuple[KnownPast, Past]:
    """What riskapi.domain.renewal.past computes, and what of it can be kept."""
    groups: list[KnownGroup] = []
    pasts: list[tuple[list[int], Past]] = []
    for mine, count in grouped(lanes, cells):
        grid = make_grid([lanes[i] for i in mine], nodes, future, count)
        looks = np.array([bool(lanes[i].looks) for i in mine])
        for rows, looked in ((np.flatnonzero(~looks), False), (np.flatnonzero(looks), True)):
            if rows.size:
                group, found = _group([mine[i] for i in rows], _rows(grid, rows), looked)
                groups.append(group)
                pasts.append((group.mine, found))
    everything = together(pasts, len(lanes))
    return KnownPast(everything.state, everything.just_failed, tuple(groups)), everything


def _group(mine: list[int], grid: Grid, looked: bool) -> tuple[KnownGroup, Past]:
    grids = grid, grid.halved()
    if looked:
        return KnownGroup(mine, grids, None), extrapolated(*(today_on(each) for each in grids))
    (coarse, first), (fine, second) = (_known(each) for each in grids)
    return KnownGroup(mine, grids, (coarse, fine)), extrapolated(first, second)


def with_future(known: KnownPast, lanes: Sequence[Lane], future: Floats) -> Past:
    """The past of the same lanes under other plans; `lanes` differ from the known ones after today only."""
    found = [
        (mine, group.under([lanes[i] for i in mine], future, known.state[mine], known.just_failed[mine]))
        for group in known.groups
        for mine in (group.mine,)
    ]
    return replace(together(found, len(lanes)), state=known.state, just_failed=known.just_failed)


def _rows(grid: Grid, index: Indices) -> Grid:
    """The lanes at these positions, on their edges."""
    return Grid([grid.lanes[i] for i in index], grid.edges[index], grid.future, grid.nodes)


def _known(grid: Grid) -> tuple[Known, Past]:
    columns, alive, shares, masses = renewals_on(grid)
    left = masses * told_leaves(grid, columns.fits.s, grid.now[:, None])[:, None]
    return Known(grid, columns, left), today(grid, columns.fits, alive, shares, masses)


def _events(known: Known, lanes: Sequence[Lane], future: Floats) -> tuple[Floats, Floats]:
    """First failures and planned renewals after today, see riskapi.domain.states_today."""
    grid = replace(known.grid, lanes=lanes, future=future)
    columns = _falling_due(known.columns, lanes)
    no_past = replace(grid, edges=grid.edges[:, -1:])
    alive = without_looks(no_past, columns.fits, survivals(no_past, columns.fits))
    return first_events(grid, alive, due_shares(grid, columns), known.masses)


def _falling_due(columns: PastFits, lanes: Sequence[Lane]) -> PastFits:
    """The same parts with their planned dates by the new plans."""
    fits, due = columns.fits, columns.fits.due.copy()
    for i, lane in enumerate(lanes):
        if any(part.planned for part in lane.parts):
            due[i] = planned_date(lane, fits.s[i], fits.part[i])
    end = np.array([lane.timeline.t[-1] for lane in lanes])[:, None]
    due_y, due_z = clock_points(lanes, np.minimum(due, end))
    return replace(columns, fits=replace(fits, due=due, due_y=due_y, due_z=due_z))
