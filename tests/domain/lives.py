"""A plain simulation of one part's past at a steady rate: renewal after failure, planned dates, a told renewal, a look.

It plays lane by lane what the renewal recursion computes, event by event, and shares no code with it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.random import Generator

from riskapi.domain.knowledge import LifeMode, PartRevision
from riskapi.domain.lane import Lane

MOST_RENEWALS = 40


@dataclass
class Played:
    """Per car: state today (0, 1, 2) and the likelihood of what the look read."""

    state: np.ndarray
    weight: np.ndarray

    def mass(self, state: int) -> tuple[float, float]:
        """Joint mass of a state with the history, and its standard error."""
        values = self.weight * (self.state == state)
        return float(values.mean()), float(values.std() / np.sqrt(values.size))


def play(lane: Lane, rate: float, cars: int, rng: Generator) -> Played:
    """Histories of `cars` cars driven `rate` [km/year] all their life; the part on sale never changes."""
    now, planned = lane.timeline.now, lane.parts[0].planned
    fitted = np.full(cars, lane.start)
    done = np.zeros(cars, dtype=bool)
    state, weight = np.zeros(cars, dtype=int), np.ones(cars)
    told = rng.random(cars) < lane.told.chance if lane.told else np.zeros(cars, dtype=bool)
    for _ in range(MOST_RENEWALS):
        lives = _lives(lane.parts[0], cars, rng)
        failed = fitted + np.minimum(lives[0] / rate, lives[1])
        due = np.full(cars, np.inf)
        if planned is not None:
            kilometres = np.inf if planned.distance_km is None else planned.distance_km / rate
            due = fitted + min(kilometres, np.inf if planned.age_years is None else planned.age_years)
        renewed_as_planned = (rng.random(cars) < lane.kept) & (due <= failed)
        mended = np.where(rng.random(cars) < lane.left, np.inf, failed + lane.delay)
        if lane.never_renewed:  # then what would have been repaired by now cannot have happened
            weight[mended <= now] = 0.0
            mended = np.full(cars, np.inf)
        gone = np.where(renewed_as_planned, due, mended)
        if lane.told:
            gone = np.where(told & (fitted < lane.told.t) & (gone > lane.told.t), lane.told.t, gone)
        for look in lane.looks:
            there = ~done & (fitted <= look.t) & (look.t < gone)
            then = _states(lane, rate, look.t, fitted, failed, lives)
            weight[there] *= np.array(look.likelihood)[then[there]]
        last = ~done & (gone > now)
        state[last] = _states(lane, rate, now, fitted, failed, lives)[last]
        done |= last
        fitted = gone
    assert done.all()
    return Played(state, weight)


def _states(
    lane: Lane, rate: float, t: float, fitted: np.ndarray, failed: np.ndarray, lives: tuple[np.ndarray, np.ndarray]
) -> np.ndarray:
    """State at time t of parts fitted then; sound when neither clock runs out within its P-F interval."""
    sound = (lives[0] > rate * (t - fitted) + lane.pf_y) & (lives[1] > t - fitted + lane.pf_z)
    return np.where(failed <= t, 2, np.where(sound, 0, 1))


def _lives(part: PartRevision, cars: int, rng: Generator) -> tuple[np.ndarray, np.ndarray]:
    """When each clock runs out [km, years]."""
    flawed = rng.random(cars) < part.flaw_share
    distance, age = _clocks(part.wear, cars, rng)
    if part.flaw is not None:
        more = _clocks(part.flaw, cars, rng)
        distance = np.where(flawed, np.minimum(distance, more[0]), distance)
        age = np.where(flawed, np.minimum(age, more[1]), age)
    return distance, age


def _clocks(mode: LifeMode | None, cars: int, rng: Generator) -> tuple[np.ndarray, np.ndarray]:
    clocks = (None, None) if mode is None else (mode.distance, mode.age)
    return tuple(
        np.full(cars, np.inf) if clock is None else clock.scale * rng.weibull(clock.shape, cars) for clock in clocks
    )  # type: ignore[return-value]
