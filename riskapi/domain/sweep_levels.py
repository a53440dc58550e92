"""What one parent does to the level on one axis of the sweep's array: the maximum of two independent levels.

With f the chances of a level so far and c the parent's cumulative chances, the maximum has the chances

    f'[l] = f[l] c[l] + (c[l] - c[l - 1]) (f[0] + .. + f[l - 1])

where every term is positive, so nothing is lost to cancellation.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import numpy.typing as npt

from riskapi.domain.timeline import Floats

Array = npt.NDArray[Any]  # float or complex


def density(cdf: Floats) -> Floats:
    """Chances of the single levels from cumulative ones, (E,)."""
    return np.diff(cdf, prepend=0.0)


def split(t: Array, axis: int) -> Array:
    """A view (before, E, after): one axis of a contiguous array with everything left and right of it run together."""
    before = 1
    for size in t.shape[:axis]:
        before *= size
    return t.reshape(before, t.shape[axis], -1)


def raised(t: Array, axis: int, cdf: Floats) -> Array:
    """Chances of the maximum of the level on this axis and an independent one with cumulative chances `cdf` (E,)."""
    source = split(t, axis)
    out: Array = source * cdf[:, None]
    below = source[:, 0]
    for level in range(1, cdf.size):
        step = cdf[level] - cdf[level - 1]
        if step != 0.0:
            out[:, level] += step * below
        if level + 1 < cdf.size:
            below = below + source[:, level]
    return out.reshape(t.shape)


def lowered(a: Array, axis: int, cdf: Floats) -> Array:
    """The transpose of `raised`, for the way back."""
    source = split(a, axis)
    out: Array = source * cdf[:, None]
    above: Array = source[:, 1:] * np.diff(cdf)[:, None]
    for level in range(cdf.size - 2, 0, -1):
        above[:, level - 1] += above[:, level]
    out[:, :-1] += above
    return out.reshape(a.shape)
