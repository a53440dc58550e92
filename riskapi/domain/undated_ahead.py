"""First failures after today of parts without planned dates, from what is known of their past.

Of such parts only sums over all times of fitting matter, and of these

    sound today, not failed by t:   what is sound today, while t lies before the P-F point of today on both clocks;
                                    what has not failed by t, once it lies beyond it on both

so that only moments in between need a survival of their own. Past looks (riskapi.domain.past_looks_ahead) come down to
other masses of the parts that are summed. So does the extrapolation from a grid and its half, which is linear: parts of
both are summed together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from riskapi.domain.lane import Lane
from riskapi.domain.lifetime import LifeArrays, survival
from riskapi.domain.past_looks_ahead import far_of_look, look_weights
from riskapi.domain.renewal import COARSE, FINE
from riskapi.domain.renewal_alive import Alive
from riskapi.domain.renewal_fits import Fits, Indices, clock_points
from riskapi.domain.renewal_grid import Grid
from riskapi.domain.timeline import Floats

Bools = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Undated:
    """Of lanes without planned dates: `masses` (L, K, 2, J) with which survivals are summed for those not failed and
    those sound today; these sums today (L, K); the P-F point of today on both clocks (L, 1); and for the lanes `looked`
    that saw looks the masses (looks, L', K, J) with which parts sound at each look are summed for those not failed.
    The parts (L, J) were new at `start` on both clocks and live `life`."""

    start: tuple[Floats, Floats]
    life: LifeArrays
    masses: Floats
    running: Floats
    sound: Floats
    far: tuple[Floats, Floats]
    looked: Indices
    by_look: Floats

    def first_events(self, lanes: Sequence[Lane], future: Floats, nodes: Floats) -> tuple[Floats, Floats]:
        """Parts sound and degraded today that fail first in each future cell (L, K, 2, M); none falls due
        (L, K, 2, M + 1)."""
        size = future.size - 1
        clocks = clock_points(lanes, np.broadcast_to(future[1:], (len(lanes), size)))
        beyond = (clocks[0] >= self.far[0]) & (clocks[1] >= self.far[1])
        before = (clocks[0] <= self.far[0]) & (clocks[1] <= self.far[1])
        between = _first_places(~beyond & ~before)
        points = [
            np.concatenate([clock, np.maximum(np.take_along_axis(clock, between, axis=1), far)], axis=1)
            for clock, far in zip(clocks, self.far, strict=True)
        ]
        sums = self.masses @ self._survival(points, np.arange(len(lanes)), nodes)
        running, sound = sums[:, :, 0, :size], np.where(before[:, None], self.sound[..., None], sums[:, :, 1, :size])
        np.put_along_axis(sound, np.repeat(between[:, None], sound.shape[1], axis=1), sums[:, :, 1, size:], axis=2)
        if self.looked.size:
            running[self.looked] += self._by_look([lanes[i] for i in self.looked], clocks, nodes)
        return _first(np.concatenate([self.running[..., None], running], axis=2), self.sound, sound)

    def _by_look(self, lanes: Sequence[Lane], clocks: tuple[Floats, Floats], nodes: Floats) -> Floats:
        """What those sound at each look add to those not failed, (L', K, M)."""
        total = np.zeros(())
        for k, masses in enumerate(self.by_look):
            points = [
                np.maximum(clock[self.looked], far) for clock, far in zip(clocks, far_of_look(lanes, k), strict=True)
            ]
            total = total + (masses[:, :, None] @ self._survival(points, self.looked, nodes))[:, :, 0]
        return np.asarray(total)

    def _survival(self, clocks: Sequence[Floats], mine: Indices, nodes: Floats) -> Floats:
        """Survival (L', K, J, E) of the parts of these lanes up to readings of both clocks (L', E)."""
        y, z = (clock[:, None] - start[mine][..., None] for clock, start in zip(clocks, self.start, strict=True))
        return survival(self.life.take(mine), y, z, nodes)

    def extrapolated_from(self, coarse: Undated) -> Undated:
        """This grid and the one of twice its cells together, as riskapi.domain.renewal.extrapolated weighs them."""

        def both(fine: Floats, rough: Floats) -> Floats:
            return np.concatenate([fine * FINE, rough * COARSE], axis=-1)

        def both_at(clock: int) -> Floats:
            return np.concatenate([self.start[clock], coarse.start[clock]], axis=1)

        return replace(
            self,
            start=(both_at(0), both_at(1)),
            life=self.life.beside(coarse.life),
            masses=both(self.masses, coarse.masses),
            running=FINE * self.running + COARSE * coarse.running,
            sound=FINE * self.sound + COARSE * coarse.sound,
            by_look=both(self.by_look, coarse.by_look),
        )


def undated_of(grid: Grid, fits: Fits, alive: Alive, masses: Floats) -> Undated:
    """What no plan changes for lanes without planned dates; `masses` (L, K, J) of the parts still in the car."""
    looked = np.array([i for i, lane in enumerate(grid.lanes) if lane.looks], dtype=np.intp)
    rows, by_look = np.stack([masses, masses], axis=2), np.zeros((0, 0, *masses.shape[1:]))
    if looked.size:
        weights = look_weights([grid.lanes[i] for i in looked], fits.s[looked])[:, :, None]
        rows[looked, :, 0] *= weights[0]
        rows[looked, :, 1] *= weights.sum(axis=0)
        by_look = weights[1:] * masses[looked]
    y, z = clock_points(grid.lanes, grid.now[:, None])
    far = y + np.array([[lane.pf_y] for lane in grid.lanes]), z + np.array([[lane.pf_z] for lane in grid.lanes])
    running, sound = ((masses * each[..., 0]).sum(axis=2) for each in (alive.now, alive.sound_now))
    return Undated((fits.y, fits.z), fits.life, rows, running, sound, far, looked, by_look)


def _first(running: Floats, sound_now: Floats, sound: Floats) -> tuple[Floats, Floats]:
    """First failures in every cell from what has not failed by its edges, (L, K, M + 1)."""
    still_sound = np.concatenate([sound_now[..., None], sound], axis=2)
    ahead = np.stack([still_sound, running - still_sound], axis=2)
    return ahead[..., :-1] - ahead[..., 1:], np.zeros(ahead.shape)


def _first_places(wanted: Bools) -> Indices:
    """Places of what is wanted in each row, as many as in the row with most; the others get any besides."""
    return np.argsort(~wanted, axis=1, kind="stable")[:, : int(wanted.sum(axis=1).max(initial=0))]
