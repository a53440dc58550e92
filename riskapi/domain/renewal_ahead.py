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
from riskapi.domain.renewal import CELLS, extrapolated, renewals_on, today_on
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
class KnownPast:
    """The past of some lanes as far as no plan of the buyer changes it: states of today, and the two grids.

    A past look weighs a part at all moments together, so the lanes with one (at the positions `looked`) are computed
    anew on the same `edges`.
    """

    state: Floats
    grids: tuple[Grid, Grid]
    plain: tuple[Known, Known] | None
    unlooked: Indices
    looked: Indices


def known_past(lanes: Sequence[Lane], nodes: Floats, future: Floats, cells: int = CELLS) -> tuple[KnownPast, Past]:
    """What riskapi.domain.renewal.past computes, and what of it can be kept."""
    looks = np.array([lane.look is not None for lane in lanes], dtype=bool)
    unlooked, looked = np.flatnonzero(~looks), np.flatnonzero(looks)
    grid = make_grid(lanes, nodes, future, cells)
    grids = grid, grid.halved()
    kept = [_known(_rows(each, unlooked)) for each in grids] if unlooked.size else []
    plain = (kept[0][0], kept[1][0]) if kept else None
    anew = [today_on(_rows(each, looked)) for each in grids] if looked.size else []
    found = _together(
        len(lanes), [(unlooked, _extrapolated([past for _, past in kept])), (looked, _extrapolated(anew))]
    )
    return KnownPast(found.state, grids, plain, unlooked, looked), found


def with_future(known: KnownPast, lanes: Sequence[Lane], future: Floats) -> Past:
    """The past of the same lanes under other plans; `lanes` differ from the known ones after today only."""
    mine = [lanes[i] for i in known.unlooked]
    state = known.state[known.unlooked]
    kept = [Past(state, *_events(each, mine, future)) for each in known.plain or ()]
    grids = (replace(grid, lanes=lanes, future=future) for grid in known.grids)
    anew = [today_on(_rows(grid, known.looked)) for grid in grids] if known.looked.size else []
    found = _together(len(lanes), [(known.unlooked, _extrapolated(kept)), (known.looked, _extrapolated(anew))])
    return replace(found, state=known.state)


def _rows(grid: Grid, index: Indices) -> Grid:
    """The lanes at these positions, on their edges."""
    return Grid([grid.lanes[i] for i in index], grid.edges[index], grid.future, grid.nodes)


def _extrapolated(pasts: Sequence[Past]) -> Past | None:
    """By h**2 extrapolation from the two grids; None from none."""
    return extrapolated(*pasts) if pasts else None


def _together(count: int, parts: Sequence[tuple[Indices, Past | None]]) -> Past:
    """Masses of all lanes from those of some at their positions."""
    found = [(index, past) for index, past in parts if past is not None]
    arrays = []
    for name in ("state", "fails", "planned"):
        result = np.zeros((count, *getattr(found[0][1], name).shape[1:]))
        for index, past in found:
            result[index] = getattr(past, name)
        arrays.append(result)
    return Past(*arrays)


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
