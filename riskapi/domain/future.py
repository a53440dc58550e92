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

from riskapi.domain.lane import Indices
from riskapi.domain.new_parts import NewParts, slot_times
from riskapi.domain.renewal import Past
from riskapi.domain.timeline import Floats

SHORTEST_CELL = 1e-6  # [years]
SMALLEST = 1e-12  # mass below which higher counts of a lane are left out
LONGEST = 60
STARTS = 4  # sound, degraded, faulty, and a part renewed on day 0


def future_edges(now: float, years: float, also: float | None = None) -> Floats:
    """Half years from today to the end of the ownership period, and `also` [years ahead]; [years since build]."""
    halves = max(1, int(np.ceil(2.0 * years - 1e-9)))
    edges = now + np.minimum(np.arange(halves + 1) / 2.0, years)
    if also is None or np.abs(edges - (now + also)).min() < SHORTEST_CELL:
        return edges
    return np.sort(np.append(edges, now + also))


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


def counts(before: Past, new: NewParts, future: Floats, horizons: Sequence[int], rate: float) -> Counts:
    """Play the ownership period; `horizons` are indices into `future`, `rate` the real discount rate per year."""
    starts, step = _starts(before, future.size), new.fail
    discount = (1.0 + rate) ** -(slot_times(future) - future[0])
    total = np.concatenate([before.state, np.ones((*before.state.shape[:2], 1))], axis=2)
    by = np.array([np.arange(future.size) <= h for h in horizons], dtype=float)
    sums = np.append(by, [discount], axis=0)
    failures = _arrivals(starts.fail, starts.plan + starts.day_zero, step, new.plan, new.serviced, sums)
    renewals = _renewals(starts, new, step, discount)
    pmf = np.moveaxis(_pmf(failures[..., :-1], total[..., None]), 3, 2)
    worth = np.stack([failures[..., -1].sum(axis=0), renewals[..., -1].sum(axis=0)], axis=3)
    return Counts(pmf, _pmf(renewals[..., 0], total), worth)


def paired_counts(before: Past, new: NewParts, future: Floats, early: int, copies: int) -> tuple[Floats, int]:
    """Numbers of failures in service up to the edge `early` of `future`, and later, as pairs; up to `copies` add up.

    The pair (m, n) is the number m + base n, base above every m of all copies together: pairs then add up as numbers
    do. Returns joint masses like `Counts.pmf` over the whole period, (L, K, 1, 4, N), and the base.
    """
    starts, step, slots = _starts(before, future.size), new.fail, np.eye(future.size)
    any_time = _arrivals(starts.fail, starts.plan + starts.day_zero, step, new.plan, new.serviced, slots)
    soon, after = any_time.copy(), np.arange(future.size) > early
    soon[..., after] = 0.0
    total = np.concatenate([before.state, np.ones((*before.state.shape[:2], 1))], axis=2)
    number = _pmf(soon.sum(axis=4), total)
    nothing = np.zeros_like(starts.fail)
    blocks = []
    for m in range(number.shape[-1]):
        then = any_time if m == 0 else _arrivals(nothing, soon[m - 1], step, new.plan, new.serviced, slots, most=1)
        late = _arrivals(np.where(after, then[0], 0.0), nothing, step, new.plan, new.serviced, slots)
        blocks.append(_pmf(late.sum(axis=4), number[..., m]))
    base = copies * (number.shape[-1] - 1) + 1
    pairs = np.zeros((*total.shape, max(block.shape[-1] for block in blocks), base))
    for m, block in enumerate(blocks):
        pairs[..., : block.shape[-1], m] = block
    return pairs.reshape(*total.shape, -1)[:, :, None], base


def _renewals(starts: _Starts, new: NewParts, step: Floats, discount: Floats) -> Floats:
    """Masses of the n-th planned renewal, and the same discounted, (N, L, K, 4, 2); only some lanes have any."""
    serviced = new.serviced
    if not serviced:
        return np.zeros((1, *starts.fail.shape[:3], 2))
    first, fitted = starts.plan[serviced], (starts.fail + starts.day_zero)[serviced]
    every, sums = list(range(len(serviced))), np.array([np.ones_like(discount), discount])
    some = _arrivals(first, fitted, new.plan, step[serviced], every, sums)
    renewals = np.zeros((some.shape[0], *starts.fail.shape[:3], 2))
    renewals[:, serviced] = some
    return renewals


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


def _arrivals(
    first: Floats,
    fitted: Floats,
    step: Floats,
    by_the_way: Floats,
    passing: list[int],
    sums: Floats,
    most: int = LONGEST,
) -> Floats:
    """Masses of the n-th event (n = 1, 2, .. `most`), summed over the slots with the weights `sums` (Q, M + 1); shape
    (N, L, K, 4, Q).

    A new part starts at `fitted`; `step` leads from a new part to the next event that is counted, `by_the_way`, of the
    lanes `passing` alone, to one that is not and fits a new part too. `first` are first events of old parts.
    """
    closure = np.linalg.inv(np.eye(step.shape[-1]) - by_the_way) if passing else None

    def close(mass: Floats, lanes: Indices) -> Floats:
        if closure is not None:
            here, place = np.nonzero(lanes[:, None] == np.array(passing))
            mass = mass.copy()
            mass[here] = mass[here] @ closure[place]
        return mass

    lanes = np.arange(len(first))
    mass = first + close(fitted, lanes) @ step
    arrived = [mass @ sums.T]
    while len(arrived) < most:
        going = mass.max(axis=(1, 2, 3), initial=0.0) > SMALLEST
        if not going.any():
            break
        mass, lanes = mass[going], lanes[going]
        mass = close(mass, lanes) @ step[lanes]
        arrived.append(np.zeros_like(arrived[0]))
        arrived[-1][lanes] = mass @ sums.T
    return np.array(arrived)


def _pmf(at_least: Floats, total: Floats) -> Floats:
    """Joint masses of exactly n events from those of at least n = 1, 2, ..; (N, L, ..) -> (L, .., N + 1)."""
    total = np.broadcast_to(total, at_least.shape[1:])
    ladder = np.concatenate([total[None], at_least, np.zeros_like(at_least[:1])])
    return np.moveaxis(np.maximum(ladder[:-1] - ladder[1:], 0.0), 0, -1)
