"""Lifetimes: competing Weibull clocks, a share that carries a flaw, wear-out of all, and doubt about the scale.

    S = (1 - p + p exp(-H_flaw)) exp(-H_wear),   H = (distance / eta_y)**beta_y + (age / eta_t)**beta_t

(generalised limited failure population, Chan & Meeker 1999). Doubt: ln eta is normal about the stated scale
with sigma = ln(spread) / 1.2816, common to both clocks of a mode; NODES equal-probability nodes stand for it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt
from scipy.special import ndtri

from riskapi.domain.knowledge import LifeMode, PartRevision, Weibull
from riskapi.domain.timeline import Floats

Indices = npt.NDArray[np.intp]

Z80 = 1.2815515655446004  # 90 % quantile of the standard normal: 80 % lie within +-Z80
NODES = 8


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
        """Of parameters in one row those at `index` (any shape); of parameters (L, J) these lanes."""
        return LifeArrays(self.share[index], _take(self.flaw, index), _take(self.wear, index))

    def beside(self, other: LifeArrays) -> LifeArrays:
        """Of parameters (L, J) and others of the same lanes all in one, (L, J + J')."""
        return LifeArrays(
            _beside(self.share, other.share),
            *(
                ModeArrays(*(_beside(getattr(one, f.name), getattr(two, f.name)) for f in fields(ModeArrays)))
                for one, two in ((self.flaw, other.flaw), (self.wear, other.wear))
            ),
        )

    def row(self, i: int) -> LifeArrays:
        """Of parameters (L, J) the lane i, as (1, J)."""
        return self.take(np.array([i]))


def _beside(one: Floats, other: Floats) -> Floats:
    return np.concatenate([one, other], axis=1)


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
    distance, age = np.maximum(distance, 0.0), np.maximum(age, 0.0)
    wear, flaw = _terms(life.wear, distance, age, nodes), _terms(life.flaw, distance, age, nodes)
    result = np.empty((distance.shape[0], nodes.size, *distance.shape[1:]))
    spare, carried = np.empty(result.shape[1:]), np.empty(result.shape[1:])
    for lane, share in enumerate(life.share):  # lane by lane, so that the arrays stay in the processor's cache
        _negative_hazard(wear[lane], result[lane], spare)
        np.exp(result[lane], out=result[lane])
        if share.any():
            _negative_hazard(flaw[lane], carried, spare)
            np.exp(carried, out=carried)
            carried *= share[:, None]
            carried += 1.0 - share[:, None]
            result[lane] *= carried
    return result


_Term = tuple[Floats, Floats]  # the power of a clock (J, E), and minus what each node scales it by (K, J, 1)


def _terms(mode: ModeArrays, distance: Floats, age: Floats, nodes: Floats) -> list[list[_Term]]:
    """Per lane the terms of minus its cumulative hazard, one per clock that counts.

    The power is taken once, a node only scales it by exp(-beta sigma z).
    """
    terms: list[list[_Term]] = [[] for _ in distance]
    for shape, inverse, clock in ((mode.shape_y, mode.inverse_y, distance), (mode.shape_z, mode.inverse_z, age)):
        lanes = np.flatnonzero(inverse.any(axis=1))
        beta, sigma = shape[lanes], mode.sigma[lanes]
        powers = (clock[lanes] * inverse[lanes][..., None]) ** beta[..., None]
        scales = -np.exp(-(beta * sigma)[:, None, :] * nodes[None, :, None])[..., None]
        for lane, power, scale in zip(lanes, powers, scales, strict=True):
            terms[lane].append((power, scale))
    return terms


def _negative_hazard(terms: list[_Term], out: Floats, spare: Floats) -> None:
    """The sum of the terms into `out` (K, J, E); `spare` is room of the same size."""
    if not terms:
        out[...] = 0.0
    for i, (power, scale) in enumerate(terms):
        np.multiply(power, scale, out=spare if i else out)
        if i:
            out += spare
