"""A part present n times (coils, injectors) as one weak point: n independent clocks, its state the worst of them.

With A, B, C the joint masses of sound, degraded, faulty of one copy the worst state is A^n, (A + B)^n - A^n,
(A + B + C)^n - (A + B)^n, here as sums of positive terms. The same holds for generating functions of the
number of failures in place of masses. Copies are independent given the doubt node, which they share.
"""

from __future__ import annotations

from math import comb
from typing import Any

import numpy as np
import numpy.typing as npt

from riskapi.domain.knowledge import FAULTY
from riskapi.domain.timeline import Floats

Array = npt.NDArray[Any]  # float or complex
TINY = 1e-300


def worst_state(state: Floats, copies: int) -> Floats:
    """Joint masses (K, 3) of the worst state from those of one copy."""
    a, b, c = state.T
    return np.stack([a**copies, _more(a, b, copies), _more(a + b, c, copies)], axis=-1)


def _more(a: Array, b: Array, copies: int) -> Array:
    """(a + b)^n - a^n as a sum of positive terms."""
    terms = (a**i * b * (a + b) ** (copies - 1 - i) for i in range(copies))
    return sum(terms, start=np.zeros_like(a))


def one_copy_events(pmf: Floats) -> Floats:
    """(.., 4, N) number of failures in service -> (.., 4, 2, N) with the number found faulty on day 0 before it."""
    events = np.zeros((*pmf.shape[:-1], 2, pmf.shape[-1]))
    events[..., 0, :] = pmf
    events[..., FAULTY, 1, :], events[..., FAULTY, 0, :] = pmf[..., FAULTY, :], 0.0
    return events


def all_copies_events(pmf: Floats, copies: int) -> Floats:
    """(K, H, 4, N) of one copy -> (K, H, 4, copies + 1, N') of all; FFT over the number of failures in service."""
    size = copies * (pmf.shape[-1] - 1) + 1
    a, b, c, renewed = np.moveaxis(np.fft.rfft(pmf, size, axis=-1), 2, 0)
    rows = np.zeros((*a.shape[:2], 4, copies + 1, a.shape[-1]), dtype=complex)
    rows[:, :, 0, 0], rows[:, :, 1, 0] = a**copies, _more(a, b, copies)
    for f in range(1, copies + 1):
        rows[:, :, FAULTY, f] = comb(copies, f) * c**f * (a + b) ** (copies - f)
    rows[:, :, 3, 0] = renewed**copies
    return np.maximum(np.fft.irfft(rows, size, axis=-1), 0.0)


def together_planned(state: Floats, planned: Floats, copies: int) -> Floats:
    """Number of planned renewals (K, 4, P): copies are renewed together, so the count of one stands for all.

    Per worst state the distribution is that of a copy in this state; `state` (K, 3) are the masses of one copy.
    """
    return np.concatenate([planned[:, :3] * _together(state, copies)[..., None], planned[:, 3:]], axis=1)


def _together(state: Floats, copies: int) -> Floats:
    """Mass of a worst state per mass of the same state of one copy, (K, 3)."""
    return np.where(state > 0.0, worst_state(state, copies) / np.maximum(state, TINY), 0.0)


def all_copies_worth(state: Floats, worth: Floats, copies: int) -> Floats:
    """Expected present numbers (K, 4, 2) of failures in service over all copies, jointly with the worst state, and of
    planned renewals, which all copies have together; `state` (K, 3) and `worth` (K, 4, 2) are those of one copy."""
    a, b, c = state.T
    wa, wb, wc, renewed = worth[..., 0].T
    sound = copies * a ** (copies - 1) * wa
    up_to_degraded = copies * (a + b) ** (copies - 1) * (wa + wb)
    everything = copies * (a + b + c) ** (copies - 1) * (wa + wb + wc)
    failures = np.stack([sound, up_to_degraded - sound, everything - up_to_degraded, copies * renewed], axis=1)
    planned = np.concatenate([worth[:, :3, 1] * _together(state, copies), worth[:, 3:, 1]], axis=1)
    return np.stack([failures, planned], axis=2)
