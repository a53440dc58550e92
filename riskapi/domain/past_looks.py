"""A look in the past ('checked and fine at 90,000 km') weighs lifetimes by the state they had then.

Let a be the time of the look and l_s, l_d, l_f the likelihood of its result given sound, degraded, faulty at a.
For a part that was there at a, with S(t) = P(T > t) and S'(t) = P(T > t, sound at a) = S(max(t, P-F point of a)),
the joint of the result with 'not failed by t' is

    W(t) = l_d S(t) + (l_s - l_d) S'(t)             t >= a
    W(t) = W(a) + l_f (S(t) - S(a))                 t <  a: failed before a, still waiting for repair at a
    W(t) = W(a - w) + S(t) - S(a - w)               t <  a - w: failed and was repaired before a, the delay w later

The last line is for failures that get repaired (then the look saw the part that came after, which carries the
likelihood); one that never gets repaired is faulty at a and the second line holds for all t < a. A part that left the
car on a planned date before a is not weighed at all. Only differences of W are ever used.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from riskapi.domain.lane import Lane, PastLook
from riskapi.domain.lifetime import survival
from riskapi.domain.renewal_alive import Alive, Survivals, before_due
from riskapi.domain.renewal_fits import Fits
from riskapi.domain.renewal_grid import Grid, edge_at
from riskapi.domain.timeline import Floats


def with_looks(grid: Grid, fits: Fits, plain: Survivals, alive: Alive) -> Alive:
    """`alive` with the looks of those lanes that have one."""
    looked = [(i, lane, lane.look) for i, lane in enumerate(grid.lanes) if lane.look is not None]
    if not looked:
        return alive
    names = ("repaired", "given_up", "due", "now", "ahead", "sound_now", "sound_ahead", "sound_due")
    arrays = {name: getattr(alive, name).copy() for name in names}
    for i, lane, look in looked:
        there = fits.s[i] < look.t
        for name, values in _weighed(_Lane(grid, fits, plain, i, lane, look), alive).items():
            arrays[name][i][:, there] = values[:, there]
    return replace(alive, **arrays)


@dataclass(frozen=True, slots=True)
class _Lane:
    """One lane (position i) of a grid with its look."""

    grid: Grid
    fits: Fits
    plain: Survivals
    i: int
    lane: Lane
    look: PastLook


def _weighed(one: _Lane, alive: Alive) -> dict[str, Floats]:
    """The fields of Alive that change, for every part as if it had been there at the look; (K, J, points) each."""
    i, grid, plain, look = one.i, one.grid, one.plain, one.look
    n, m, kept = grid.edges.shape[1], grid.future.size - 1, float(grid.kept[i])
    waiting, repaired = _joint(one)
    cuts = np.cumsum([n, 1, m])
    failed, now, ahead, due = np.split(repaired, cuts, axis=2)
    left = waiting[..., :n]
    gone = (one.fits.due[i] < look.t)[:, None]
    inside = before_due(grid, one.fits)[i]
    unseen = np.where(inside, plain.failed[i], plain.due[i])  # out of the car before the look
    stays = np.where(gone, unseen, np.where(inside, failed, due))
    left_stays = np.where(inside, left, waiting[..., -1:])
    sound = look.likelihood[0]
    return {
        "repaired": kept * stays + (1.0 - kept) * failed,
        "given_up": kept * left_stays + (1.0 - kept) * left,
        "due": np.where(gone, plain.due[i], due),
        "now": now,
        "ahead": ahead,
        "sound_now": alive.sound_now[i] * sound,
        "sound_ahead": alive.sound_ahead[i] * sound,
        "sound_due": alive.sound_due[i] * sound,
    }


def _joint(one: _Lane) -> tuple[Floats, Floats]:
    """W at all moments, (K, J, n + 1 + 1 + M + 1), for failures that wait for repair, and for those that get it."""
    i, plain, look = one.i, one.plain, one.look
    sound, degraded, faulty = look.likelihood
    times = _moments(one)
    alive = np.concatenate([plain.failed[i], plain.now[i], plain.ahead[i], plain.due[i]], axis=2)
    sound_and_alive, at_look, sound_at_look = _sound_at_look(one, times)
    level = degraded * at_look + (sound - degraded) * sound_at_look  # W(a)
    later = degraded * alive + (sound - degraded) * sound_and_alive
    waiting = np.where(times >= look.t, later, level + faulty * (alive - at_look))
    limit = edge_at(one.grid.failed[i], look.t - one.lane.delay)
    repaired = alive + (waiting - alive)[..., limit : limit + 1]
    return waiting, np.where(times >= one.grid.failed[i, limit] - 1e-12, waiting, repaired)


def _moments(one: _Lane) -> Floats:
    """Times of the columns of `_joint` for every part, (J, n + 1 + 1 + M + 1)."""
    i, grid, columns = one.i, one.grid, one.fits.s.shape[1]
    common = np.concatenate([grid.failed[i], grid.now[i : i + 1], grid.future[1:]])
    return np.concatenate([np.broadcast_to(common, (columns, common.size)), one.fits.due[i][:, None]], axis=1)


def _sound_at_look(one: _Lane, times: Floats) -> tuple[Floats, Floats, Floats]:
    """S' at the moments (K, J, points), S at the look and S' at the look (K, J, 1)."""
    i, lane, fits, columns = one.i, one.lane, one.fits, one.fits.s.shape[1]
    clocks = lane.clocks.at(np.minimum(times, lane.timeline.t[-1]))
    then = lane.clocks.at(one.look.t)
    points = []
    for clock, at_look, interval, start in zip(clocks, then, (lane.pf_y, lane.pf_z), (fits.y, fits.z), strict=True):
        far = float(at_look) + interval
        ends = np.broadcast_to([float(at_look), far], (columns, 2))
        points.append(np.concatenate([np.maximum(clock, far), ends], axis=1)[None] - start[i][None, :, None])
    life = fits.life.row(i)
    values = survival(life, points[0], points[1], one.grid.nodes)[0]
    return values[..., :-2], values[..., -2:-1], values[..., -1:]
