"""The same past under other plans of the buyer: what was found about the renewals up to today is kept.

States of today do not depend on the future, nor do the masses of the last renewal. With another annual distance or
term only survival at the future edges and the planned dates after today have to be computed again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from riskapi.domain.lane import Lane
from riskapi.domain.planned_dates import planned_date
from riskapi.domain.renewal import CELLS, past, renewals_on
from riskapi.domain.renewal_alive import survivals, without_looks
from riskapi.domain.renewal_fits import PastFits, clock_points, due_shares
from riskapi.domain.renewal_grid import Grid, make_grid
from riskapi.domain.states_today import Past, first_events, today, told_leaves
from riskapi.domain.timeline import Floats


@dataclass(frozen=True, slots=True)
class Known:
    """One grid with its columns, and the masses (L, K, J) of the parts still in the car."""

    grid: Grid
    columns: PastFits
    masses: Floats


@dataclass(frozen=True, slots=True)
class KnownPast:
    """The past of some lanes as far as no plan of the buyer changes it: states of today, and both grids.

    Lanes with a past look are weighed at all moments together; with one among them everything is computed anew.
    """

    lanes: tuple[Lane, ...]
    state: Floats
    grids: tuple[Known, Known] | None
    nodes: Floats


def known_past(lanes: Sequence[Lane], nodes: Floats, future: Floats, cells: int = CELLS) -> tuple[KnownPast, Past]:
    """What `past` computes, and what of it can be kept."""
    if any(lane.look is not None for lane in lanes):
        found = past(lanes, nodes, future, cells)
        return KnownPast(tuple(lanes), found.state, None, nodes), found
    grid = make_grid(lanes, nodes, future, cells)
    halves, pasts = zip(*(_known(each) for each in (grid, grid.halved())), strict=True)
    found = Past(*(_extrapolated(*(getattr(one, name) for one in pasts)) for name in ("state", "fails", "planned")))
    return KnownPast(tuple(lanes), found.state, (halves[0], halves[1]), nodes), found


def with_future(known: KnownPast, lanes: Sequence[Lane], future: Floats, cells: int = CELLS) -> Past:
    """The past of the same lanes under other plans; `lanes` differ from the known ones after today only."""
    if known.grids is None:
        return past(lanes, known.nodes, future, cells)
    events = [_events(each, lanes, future) for each in known.grids]
    fails, planned = (_extrapolated(*arrays) for arrays in zip(*events, strict=True))
    return Past(known.state, fails, planned)


def _extrapolated(coarse: Floats, fine: Floats) -> Floats:
    return np.maximum((4.0 * fine - coarse) / 3.0, 0.0)


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
