"""How far parts fitted in the past have lived, at the moments that matter for the recursion and for today."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from riskapi.domain.lifetime import survival
from riskapi.domain.renewal_fits import Fits, clock_points
from riskapi.domain.renewal_grid import Grid
from riskapi.domain.timeline import Floats


@dataclass(frozen=True, slots=True)
class Alive:
    """Survival of every fitted part; arrays (L, K, J, points).

    repaired, given_up, unseen, unseen_left (n + 1): 'not failed by the moment before each past edge at which what is
    renewed at that edge failed'; for the share of owners who keep a planned interval it stays constant from the planned
    date on, when the part left the car. They differ only where there were past looks, see riskapi.domain.past_looks:
    they weigh failures that were repaired, or never repaired; `unseen` and `unseen_left` have only the looks before a
    told renewal.
    due, unseen_due (1): at the planned date. now (1), ahead (M): today and at the future edges after it.
    sound_now, sound_ahead, sound_due: the same, and the P-F point of today still lies ahead.
    """

    repaired: Floats
    given_up: Floats
    unseen: Floats
    unseen_left: Floats
    due: Floats
    unseen_due: Floats
    now: Floats
    ahead: Floats
    sound_now: Floats
    sound_ahead: Floats
    sound_due: Floats


@dataclass(frozen=True, slots=True)
class Survivals:
    """Plain survival of every fitted part, (L, K, J, points): `failed` (n + 1) at the moments Grid.failed, the others
    as in Alive."""

    failed: Floats
    now: Floats
    ahead: Floats
    sound_now: Floats
    sound_ahead: Floats
    due: Floats
    sound_due: Floats


def survivals(grid: Grid, fits: Fits) -> Survivals:
    """All of them in one call of the survival function."""
    n, m = grid.edges.shape[1], grid.future.size - 1
    (y, far_y), (z, far_z) = _points(grid)
    shape = (*fits.s.shape, y.shape[1])
    points = []
    for clock, far, start, at_due in ((y, far_y, fits.y, fits.due_y), (z, far_z, fits.z, fits.due_z)):
        due = at_due[..., None]
        stops = [np.broadcast_to(clock[:, None], shape), due, np.maximum(due, far[..., None])]
        points.append(np.concatenate(stops, axis=2) - start[..., None])
    values = survival(fits.life, points[0], points[1], grid.nodes)
    return Survivals(*np.split(values, np.cumsum([n, 1, m, 1, m, 1]), axis=3))


def survivals_ahead(grid: Grid, fits: Fits, known: Alive) -> Alive:
    """`known` with the future edges and planned dates of other plans, as if nobody had looked."""
    dated = bool(np.isfinite(fits.due).any())
    alone = Grid(grid.lanes, grid.edges[:, -1:], grid.future, grid.nodes)
    points = []
    for (clock, far), start, at_due in zip(_points(alone), (fits.y, fits.z), (fits.due_y, fits.due_z), strict=True):
        ahead = np.delete(clock, [0, 1, grid.future.size + 1], axis=1)
        stops = [np.broadcast_to(ahead[:, None], (*fits.s.shape, ahead.shape[1]))]
        stops += [at_due[..., None], np.maximum(at_due[..., None], far[..., None])] if dated else []
        points.append(np.concatenate(stops, axis=2) - start[..., None])
    values = survival(fits.life, points[0], points[1], grid.nodes)
    m = grid.future.size - 1
    ahead, sound_ahead, *due = np.split(values, [m, 2 * m, 2 * m + 1] if dated else [m], axis=3)
    if not dated:
        return replace(known, ahead=ahead, sound_ahead=sound_ahead)
    return replace(known, ahead=ahead, sound_ahead=sound_ahead, due=due[0], sound_due=due[1])


def _points(grid: Grid) -> tuple[tuple[Floats, Floats], tuple[Floats, Floats]]:
    """Per clock its readings (L, n + 1 + 2 (1 + M)) at the past failures, today and the future edges, the latter two
    again no earlier than the P-F point of today; and that point (L, 1)."""
    n, lanes = grid.edges.shape[1], grid.lanes
    ahead = np.broadcast_to(grid.future[1:], (len(lanes), grid.future.size - 1))
    clocks = clock_points(lanes, np.concatenate([grid.failed, grid.now[:, None], ahead], axis=1))
    lead = [lane.pf_y for lane in lanes], [lane.pf_z for lane in lanes]
    found = []
    for clock, interval in zip(clocks, lead, strict=True):
        far = clock[:, n : n + 1] + np.array(interval)[:, None]
        found.append((np.concatenate([clock, far, np.maximum(clock[:, n + 1 :], far)], axis=1), far))
    return found[0], found[1]


def before_due(grid: Grid, fits: Fits) -> npt.NDArray[np.bool_]:
    """Whether the moments Grid.failed come before a part's planned date, (L, J, n + 1)."""
    return np.asarray(fits.due[:, :, None] >= grid.failed[:, None, :])


def without_looks(grid: Grid, fits: Fits, plain: Survivals) -> Alive:
    """Alive as if nobody had looked."""
    stays, mine = plain.failed, np.flatnonzero(grid.kept)
    if mine.size:
        kept, inside = grid.kept[mine, None, None, None], before_due(grid, fits)[mine, None]
        stays = stays.copy()
        stays[mine] = kept * np.where(inside, stays[mine], plain.due[mine]) + (1.0 - kept) * stays[mine]
    return Alive(
        repaired=stays,
        given_up=stays,
        unseen=stays,
        unseen_left=stays,
        due=plain.due,
        unseen_due=plain.due,
        now=plain.now,
        ahead=plain.ahead,
        sound_now=plain.sound_now,
        sound_ahead=plain.sound_ahead,
        sound_due=plain.sound_due,
    )
