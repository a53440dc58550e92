"""From the masses of the last renewal to the states of today and to what comes first after today.

With y0, a0 the clocks today and masses m over the last renewal s (model: states today):

    not failed   S(s; y0, a0)       sound    S(s; y0 + pf_y, a0 + pf_z)
    degraded     the difference     faulty   failed less than the repair delay ago, or given up earlier

The P-F interval (SAE JA1011 / JA1012 usage) is the delay time of Christer & Waller (1984): how long before functional
failure a fault can be noticed. Nothing of the buyer's future driving enters the states.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from riskapi.domain.renewal_alive import Alive
from riskapi.domain.renewal_fits import DueShares, Fits, Indices
from riskapi.domain.renewal_grid import Grid
from riskapi.domain.timeline import Floats


@dataclass(frozen=True, slots=True)
class Past:
    """Joint masses with the history, per lane and node: state (L, K, 3) today, and what comes first from it.

    `fails` (L, K, 2, M): sound and degraded parts that fail in future cell m; `planned` (L, K, 2, M + 1): that
    reach their planned renewal, slot 0 being day 0 (overdue). `just_failed` (L, K): failed no longer than the repair
    delay ago.
    """

    state: Floats
    fails: Floats
    planned: Floats
    just_failed: Floats


def told_leaves(grid: Grid, fitted: Floats, until: Floats) -> Floats:
    """Chance that a told renewal does not take away by `until` a part fitted at `fitted`; shapes (L, ..)."""
    rank = max(fitted.ndim, until.ndim)
    t, chance = (x.reshape(-1, *[1] * (rank - 1)) for x in (grid.told_t, grid.told_chance))
    return np.asarray(1.0 - chance * ((fitted < t) & (t <= until + 1e-12)))


def today(grid: Grid, fits: Fits, alive: Alive, shares: DueShares, masses: Floats) -> Past:
    """States and first events; `masses` (L, K, J) of the last renewal."""
    masses = masses * told_leaves(grid, fits.s, grid.now[:, None])[:, None]
    overdue = shares.ahead[:, None, :, 0]  # of owners who keep their intervals none is still overdue
    on = masses * (1.0 - grid.kept[:, None, None] * overdue)
    running, sound = on * alive.now[..., 0], on * alive.sound_now[..., 0]
    waiting, given_up = _faulty(grid, fits, alive, masses)
    fails, planned = first_events(grid, alive, shares, masses)
    state = np.stack([sound.sum(axis=2), (running - sound).sum(axis=2), waiting + given_up], axis=2)
    return Past(state, fails, planned, waiting)


def _faulty(grid: Grid, fits: Fits, alive: Alive, masses: Floats) -> tuple[Floats, Floats]:
    """Failed and waiting for repair, and failed earlier and never repaired; (L, K) each."""
    kept = grid.kept[:, None, None]
    out_of_reach = np.where((fits.due > grid.now[:, None])[:, None], alive.now[..., 0], alive.due[..., 0])
    late = alive.repaired[..., -1] - kept * out_of_reach - (1.0 - kept) * alive.now[..., 0]
    early = alive.given_up[..., 0] - alive.given_up[..., -1]
    return (masses * late).sum(axis=2), grid.left[:, None] * (masses * early).sum(axis=2)


def first_events(grid: Grid, alive: Alive, shares: DueShares, masses: Floats) -> tuple[Floats, Floats]:
    """Parts sound and degraded today that fail first in each future cell (L, K, 2, M), and that reach their planned
    date first in each slot (L, K, 2, M + 1). Where nothing falls due only the sums over the columns matter."""
    ahead = _ahead(*(masses[:, :, None] @ x for x in (alive.sound_now, alive.sound_ahead, alive.now, alive.ahead)))
    ahead = ahead[:, :, 0]
    fails, planned = ahead[..., :-1] - ahead[..., 1:], np.zeros(ahead.shape)
    due = np.flatnonzero(shares.ahead.any(axis=(1, 2)))
    if due.size:
        fails[due], planned[due] = _with_due(grid.kept[due], alive, shares, masses[due], due)
    return fails, planned


def _with_due(kept: Floats, alive: Alive, shares: DueShares, masses: Floats, due: Indices) -> tuple[Floats, Floats]:
    """The same for the lanes at these indices: of a column's parts a share falls due in each cell; until then they
    fail like all others."""
    ahead = _ahead(alive.sound_now[due], alive.sound_ahead[due], alive.now[due], alive.ahead[due])
    at_due = _at_due(alive, shares.exact, ahead, due)
    falling, waiting = (x[:, None, :, None, 1:] for x in (shares.ahead[due], 1.0 - shares.ahead[due].cumsum(axis=2)))
    before, after, each = ahead[..., :-1], ahead[..., 1:], masses[..., None, None]
    fails = (each * (waiting * (before - after) + falling * (before - at_due))).sum(axis=2)
    overdue = masses * (1.0 - kept[:, None, None]) * shares.ahead[due, None, :, 0]
    at_once = (overdue[..., None] * ahead[..., 0]).sum(axis=2)
    return fails, np.concatenate([at_once[..., None], (each * falling * at_due).sum(axis=2)], axis=3)


def _ahead(sound_now: Floats, sound_ahead: Floats, now: Floats, ahead: Floats) -> Floats:
    """Sound and degraded today and not failed by the future edges, today's included; (L, K, J, 2, M + 1)."""
    sound, everything = np.concatenate([sound_now, sound_ahead], axis=3), np.concatenate([now, ahead], axis=3)
    return np.stack([sound, everything - sound], axis=3)


def _at_due(alive: Alive, exact: int, ahead: Floats, due: Indices) -> Floats:
    """The same at the planned date, where it lies in the cell: exact dates exactly, parts fitted over a stretch of
    time in the middle of the cell; (L, K, J, 2, M)."""
    at_due = 0.5 * (ahead[..., :-1] + ahead[..., 1:])
    all_due, sound_due = alive.due[due, :, :exact], alive.sound_due[due, :, :exact]
    at_due[:, :, :exact] = np.stack([sound_due, all_due - sound_due], axis=3)
    return np.asarray(at_due)
