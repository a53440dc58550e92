"""What the unknown past does: renewal, and with it the states of today (model: renewal, states today).

Parts are replaced, often undocumented. The time of the last renewal has a mass on a grid: exact dates (the start, a
renewal that is only told, planned dates that follow from them) and one mass per cell at its midpoint. A failure at u
leads to a renewal at u + delay. With A the survival that Alive.repaired describes, the masses solve

    m_k = sum_{j <= k} m_j (A_j(edge k) - A_j(edge k + 1)) + what falls due in cell k       (own cell solved)

A lane is one (weak point, part revisions, stress path, history); lanes run together. Everything returned is a
joint mass with the recorded history, per doubt node, and linear in the renewal masses, so h**2 extrapolation from
two grids applies to it directly.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from riskapi.domain.lane import Lane, PastLook, ToldRenewal
from riskapi.domain.past_looks import with_looks
from riskapi.domain.renewal_alive import Alive, survivals, without_looks
from riskapi.domain.renewal_fits import DueShares, Fits, PastFits, due_shares, past_fits
from riskapi.domain.renewal_grid import Grid, edge_at, make_grid
from riskapi.domain.states_today import Past, today, told_leaves
from riskapi.domain.timeline import Floats

__all__ = ["CELLS", "Lane", "Past", "PastLook", "ToldRenewal", "past"]

OWN_CELL_MOST = 0.98  # share of the parts fitted in a cell that can be renewed in it again
CELLS = 10  # twice as many in the second grid; measured on the sample cars: below 5e-5 in any chance
FINE, COARSE = 4.0 / 3.0, -1.0 / 3.0  # weights of the second and the first grid in the extrapolation by h**2
DATED_CELLS = 3  # times as many where parts are renewed on planned dates: every date bends what follows


def past(lanes: Sequence[Lane], nodes: Floats, future: Floats, cells: int = CELLS) -> Past:
    """Masses by h**2 extrapolation of `cells` and 2 * cells; `nodes` (K,), `future` M + 1 edges from today [years]."""
    found = [
        (mine, _extrapolated_past([lanes[i] for i in mine], nodes, future, n)) for mine, n in grouped(lanes, cells)
    ]
    return found[0][1] if len(found) == 1 else together(found, len(lanes))


def grouped(lanes: Sequence[Lane], cells: int) -> list[tuple[list[int], int]]:
    """Positions of the lanes that share a grid, with its cells."""
    dated = np.array([any(part.planned for part in lane.parts) for lane in lanes], dtype=bool)
    groups = ((np.flatnonzero(~dated).tolist(), cells), (np.flatnonzero(dated).tolist(), DATED_CELLS * cells))
    return [(mine, count) for mine, count in groups if mine]


def _extrapolated_past(lanes: Sequence[Lane], nodes: Floats, future: Floats, cells: int) -> Past:
    grid = make_grid(lanes, nodes, future, cells)
    return extrapolated(today_on(grid), today_on(grid.halved()))


def extrapolated(coarse: Past, fine: Past) -> Past:
    """From a grid and its half, whose error falls with the square of the cell's length."""
    return Past(
        state=_extrapolated(coarse.state, fine.state),
        fails=_extrapolated(coarse.fails, fine.fails),
        planned=_extrapolated(coarse.planned, fine.planned),
        just_failed=_extrapolated(coarse.just_failed, fine.just_failed),
    )


def together(found: Sequence[tuple[list[int], Past]], count: int) -> Past:
    """The lanes in their own order again."""
    fields = []
    for name in ("state", "fails", "planned", "just_failed"):
        whole = np.empty((count, *getattr(found[0][1], name).shape[1:]))
        for mine, part in found:
            whole[mine] = getattr(part, name)
        fields.append(whole)
    return Past(*fields)


def _extrapolated(coarse: Floats, fine: Floats) -> Floats:
    return np.maximum(FINE * fine + COARSE * coarse, 0.0)


def today_on(grid: Grid) -> Past:
    """The masses on one grid."""
    columns, alive, shares, masses = renewals_on(grid)
    return today(grid, columns.fits, alive, shares, masses)


def renewals_on(grid: Grid) -> tuple[PastFits, Alive, DueShares, Floats]:
    """What was fitted when on one grid, how it lives, when it falls due, and the masses (L, K, J) of the renewals."""
    columns = past_fits(grid)
    fits, plain = columns.fits, survivals(grid, columns.fits)
    alive = with_looks(grid, fits, plain, without_looks(grid, fits, plain))
    shares = due_shares(grid, columns)
    return columns, alive, shares, _last_renewals(grid, columns, alive, shares)


def _last_renewals(grid: Grid, columns: PastFits, alive: Alive, shares: DueShares) -> Floats:
    """Masses (L, K, J) of the renewals; those that a later one took over are still in them."""
    flow = _flow(grid, columns, alive, shares)
    arriving = np.ascontiguousarray(np.moveaxis(flow, 3, 0))
    masses = np.zeros(flow.shape[:3])
    masses[:, :, 0] = 1.0
    _follow_plan(grid, columns.fits, alive, masses, range(1, columns.first))
    told_edge = [
        edge_at(edges, lane.told.t) if lane.told else -1 for lane, edges in zip(grid.lanes, grid.edges, strict=True)
    ]
    for k in range(flow.shape[3]):
        told_now = [i for i, edge in enumerate(told_edge) if edge == k]
        for i in told_now:
            masses[i, :, columns.first] = _told_mass(grid, i, k, columns, alive, shares, masses[i])
        if told_now:
            _follow_plan(grid, columns.fits, alive, masses, range(columns.first + 1, columns.exact))
        here = columns.exact + k
        fitted = np.einsum("lkj,lkj->lk", masses[:, :, :here], arriving[k, :, :, :here])
        masses[:, :, here] = fitted / (1.0 - arriving[k, :, :, here])
    return masses


def _flow(grid: Grid, columns: PastFits, alive: Alive, shares: DueShares) -> Floats:
    """Per mass fitted in column j what is renewed in cell k: failures that are repaired, and planned dates kept."""
    fits = columns.fits
    flow: Floats = alive.repaired[..., :-1] - alive.repaired[..., 1:]
    flow *= grid.mended[:, None, None, None]
    kept = np.flatnonzero(grid.exchanged)
    # the midpoint of a cell may fall due after today while its first parts already have
    ahead = fits.due[kept] > grid.now[kept, None]
    due = np.where(ahead[:, None, :, None], alive.now[kept], alive.due[kept])
    flow[kept] += grid.exchanged[kept, None, None, None] * due * shares.past[kept, None]
    told = np.flatnonzero(grid.told_chance)
    flow[told] *= told_leaves(grid, fits.s[..., None], grid.edges[:, None, :-1])[told, None]
    _carry_over(flow, columns.exact)
    return flow


def _carry_over(flow: Floats, exact: int) -> None:
    """Where a life is far shorter than its cell, renew the rest in the next cell: cells have finite turns."""
    k = np.arange(flow.shape[3])
    excess = np.maximum(flow[:, :, exact + k, k] - OWN_CELL_MOST, 0.0)
    if excess.any():
        flow[:, :, exact + k, k] -= excess
        flow[:, :, exact + k[:-1], k[1:]] += excess[..., :-1]


def _follow_plan(grid: Grid, fits: Fits, alive: Alive, masses: Floats, columns: range) -> None:
    """Fill in the masses of exact planned dates, each from the column before it, where that falls due then."""
    for column in columns:
        due = fits.due[:, column - 1]
        arrives = np.isclose(fits.s[:, column], due) * grid.exchanged * told_leaves(grid, fits.s[:, column - 1], due)
        masses[:, :, column] = masses[:, :, column - 1] * alive.due[:, :, column - 1, 0] * arrives[:, None]


def _told_mass(
    grid: Grid, i: int, k: int, columns: PastFits, alive: Alive, shares: DueShares, masses: Floats
) -> Floats:
    """Mass (K,) of the told renewal of lane i at edge k: every part fitted before it, running, waiting for repair or
    given up, with the chance that the renewal happened; `masses` (K, J)."""
    lane, told = grid.lanes[i], float(grid.told_t[i])
    repaired, given_up, due = alive.unseen, alive.unseen_left, alive.unseen_due  # later looks saw the new part
    fallen_due = shares.past[i, :, :k].sum(axis=1)
    fallen_due[: columns.exact] = columns.fits.due[i, : columns.exact] < told
    in_use = repaired[i, ..., k] - lane.kept * due[i, ..., 0] * fallen_due
    unrepaired = lane.left * (given_up[i, ..., 0] - given_up[i, ..., k])
    before = masses * (columns.fits.s[i] < told)
    return np.asarray(grid.told_chance[i] * (before * (in_use + unrepaired)).sum(axis=1))
