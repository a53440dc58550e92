"""Lifetimes: competing Weibull clocks, a share that carries a flaw, wear-out of all, and doubt about the scale.

    S = (1 - p + p exp(-H_flaw)) exp(-H_wear),   H = (distance / eta_y)**beta_y + (age / eta_t)**beta_t

(generalised limited failure population, Chan & Meeker 1999). Doubt: ln eta is normal about the stated scale
with sigma = ln(spread) / 1.2816, common to both clocks of a mode; NODES equal-probability nodes stand for it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy.special import ndtri

from riskapi.domain.knowledge import LifeMode, PartRevision, Weibull
from riskapi.domain.timeline import Floats

Indices = npt.NDArray[np.intp]

Z80 = 1.2815515655446004  # 90 % quantile of the standard normal: 80 % lie within +-Z80
NODES = 8
CHUNK = 6  # lanes computed together, so that their arrays stay in the processor's cache


def doubt_nodes(count: int = NODES) -> Floats:
    """Means of `count` equal-probability slices of the standard normal, scaled to unit variance; shape (count,).

    With one node the doubt is left out (the node is 0).
    """
    if count == 1:
        return np.zeros(1)
    edges = ndtri(np.linspace(0.0, 1.0, count + 1))
    density = np.exp(-0.5 * edges**2) / math.sqrt(2.0 * math.pi)
    means = -np.diff(density) * count
    return np.asarray(means / math.sqrt(float(np.mean(means**2))))


@dataclass(frozen=True, slots=True)
class ModeArrays:
    """Parameters of one mode for a batch of parts, each shape (...,): shapes, 1 / scales, log-scale doubt."""

    shape_y: Floats
    inverse_y: Floats
    shape_z: Floats
    inverse_z: Floats
    sigma: Floats


@dataclass(frozen=True, slots=True)
class LifeArrays:
    """Parameters of a batch of part revisions; `share` is p."""

    share: Floats
    flaw: ModeArrays
    wear: ModeArrays

    def take(self, index: Indices) -> LifeArrays:
        """Of parameters in one row those at `index` (any shape)."""
        return LifeArrays(self.share[index], _take(self.flaw, index), _take(self.wear, index))

    def row(self, i: int) -> LifeArrays:
        """Of parameters (L, J) the lane i, as (1, J)."""
        index = np.array([i])
        return LifeArrays(self.share[index], _take(self.flaw, index), _take(self.wear, index))


def life_arrays(parts: list[PartRevision]) -> LifeArrays:
    """Stack part revisions; an absent mode or clock has 1 / scale = 0, so its hazard is 0."""
    return LifeArrays(
        share=np.array([part.flaw_share if part.flaw else 0.0 for part in parts]),
        flaw=_modes([part.flaw for part in parts]),
        wear=_modes([part.wear for part in parts]),
    )


def _modes(modes: list[LifeMode | None]) -> ModeArrays:
    rows = [_mode_row(mode) for mode in modes]
    columns = [np.array(column) for column in zip(*rows, strict=True)]
    return ModeArrays(*columns)


def _mode_row(mode: LifeMode | None) -> tuple[float, float, float, float, float]:
    if mode is None:
        return (1.0, 0.0, 1.0, 0.0, 0.0)
    return (*_clock(mode.distance), *_clock(mode.age), math.log(mode.spread) / Z80)


def _clock(clock: Weibull | None) -> tuple[float, float]:
    return (1.0, 0.0) if clock is None else (clock.shape, 1.0 / clock.scale)


def _take(mode: ModeArrays, index: Indices | slice) -> ModeArrays:
    return ModeArrays(
        mode.shape_y[index], mode.inverse_y[index], mode.shape_z[index], mode.inverse_z[index], mode.sigma[index]
    )


def survival(life: LifeArrays, distance: Floats, age: Floats, nodes: Floats) -> Floats:
    """S for parts that have run `distance` [effective km] and `age` [effective years].

    `life` holds parameters of shape (L, J); `distance` and `age` have shape (L, J, E); returns (L, K, J, E) for
    the K doubt nodes. Negative distances and ages count as 0.
    """
    result = np.empty((distance.shape[0], nodes.size, *distance.shape[1:]))
    for first in range(0, distance.shape[0], CHUNK):
        mine = slice(first, first + CHUNK)
        few = LifeArrays(life.share[mine], _take(life.flaw, mine), _take(life.wear, mine))
        _survive(few, np.maximum(distance[mine], 0.0), np.maximum(age[mine], 0.0), nodes, result[mine])
    return result


def _survive(life: LifeArrays, distance: Floats, age: Floats, nodes: Floats, out: Floats) -> None:
    """S of a few lanes into `out`; the flaw is computed only for those that can carry one."""
    hazard = _hazard(life.wear, distance, age, nodes)
    np.exp(np.negative(hazard, out=hazard), out=out)
    flawed = np.flatnonzero(life.share.any(axis=1))
    if flawed.size:
        carried = np.expm1(-_hazard(_take(life.flaw, flawed), distance[flawed], age[flawed], nodes))
        carried *= life.share[flawed][:, None, :, None]
        carried += 1.0
        out[flawed] *= carried


def _hazard(mode: ModeArrays, distance: Floats, age: Floats, nodes: Floats) -> Floats:
    """Cumulative hazard, shape (L, K, J, E): the pow is taken once, a node only scales it by exp(-beta sigma z)."""
    total = np.zeros((distance.shape[0], nodes.size, *distance.shape[1:]))
    for shape, inverse, clock in ((mode.shape_y, mode.inverse_y, distance), (mode.shape_z, mode.inverse_z, age)):
        lanes = np.flatnonzero(inverse.any(axis=1))
        if not lanes.size:
            continue
        beta, sigma = shape[lanes], mode.sigma[lanes]
        base = (clock[lanes] * inverse[lanes][..., None]) ** beta[..., None]
        scale = np.exp(-(beta * sigma)[:, None, :] * nodes[None, :, None])
        total[lanes] += base[:, None] * scale[..., None]
    return total
