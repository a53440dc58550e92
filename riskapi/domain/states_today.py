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
from riskapi.domain.renewal_fits import DueShares, Fits
from riskapi.domain.renewal_grid import Grid
from riskapi.domain.timeline import Floats


@dataclass(frozen=True, slots=True)
class Past:
    """Joint masses with the history, per lane and node: state (L, K, 3) today, and what comes first from it.

    `fails` (L, K, 2, M): sound and degraded parts that fail in future cell m; `planned` (L, K, 2, M + 1): that
    reach their planned renewal, slot 0 being day 0 (overdue).
    """

    state: Floats
    fails: Floats
    planned: Floats


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
    faulty = _faulty(grid, fits, alive, masses)
    state = np.stack([sound.sum(axis=2), (running - sound).sum(axis=2), faulty], axis=2)
    return Past(
        state, _first_failures(grid, fits, alive, masses * (1.0 - overdue)), _planned(grid, fits, alive, shares, masses)
    )


def _faulty(grid: Grid, fits: Fits, alive: Alive, masses: Floats) -> Floats:
    """Failed and waiting for repair, or failed earlier and never repaired; (L, K)."""
    kept = grid.kept[:, None, None]
    out_of_reach = np.where((fits.due > grid.now[:, None])[:, None], alive.now[..., 0], alive.due[..., 0])
    late = alive.repaired[..., -1] - kept * out_of_reach - (1.0 - kept) * alive.now[..., 0]
    early = alive.given_up[..., 0] - alive.given_up[..., -1]
    return np.asarray((masses * late).sum(axis=2) + grid.left[:, None] * (masses * early).sum(axis=2))


def _by_state(sound: Floats, alive: Floats) -> Floats:
    """Sound and degraded, a new axis 3."""
    return np.stack([sound, alive - sound], axis=3)


def _at_due(grid: Grid, fits: Fits, alive: Alive) -> Floats:
    """Sound and degraded today and not failed by the planned date (by today where it is past), (L, K, J, 2, 1)."""
    overdue = (fits.due <= grid.future[0])[:, None, :, None]
    return _by_state(np.where(overdue, alive.sound_now, alive.sound_due), np.where(overdue, alive.now, alive.due))


def _first_failures(grid: Grid, fits: Fits, alive: Alive, masses: Floats) -> Floats:
    """Parts sound and degraded today that fail in each future cell before they fall due, (L, K, 2, M)."""
    ahead = np.concatenate([alive.now, alive.ahead], axis=3)
    sound = np.concatenate([alive.sound_now, alive.sound_ahead], axis=3)
    inside = (fits.due[..., None] >= grid.future)[:, None, :, None, :]
    cut = np.where(inside, _by_state(sound, ahead), _at_due(grid, fits, alive))  # (L, K, J, 2, M + 1)
    weighted = masses[..., None, None] * cut
    return np.asarray((weighted[..., :-1] - weighted[..., 1:]).sum(axis=2))


def _planned(grid: Grid, fits: Fits, alive: Alive, shares: DueShares, masses: Floats) -> Floats:
    """Parts sound and degraded today that reach their planned date in each slot, (L, K, 2, M + 1)."""
    planned: Floats = np.einsum("lkj,lkjs,ljm->lksm", masses, _at_due(grid, fits, alive)[..., 0], shares.ahead)
    now = _by_state(alive.sound_now, alive.now)[..., 0]
    on = masses * (1.0 - grid.kept[:, None, None])
    planned[..., 0] = np.einsum("lkj,lkjs,lj->lks", on, now, shares.ahead[..., 0])
    return planned
