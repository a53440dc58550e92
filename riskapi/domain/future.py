"""The years of ownership: how often each part fails and is renewed, jointly with its state today.

Faulty parts are repaired on day 0; everything else runs to functional failure and is repaired at once with the
part on sale then; planned work is done when due, overdue planned work on day 0 (model: one policy).

A spend is a sum of independent repair costs, so the number of failures carries the whole distribution:
`Counts.pmf[..., f, n]` is the joint mass of f copies found faulty on day 0 and n failures in service.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from riskapi.domain.lane import Lane
from riskapi.domain.lifetime import survival
from riskapi.domain.renewal import Past
from riskapi.domain.renewal_fits import clock_points, fits_at
from riskapi.domain.timeline import Floats

SMALLEST = 1e-10  # mass below which higher counts are left out
LONGEST = 60
STARTS = 4  # sound, degraded, faulty, and a part renewed on day 0


def future_edges(now: float, years: float) -> Floats:
    """Half years from today to the end of the ownership period [years since build]."""
    halves = max(1, int(np.ceil(2.0 * years - 1e-9)))
    return now + np.minimum(np.arange(halves + 1) / 2.0, years)


@dataclass(frozen=True, slots=True)
class Counts:
    """Joint masses per lane and start (sound, degraded, faulty, renewed on day 0).

    pmf: (L, K, H, 4, N) number of failures in service by each horizon; planned: (L, K, 4, P) number of planned
    renewals over the whole period; worth: (L, K, 4, 2) expected present number of failures in service and of
    planned renewals, each weighted with its discount factor.
    """

    pmf: Floats
    planned: Floats
    worth: Floats


def counts(
    lanes: Sequence[Lane], before: Past, nodes: Floats, future: Floats, horizons: Sequence[int], rate: float
) -> Counts:
    """Play the ownership period; `horizons` are indices into `future`, `rate` the real discount rate per year."""
    starts, new = _starts(before, future.size), _transitions(lanes, nodes, future)
    discount = (1.0 + rate) ** -(_slot_times(future) - future[0])
    total = np.concatenate([before.state, np.ones((*before.state.shape[:2], 1))], axis=2)
    serviced = [i for i, lane in enumerate(lanes) if any(part.planned for part in lane.parts)]
    failures = _arrivals(starts.fail, starts.plan + starts.day_zero, new.fail, new.plan, serviced)
    renewals = _renewals(starts, new, serviced)
    by_horizon = np.stack([_pmf(failures[..., : h + 1].sum(axis=4), total) for h in horizons], axis=2)
    worth = np.stack([(failures @ discount).sum(axis=0), (renewals @ discount).sum(axis=0)], axis=3)
    return Counts(by_horizon, _pmf(renewals.sum(axis=4), total), worth)


def _renewals(starts: _Starts, new: _Transitions, serviced: list[int]) -> Floats:
    """Masses of the n-th planned renewal per slot, (N, L, K, 4, M + 1); only some lanes have any."""
    if not serviced:
        return np.zeros((1, *starts.fail.shape))
    first, fitted = starts.plan[serviced], (starts.fail + starts.day_zero)[serviced]
    some = _arrivals(first, fitted, new.plan[serviced], new.fail[serviced], list(range(len(serviced))))
    renewals = np.zeros((some.shape[0], *starts.fail.shape))
    renewals[:, serviced] = some
    return renewals


def _slot_times(future: Floats) -> Floats:
    """Slot 0 is day 0, slot m the middle of cell m - 1."""
    return np.concatenate([future[:1], 0.5 * (future[1:] + future[:-1])])


@dataclass(frozen=True, slots=True)
class _Transitions:
    """Chances that a part fitted in slot i first fails, or first falls due, in slot e; (L, K, M + 1, M + 1) each."""

    fail: Floats
    plan: Floats


def _transitions(lanes: Sequence[Lane], nodes: Floats, future: Floats) -> _Transitions:
    s = np.broadcast_to(_slot_times(future), (len(lanes), future.size))
    part = np.array([lane.parts_at(row) for lane, row in zip(lanes, s, strict=True)])
    fits = fits_at(lanes, s, part)
    y, z = (clock[:, None] for clock in clock_points(lanes, np.broadcast_to(future, (len(lanes), future.size))))
    shape = (*s.shape, future.size)
    points_y = np.concatenate([np.broadcast_to(y, shape), fits.due_y[..., None]], axis=2) - fits.y[..., None]
    points_z = np.concatenate([np.broadcast_to(z, shape), fits.due_z[..., None]], axis=2) - fits.z[..., None]
    alive = survival(fits.life, points_y, points_z, nodes)
    ahead, at_due = alive[..., :-1], alive[..., -1:]
    cut = np.where((fits.due[..., None] >= future)[:, None], ahead, at_due)
    fail = np.zeros((*cut.shape[:3], future.size))
    fail[..., 1:] = cut[..., :-1] - cut[..., 1:]
    slot = np.maximum(np.searchsorted(future, fits.due, side="left"), np.arange(future.size) + 1)
    plan = at_due * (slot[..., None] == np.arange(future.size))[:, None]
    return _Transitions(fail, plan)


@dataclass(frozen=True, slots=True)
class _Starts:
    """First failures, first planned renewals, and repairs on day 0, per start; (L, K, 4, M + 1) each."""

    fail: Floats
    plan: Floats
    day_zero: Floats


def _starts(before: Past, slots: int) -> _Starts:
    lanes, nodes = before.state.shape[:2]
    fails, plans, day_zero = (np.zeros((lanes, nodes, STARTS, slots)) for _ in range(3))
    fails[:, :, :2, 1:] = before.fails
    plans[:, :, :2] = before.planned
    day_zero[:, :, 2, 0] = before.state[..., 2]
    day_zero[:, :, 3, 0] = 1.0
    return _Starts(fails, plans, day_zero)


def _arrivals(first: Floats, fitted: Floats, step: Floats, by_the_way: Floats, passing: list[int]) -> Floats:
    """Masses of the n-th event (n = 1, 2, ..) per slot, shape (N, L, K, 4, M + 1).

    A new part starts at `fitted`; `step` leads from a new part to the next event that is counted, `by_the_way`
    to one that is not and fits a new part too (only in the lanes `passing`). `first` are first events of old parts.
    """
    closure = np.linalg.inv(np.eye(step.shape[-1]) - by_the_way[passing]) if passing else None

    def close(mass: Floats) -> Floats:
        if closure is not None:
            mass = mass.copy()
            mass[passing] = mass[passing] @ closure
        return mass

    arrived = [first + close(fitted) @ step]
    while arrived[-1].max() > SMALLEST and len(arrived) < LONGEST:
        arrived.append(close(arrived[-1]) @ step)
    return np.array(arrived)


def _pmf(at_least: Floats, total: Floats) -> Floats:
    """Joint masses of exactly n events from those of at least n = 1, 2, ..; (N, L, K, 4) -> (L, K, 4, N + 1)."""
    ladder = np.concatenate([total[None], at_least, np.zeros_like(at_least[:1])])
    return np.moveaxis(np.maximum(ladder[:-1] - ladder[1:], 0.0), 0, -1)
