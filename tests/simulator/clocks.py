"""The two clocks of a weak point as rising lines: years against kilometres and against effective age."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Line:
    """A line that never falls, through (at, value); beyond the last knot it goes on straight."""

    at: tuple[float, ...]
    value: tuple[float, ...]

    def __call__(self, time: ArrayLike) -> Floats:
        """Value at each time."""
        return _follow(np.asarray(self.at), np.asarray(self.value), np.asarray(time, dtype=float))

    def when(self, value: ArrayLike) -> Floats:
        """First time at which the line reaches each value; infinite where it never does."""
        at, up = np.asarray(self.at), np.asarray(self.value)
        wanted = np.asarray(value, dtype=float)
        right = np.clip(np.searchsorted(up, wanted, side="left"), 1, len(up) - 1)
        rise = up[right] - up[right - 1]
        with np.errstate(divide="ignore", invalid="ignore"):
            share = np.where(wanted <= up[right - 1], 0.0, (wanted - up[right - 1]) / rise)
            return at[right - 1] + share * (at[right] - at[right - 1])


def _follow(at: Floats, value: Floats, time: Floats) -> Floats:
    right = np.clip(np.searchsorted(at, time, side="left"), 1, len(at) - 1)
    slope = (value[right] - value[right - 1]) / (at[right] - at[right - 1])
    return np.asarray(value[right - 1] + slope * (time - at[right - 1]))


@dataclass(frozen=True)
class Stretch:
    """Between two times a clock runs `factor` times as fast."""

    start: float
    end: float
    factor: float


def hurried(base: Line, stretches: Iterable[Stretch], until: float) -> Line:
    """The line whose slope is that of `base` times the product of all factors in force."""
    stretches = tuple(stretches)
    edges = sorted({*base.at, until, *(e for s in stretches for e in (s.start, s.end))} - {np.inf, -np.inf})
    edges = [edge for edge in edges if base.at[0] <= edge <= until]
    value = [float(base.value[0])]
    for left, right in pairwise(edges):
        middle = (left + right) / 2
        factor = float(np.prod([s.factor for s in stretches if s.start <= middle < s.end]))
        value.append(value[-1] + factor * float(base(right) - base(left)))
    return Line(tuple(edges), tuple(value))
