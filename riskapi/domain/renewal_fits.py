"""Parts fitted in the past (and to come): their clocks when they were fitted, their planned dates, their lifetimes.

Columns J of a past grid: `first` exact dates from the start on, `told` exact dates from the told renewal on, then one
column per cell, fitted at its midpoint.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from riskapi.domain.lane import Lane
from riskapi.domain.lifetime import LifeArrays, life_arrays
from riskapi.domain.planned_dates import fitted_until, planned_date
from riskapi.domain.renewal_grid import ExactDates, Grid, exact_dates
from riskapi.domain.timeline import Floats

Indices = npt.NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class Fits:
    """Parts (index `part`) fitted at times s, shape (L, J): their clocks then, planned dates, and life parameters.

    y, z and due_y, due_z are the clocks when the part was fitted and when it falls due [effective km, effective years].
    """

    s: Floats
    part: Indices
    y: Floats
    z: Floats
    due: Floats
    due_y: Floats
    due_z: Floats
    life: LifeArrays


@dataclass(frozen=True, slots=True)
class PastFits:
    """All parts that can have been fitted in the past; the first `first` + `told` columns have exact dates."""

    fits: Fits
    first: int
    told: int

    @property
    def exact(self) -> int:
        """Number of columns with exact dates; the cells follow."""
        return self.first + self.told


def clock_points(lanes: Sequence[Lane], times: Floats) -> tuple[Floats, Floats]:
    """(y, z) of each lane at its row of `times`, shape (L, E) each; lanes on the same clocks are looked up together."""
    y, z = np.empty(times.shape), np.empty(times.shape)
    sharing: dict[int, list[int]] = {}
    for i, lane in enumerate(lanes):
        sharing.setdefault(id(lane.clocks), []).append(i)
    for mine in sharing.values():
        y[mine], z[mine] = lanes[mine[0]].clocks.at(times[mine])
    return y, z


def fits_at(lanes: Sequence[Lane], s: Floats, part: Indices) -> Fits:
    """Parts with these indices fitted new at `s`, (L, J)."""
    y, z = clock_points(lanes, s)
    due = np.array([planned_date(lane, row, p) for lane, row, p in zip(lanes, s, part, strict=True)])
    end = np.array([lane.timeline.t[-1] for lane in lanes])[:, None]
    due_y, due_z = clock_points(lanes, np.minimum(due, end))
    offsets = np.cumsum([0, *(len(lane.parts) for lane in lanes[:-1])])
    table = life_arrays([revision for lane in lanes for revision in lane.parts])
    return Fits(s, part, y, z, due, due_y, due_z, table.take(part + offsets[:, None]))


def past_fits(grid: Grid) -> PastFits:
    """Columns as above; lanes with fewer exact dates than others carry copies of the start, which get no mass."""
    dates = [exact_dates(lane) for lane in grid.lanes]
    first, told = max(len(a) for a, _ in dates), max(1, *(len(b) for _, b in dates))
    middle = 0.5 * (grid.edges[:, 1:] + grid.edges[:, :-1])
    times, parts = [], []
    for lane, (a, b), row in zip(grid.lanes, dates, middle, strict=True):
        exact = [*_filled(a, first, lane), *_filled(b, told, lane)]
        times.append(np.append([t for t, _ in exact], row))
        parts.append(np.append([part for _, part in exact], lane.parts_at(row)))
    fits = fits_at(grid.lanes, np.array(times), np.array(parts))
    fits.y[:, 0] -= [lane.run_y for lane in grid.lanes]
    fits.z[:, 0] -= [lane.run_z for lane in grid.lanes]
    return PastFits(fits, first, told)


def _filled(dates: ExactDates, size: int, lane: Lane) -> ExactDates:
    return [*dates, *[(lane.start, lane.start_part)] * (size - len(dates))]


@dataclass(frozen=True, slots=True)
class DueShares:
    """Of what each column fitted, the share that falls due in every past cell (L, J, n) and in every future one.

    `ahead` (L, J, M + 1) has in slot 0 all that fell due before today. An exact date falls due at one moment, the parts
    fitted in a cell over a stretch of time. Exact dates have columns of their own for what follows them, so `past`
    is 0 for them.
    """

    past: Floats
    ahead: Floats
    exact: int  # number of columns with exact dates; they come first


def due_shares(grid: Grid, columns: PastFits) -> DueShares:
    """The shares by when in its cell a part was fitted, evenly spread."""
    fits, exact, slots = columns.fits, columns.exact, grid.future.size
    past, ahead = np.zeros((*fits.s.shape, grid.edges.shape[1] - 1)), np.zeros((*fits.s.shape, slots))
    slot = np.searchsorted(grid.future, fits.due[:, :exact], side="left")
    ahead[:, :exact] = slot[..., None] == np.arange(slots)
    for i, lane in enumerate(grid.lanes):
        if any(revision.planned for revision in lane.parts):
            steps = np.diff(_fallen_due(lane, grid.edges[i], grid.future, fits.part[i, exact:]), axis=1)
            past[i, exact:], ahead[i, exact:, 1:] = np.split(steps, [past.shape[2]], axis=1)
    ahead[:, exact:, 0] = past[:, exact:].sum(axis=2)
    return DueShares(past, ahead, exact)


def _fallen_due(lane: Lane, edges: Floats, future: Floats, part: Indices) -> Floats:
    """Share of each cell's parts that has fallen due by every past and future edge, (n, n + M + 1)."""
    stops = np.concatenate([edges, future[1:]])
    done = np.zeros((part.size, stops.size))
    begin, width = edges[:-1, None], np.maximum(np.diff(edges), 1e-12)[:, None]
    for index, revision in enumerate(lane.parts):
        if revision.planned is not None:
            mine = part == index
            reached = (fitted_until(lane, revision.planned, stops) - begin[mine]) / width[mine]
            done[mine] = np.clip(reached, 0.0, 1.0)
    return done
