"""Looks in the past ('checked and fine at 90,000 km') weigh lifetimes by the states they had then.

Let a_1 < .. < a_r be the looks that saw a part, and s_k, d_k, f_k the likelihoods of their results given sound,
degraded, faulty then. With S(t) = P(T > t) and S_p(t) = P(T > t, still sound at a_p), a part that runs at the first q
of them has the joint with 'not failed by t'

    V_q(t) = sum over p <= q of  s_1 .. s_p  d_(p+1) .. d_q  P(T > t, sound at a_p and at no later one)

since nothing gets better by itself. A failure at u that waits for repair is faulty at every later look; one that gets
repaired is faulty until u + w, and the looks after that saw the part that came then. So

    W(t) = integral over u > t of  f (product over the looks at which it was faulty)  times  -dV_q(u),  q looks before u

is a sum of differences of V between the moments a_k and a_k - w. A part that left the car on a planned date, or by a
told renewal, saw the looks before that date only. Only differences of W are ever used.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import prod

import numpy as np

from riskapi.domain.lane import Indices, Lane
from riskapi.domain.lifetime import survival
from riskapi.domain.renewal_alive import Alive, Survivals, before_due
from riskapi.domain.renewal_fits import Fits
from riskapi.domain.renewal_grid import Grid
from riskapi.domain.timeline import Floats

CHANGED = (
    "repaired", "given_up", "unseen", "unseen_left", "due", "unseen_due", "now", "ahead", "sound_now", "sound_ahead",
    "sound_due",
)  # fmt: skip


def with_looks(grid: Grid, fits: Fits, plain: Survivals, alive: Alive) -> Alive:
    """`alive` with the looks of those lanes that have some."""
    looked = [(i, lane) for i, lane in enumerate(grid.lanes) if lane.looks]
    if not looked:
        return alive
    arrays = {name: getattr(alive, name).copy() for name in CHANGED}
    for i, lane in looked:
        for name, values in _weighed(_Seen(grid, fits, plain, i, lane), alive).items():
            arrays[name][i] = values
    return replace(alive, **arrays)


def _weighed(one: _Seen, alive: Alive) -> dict[str, Floats]:
    """The fields of Alive that change; (K, J, points) each."""
    i, lane, count = one.i, one.lane, len(one.lane.looks)
    every = np.full(one.first.size, count)
    planned = one.looks_until(one.fits.due[i])
    waiting, repaired = one.joint(every)
    failed, now, ahead, _ = one.parted(repaired)
    in_car = one.parted(one.joint(planned)[1])
    fields = {"now": now, "ahead": ahead, "due": in_car[3]}
    fields["repaired"], fields["given_up"] = _kept(one, failed, in_car, waiting)
    if lane.told is not None:
        told = np.full(one.first.size, sum(look.t < lane.told.t for look in lane.looks))
        left, mended = one.joint(told)
        in_car = one.parted(one.joint(np.minimum(planned, told))[1])
        fields["unseen"], fields["unseen_left"] = _kept(one, one.parted(mended)[0], in_car, left)
        fields["unseen_due"] = in_car[3]
    sound = np.array([prod(look.likelihood[0] for look in lane.looks[first:]) for first in one.first])[None, :, None]
    return fields | {name: getattr(alive, name)[i] * sound for name in ("sound_now", "sound_ahead", "sound_due")}


def _kept(one: _Seen, failed: Floats, in_car: Sequence[Floats], waiting: Floats) -> tuple[Floats, Floats]:
    """'repaired' and 'given_up' of Alive: constant from the planned date on where owners keep it; `in_car` is what the
    looks up to that date say."""
    kept = float(one.grid.kept[one.i])
    left = one.parted(waiting)[0]
    if not kept:
        return failed, left
    inside = before_due(one.grid, one.fits)[one.i]
    stays = np.where(inside, in_car[0], in_car[3])
    left_stays = np.where(inside, left, waiting[..., -1:])
    return kept * stays + (1.0 - kept) * failed, kept * left_stays + (1.0 - kept) * left


class _Seen:
    """One lane (position i) of a grid with its looks, and the survival of its parts at every moment that matters.

    The moments are those of Survivals (failed, now, ahead, due), then the looks, then the delay before each.
    """

    def __init__(self, grid: Grid, fits: Fits, plain: Survivals, i: int, lane: Lane) -> None:
        self.grid, self.fits, self.plain, self.i, self.lane = grid, fits, plain, i, lane
        self.first = self.looks_until(fits.s[i])  # how many looks came before each part
        looks = np.array([look.t for look in lane.looks])
        self.breaks = np.concatenate([looks, np.maximum(looks - lane.delay, lane.start)])
        columns = fits.s.shape[1]
        common = np.concatenate([grid.failed[i], grid.now[i : i + 1], grid.future[1:]])
        spread = np.broadcast_to(common, (columns, common.size))
        self.times = np.concatenate([spread, fits.due[i][:, None]], axis=1)
        self._alive, self._sound = self._survivals()

    def looks_until(self, times: Floats) -> Indices:
        """How many looks there were up to each of these times."""
        return np.asarray(np.searchsorted(np.array([look.t for look in self.lane.looks]), times, side="right"))

    def parted(self, values: Floats) -> Sequence[Floats]:
        """Columns of the moments as failed, now, ahead, due."""
        return np.split(values, np.cumsum([self.grid.edges.shape[1], 1, self.grid.future.size - 1]), axis=2)

    def joint(self, ends: Indices) -> tuple[Floats, Floats]:
        """W at all moments (K, J, points) for failures that wait for repair, and for those that get it; every part
        saw its looks up to number `ends` (J,)."""
        shape = self._alive[..., : self.times.shape[1]]
        waiting, repaired = shape.copy(), shape.copy()
        for window in set(zip(self.first.tolist(), ends.tolist(), strict=True)):
            mine = (self.first == window[0]) & (ends == window[1])
            if window[0] < window[1]:
                waiting[:, mine] = _Window(self, *window, mine).joint(repaired=False)
                repaired[:, mine] = _Window(self, *window, mine).joint(repaired=True)
        return waiting, repaired

    def survivals(self, mine: Floats) -> tuple[Floats, list[Floats]]:
        """S and S_p of every look at all moments and breaks, of these parts."""
        return self._alive[:, mine], [sound[:, mine] for sound in self._sound]

    def _survivals(self) -> tuple[Floats, list[Floats]]:
        i, lane, columns = self.i, self.lane, self.fits.s.shape[1]
        breaks = np.broadcast_to(self.breaks, (columns, self.breaks.size))
        times = np.concatenate([self.times, breaks], axis=1)
        clocks = lane.clocks.at(np.minimum(times, lane.timeline.t[-1]))
        moments = [self.plain.failed[i], self.plain.now[i], self.plain.ahead[i], self.plain.due[i]]
        at_breaks = self._survival([clock[:, self.times.shape[1] :] for clock in clocks])
        sound = []
        for look in lane.looks:
            far = [float(c) + pf for c, pf in zip(lane.clocks.at(look.t), (lane.pf_y, lane.pf_z), strict=True)]
            sound.append(self._survival([np.maximum(clock, end) for clock, end in zip(clocks, far, strict=True)]))
        return np.concatenate([*moments, at_breaks], axis=2), sound

    def _survival(self, clocks: Sequence[Floats]) -> Floats:
        """Survival (K, J, points) of every part up to these readings of both clocks (J, points)."""
        i, fits = self.i, self.fits
        points = [(clock - start[i][:, None])[None] for clock, start in zip(clocks, (fits.y, fits.z), strict=True)]
        return np.asarray(survival(fits.life.row(i), points[0], points[1], self.grid.nodes)[0])


class _Window:
    """The parts `mine` of a lane, all of which saw the looks first .. last - 1."""

    def __init__(self, seen: _Seen, first: int, last: int, mine: Floats) -> None:
        self._looks = seen.lane.looks[first:last]
        self._alive, sound = seen.survivals(mine)
        self._sound = sound[first:last]
        self._times, self._delay = seen.times[mine], seen.lane.delay
        self._at = {float(t): self._times.shape[1] + b for b, t in enumerate(seen.breaks)}
        self._before = [float(t) for t in seen.breaks[len(seen.lane.looks) :][first:last]]

    def joint(self, *, repaired: bool) -> Floats:
        """W at all moments."""
        breaks = sorted({look.t for look in self._looks} | (set(self._before) if repaired else set()), reverse=True)
        size = self._times.shape[1]
        result = self._running(len(self._looks))
        level = result[..., self._at[breaks[0]], None]
        result = result[..., :size]
        for high, low in zip(breaks, [*breaks[1:], -np.inf], strict=True):
            q = sum(look.t <= low for look in self._looks)
            running = self._running(q)
            fell = running - running[..., self._at[high], None]
            wide = level + self._faulty(low, repaired=repaired) * fell
            result = np.where(self._times < high, wide[..., :size], result)
            if np.isfinite(low):
                level = wide[..., self._at[low], None]
        return np.asarray(result)

    def _faulty(self, low: float, *, repaired: bool) -> float:
        """Likelihood of the looks at which a failure just after `low` was faulty."""
        later = [(look, before) for look, before in zip(self._looks, self._before, strict=True) if look.t > low]
        return prod(look.likelihood[2] for look, before in later if not repaired or before <= low)

    def _running(self, q: int) -> Floats:
        """V_q at all moments and breaks."""
        looks = [look.likelihood for look in self._looks[:q]]
        paths = [prod(x[0] for x in looks[:p]) * prod(x[1] for x in looks[p:]) for p in range(q + 1)]
        result = paths[0] * self._alive
        for p in range(1, q + 1):
            result = result + (paths[p] - paths[p - 1]) * self._sound[p - 1]
        return np.asarray(result)
