"""The same past under other plans of the buyer: what was found about the renewals up to today is kept.

States of today do not depend on the future, nor do the masses of the last renewal. With another annual distance or
term only survival at the future edges and the planned dates after today have to be computed again.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from riskapi.domain.lane import Lane
from riskapi.domain.past_looks_ahead import seen_ahead
from riskapi.domain.planned_dates import planned_date
from riskapi.domain.renewal import CELLS, extrapolated, grouped, renewals_on, together
from riskapi.domain.renewal_alive import Alive, survivals_ahead
from riskapi.domain.renewal_fits import PastFits, clock_points, due_shares
from riskapi.domain.renewal_grid import Grid, make_grid
from riskapi.domain.states_today import Past, first_events, today, told_leaves
from riskapi.domain.timeline import Floats
from riskapi.domain.undated_ahead import Undated, undated_of


@dataclass(frozen=True, slots=True)
class Known:
    """One grid of lanes: its columns, how they have lived up to today, and the masses (L, K, J) of the parts still in
    the car."""

    grid: Grid
    columns: PastFits
    alive: Alive
    masses: Floats


@dataclass(frozen=True, slots=True)
class KnownPast:
    """The past of some lanes as far as no plan of the buyer changes it, with their states today (see Past); `groups`
    are those (positions) that share a grid, with what is known on it and on its half, or together where none of them
    has a planned date."""

    state: Floats
    just_failed: Floats
    groups: tuple[tuple[list[int], tuple[Known, Known] | Undated], ...]


def known_past(lanes: Sequence[Lane], nodes: Floats, future: Floats, cells: int = CELLS) -> tuple[KnownPast, Past]:
    """What riskapi.domain.renewal.past computes, and what of it can be kept."""
    groups: list[tuple[list[int], tuple[Known, Known] | Undated]] = []
    pasts: list[tuple[list[int], Past]] = []
    for mine, count in grouped(lanes, cells):
        grid = make_grid([lanes[i] for i in mine], nodes, future, count)
        (coarse, first), (fine, second) = (_known(each) for each in (grid, grid.halved()))
        undated = [_undated(each) for each in (coarse, fine) if not np.isfinite(each.columns.fits.due).any()]
        groups.append((mine, undated[1].extrapolated_from(undated[0]) if len(undated) == 2 else (coarse, fine)))
        pasts.append((mine, extrapolated(first, second)))
    everything = together(pasts, len(lanes))
    return KnownPast(everything.state, everything.just_failed, tuple(groups)), everything


def with_future(known: KnownPast, lanes: Sequence[Lane], nodes: Floats, future: Floats) -> Past:
    """The past of the same lanes under other plans; `lanes` differ from the known ones after today only."""
    found = []
    for mine, kept in known.groups:
        some = [lanes[i] for i in mine]
        state, just_failed = known.state[mine], known.just_failed[mine]
        if isinstance(kept, Undated):
            fails, planned = kept.first_events(some, future, nodes)
            found.append((mine, Past(state, np.maximum(fails, 0.0), planned, just_failed)))
        else:
            coarse, fine = (Past(state, *_events(each, some, future), just_failed) for each in kept)
            found.append((mine, extrapolated(coarse, fine)))
    return replace(together(found, len(lanes)), state=known.state, just_failed=known.just_failed)


def _known(grid: Grid) -> tuple[Known, Past]:
    columns, alive, shares, masses = renewals_on(grid)
    left = masses * told_leaves(grid, columns.fits.s, grid.now[:, None])[:, None]
    return Known(grid, columns, alive, left), today(grid, columns.fits, alive, shares, masses)


def _undated(known: Known) -> Undated:
    return undated_of(known.grid, known.columns.fits, known.alive, known.masses)


def _events(known: Known, lanes: Sequence[Lane], future: Floats) -> tuple[Floats, Floats]:
    """First failures and planned renewals after today, see riskapi.domain.states_today."""
    grid = replace(known.grid, lanes=lanes, future=future)
    columns = _falling_due(known.columns, lanes)
    alive = seen_ahead(grid, columns.fits, known.alive, survivals_ahead(grid, columns.fits, known.alive))
    return first_events(grid, alive, due_shares(grid, columns), known.masses)


def _falling_due(columns: PastFits, lanes: Sequence[Lane]) -> PastFits:
    """The same parts with their planned dates by the new plans."""
    fits = columns.fits
    due = np.array([planned_date(lane, s, part) for lane, s, part in zip(lanes, fits.s, fits.part, strict=True)])
    end = np.array([lane.timeline.t[-1] for lane in lanes])[:, None]
    due_y, due_z = clock_points(lanes, np.minimum(due, end))
    return replace(columns, fits=replace(fits, due=due, due_y=due_y, due_z=due_z))
