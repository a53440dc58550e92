"""What looks in the past (riskapi.domain.past_looks) say of a part at moments after today.

All looks are over then, so that a part that saw r of them, the likelihoods of its results being s_k given sound and d_k
given degraded, has the joint with 'not failed by t'

    V_r(t) = w_0 P(T > t) + sum over p of (w_p - w_(p-1)) P(T > t, sound at a_p),   w_p = s_1 .. s_p d_(p+1) .. d_r
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import prod

import numpy as np

from riskapi.domain.lane import Lane
from riskapi.domain.lifetime import survival
from riskapi.domain.renewal_alive import Alive
from riskapi.domain.renewal_fits import Fits, Indices, clock_points
from riskapi.domain.renewal_grid import Grid
from riskapi.domain.timeline import Floats


def seen_ahead(grid: Grid, fits: Fits, known: Alive, plain: Alive) -> Alive:
    """`plain`, the survivals at the future edges and planned dates as if nobody had looked, with the looks of the lanes
    that have some. Planned dates before today are `known`: no plan of the buyer changes them."""
    mine = np.array([i for i, lane in enumerate(grid.lanes) if lane.looks], dtype=np.intp)
    if not mine.size:
        return plain
    weights = look_weights([grid.lanes[i] for i in mine], fits.s[mine])  # (looks + 1, L', J)
    values = np.concatenate([plain.ahead[mine], plain.due[mine]], axis=3)
    seen = weights[0][:, None, :, None] * values
    for k, weight in enumerate(weights[1:]):
        seen += weight[:, None, :, None] * _sound_at(grid, fits, mine, k)
    sound = weights.sum(axis=0)[:, None, :, None]
    ahead = (fits.due[mine] > grid.now[mine, None])[:, None, :, None]
    return replace(
        plain,
        ahead=_put(plain.ahead, mine, seen[..., :-1]),
        due=_put(plain.due, mine, np.where(ahead, seen[..., -1:], known.due[mine])),
        sound_ahead=_put(plain.sound_ahead, mine, sound * plain.sound_ahead[mine]),
        sound_due=_put(plain.sound_due, mine, sound * plain.sound_due[mine]),
    )


def _put(values: Floats, at: Indices, some: Floats) -> Floats:
    result = values.copy()
    result[at] = some
    return result


def look_weights(lanes: Sequence[Lane], fitted: Floats) -> Floats:
    """What V_r takes of P(T > t), and of the parts that were sound at each look; (looks + 1, L, J)."""
    result = np.zeros((1 + max(len(lane.looks) for lane in lanes), *fitted.shape))
    for i, lane in enumerate(lanes):
        first = np.searchsorted([look.t for look in lane.looks], fitted[i], side="right")
        for f in np.unique(first):
            seen = [look.likelihood for look in lane.looks[f:]]
            paths = [prod(x[0] for x in seen[:p]) * prod(x[1] for x in seen[p:]) for p in range(len(seen) + 1)]
            result[0, i, first == f] = paths[0]
            for p, step in enumerate(np.diff(paths)):
                result[1 + f + p, i, first == f] = step
    return result


def _sound_at(grid: Grid, fits: Fits, mine: Indices, k: int) -> Floats:
    """P(T > t, sound at look k) at the future edges and the planned date, (L', K, J, M + 1); any where there is no such
    look."""
    lanes = [grid.lanes[i] for i in mine]
    edges = clock_points(lanes, np.broadcast_to(grid.future[1:], (len(lanes), grid.future.size - 1)))
    points = []
    for far, ahead, due, start in zip(
        far_of_look(lanes, k), edges, (fits.due_y, fits.due_z), (fits.y, fits.z), strict=True
    ):
        spread = np.broadcast_to(ahead[:, None], (*due[mine].shape, ahead.shape[1]))
        stops = np.concatenate([spread, due[mine][..., None]], axis=2)
        points.append(np.maximum(stops, far[..., None]) - start[mine][..., None])
    return survival(fits.life.take(mine), points[0], points[1], grid.nodes)


def far_of_look(lanes: Sequence[Lane], k: int) -> tuple[Floats, Floats]:
    """Both clocks at the P-F point of look k, (L, 1) each; any where there is no such look."""
    y, z = clock_points(lanes, np.array([[lane.looks[min(k, len(lane.looks) - 1)].t] for lane in lanes]))
    return y + np.array([[lane.pf_y] for lane in lanes]), z + np.array([[lane.pf_z] for lane in lanes])
