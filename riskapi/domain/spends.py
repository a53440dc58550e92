"""What the copies of one part spend together: alike copies as powers, unlike ones (one failed by itself) side by side.

The worst of two copies is bilinear in their masses, as are the generating functions of their numbers of failures:

    sound = x0 y0    degraded = x0 y1 + x1 (y0 + y1)    faulty = (x0 + x1) y2 + x2 (y0 + y1 + y2)
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from riskapi.domain.copies import (
    TINY,
    Array,
    all_copies_events,
    all_copies_worth,
    one_copy_events,
    together_planned,
    worst_state,
)
from riskapi.domain.timeline import Floats

TRIVIAL = 1e-13


@dataclass(frozen=True, slots=True)
class Spend:
    """One weak point's states with its spend, per lane.

    state: (K, 3) joint masses; events: (K, H, 4, F, N) joint mass of f copies found faulty on day 0 and n failures
    in service, per start (sound, degraded, faulty, renewed on day 0) and horizon; planned: (K, 4, P) number of planned
    renewals; worth: (K, 4, 2) expected present number of failures in service and of planned renewals.
    """

    state: Floats
    events: Floats
    planned: Floats
    worth: Floats


def averaged(rows: Sequence[Floats]) -> list[Floats]:
    """Every array averaged over its first axis, the doubt nodes."""
    return _in_one_go(lambda stacked: np.asarray(stacked.mean(axis=1)), rows)


def _in_one_go(compute: Callable[[Floats], Floats], rows: Sequence[Floats]) -> list[Floats]:
    """What `compute` makes of every array; those of one shape in one go, along a first axis."""
    shapes: dict[tuple[int, ...], list[int]] = {}
    for i, row in enumerate(rows):
        shapes.setdefault(row.shape, []).append(i)
    found: dict[int, Floats] = {}
    for mine in shapes.values():
        found.update(zip(mine, compute(np.stack([rows[i] for i in mine])), strict=True))
    return [found[i] for i in range(len(rows))]


@dataclass(frozen=True, slots=True)
class OneCopy:
    """The same of a single copy: of events (K, H, 4, 2, N) only the faulty are found so on day 0."""

    state: Floats
    events: Floats
    planned: Floats
    worth: Floats

    def weighed(self, likelihood: Floats) -> OneCopy:
        """With the joint masses times the likelihood (K,) of what happened before; a part renewed today knows none."""
        events, planned, worth = self.events.copy(), self.planned.copy(), self.worth.copy()
        events[:, :, :3] *= likelihood[:, None, None, None, None]
        planned[:, :3] *= likelihood[:, None, None]
        worth[:, :3] *= likelihood[:, None, None]
        return OneCopy(self.state * likelihood[:, None], events, planned, worth)

    def times(self, copies: int) -> Spend:
        """The spend of this many copies that have lived the same life."""
        if copies == 1:
            return Spend(self.state, self.events, self.planned, self.worth)
        return Spend(
            worst_state(self.state, copies),
            trimmed(all_copies_events(self.events.sum(axis=3), copies)[None])[0],
            together_planned(self.state, self.planned, copies),
            all_copies_worth(self.state, self.worth, copies),
        )


def one_of_each(state: Floats, pmf: Floats, planned: Floats, worth: Floats) -> list[OneCopy]:
    """One copy of every life: state (L, K, 3) and riskapi.domain.future.Counts."""
    events = _in_one_go(one_copy_events, trimmed(pmf))
    return [OneCopy(*row) for row in zip(state, events, trimmed(planned), worth, strict=True)]


def trimmed(counts: Floats) -> list[Floats]:
    """Per lane its counts (L, .., N), without trailing ones that have no mass to speak of."""
    busy = counts.max(axis=tuple(range(1, counts.ndim - 1))) > TRIVIAL
    lengths = np.where(busy.any(axis=1), counts.shape[-1] - np.argmax(busy[:, ::-1], axis=1), 1)
    return [row[..., :length] for row, length in zip(counts, lengths.tolist(), strict=True)]


def side_by_side(failed: Spend, others: Spend) -> Spend:
    """Copies that have not lived the same life. Planned work is done on all together, when `others` fall due."""
    state = _worst(failed.state.T, others.state.T).T
    known = others.state > 0.0
    planned, worth = (_stack_up(getattr(failed, n)[:, :3], getattr(others, n)[:, :3]) for n in ("planned", "worth"))
    mass = np.where(known, others.state, failed.state)[..., None]
    share = state[..., None] / np.maximum(mass, TINY)
    together = share * np.where(known[..., None], planned[1], planned[0])
    due = (share * np.where(known[..., None], worth[1], worth[0]))[..., 1:]
    failures = np.stack(
        [_worst(failed.worth[:, :3, 0].T, others.state.T), _worst(failed.state.T, others.worth[:, :3, 0].T)]
    )
    renewed = failed.worth[:, 3:, :1] + others.worth[:, 3:, :1]
    number = np.concatenate([failures.sum(axis=0).T[..., None], renewed], axis=1)
    new = _stack_up(failed.planned[:, 3:], others.planned[:, 3:])[1]
    return Spend(
        state,
        _events(failed.events, others.events),
        np.concatenate([together, new], axis=1),
        np.concatenate([number, np.concatenate([due, others.worth[:, 3:, 1:]], axis=1)], axis=2),
    )


def _worst(x: Array, y: Array) -> Array:
    """Masses of the worst state of two copies, the states along the first axis."""
    degraded = x[0] * y[1] + x[1] * (y[0] + y[1])
    return np.stack([x[0] * y[0], degraded, (x[0] + x[1]) * y[2] + x[2] * (y[0] + y[1] + y[2])])


def _stack_up(x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """Both with as many counts as the longer one."""
    longest = max(x.shape[-1], y.shape[-1])
    return tuple(np.pad(a, ((0, 0), (0, 0), (0, longest - a.shape[-1]))) for a in (x, y))  # type: ignore[return-value]


def _events(x: Floats, y: Floats) -> Floats:
    """(K, H, 4, F, N) of both together."""
    size, most = x.shape[-1] + y.shape[-1] - 1, x.shape[3] + y.shape[3] - 1
    a, b = (np.moveaxis(np.fft.rfft(z, size, axis=-1), (2, 3), (0, 1)) for z in (x, y))  # (4, F, K, H, frequencies)
    rows = np.zeros((4, most, *a.shape[2:]), dtype=complex)
    for f, mine in enumerate(np.moveaxis(a, 1, 0)):
        for g, theirs in enumerate(np.moveaxis(b, 1, 0)):
            rows[:3, f + g] += _worst(mine[:3], theirs[:3])
            rows[3, f + g] += mine[3] * theirs[3]
    return np.maximum(np.fft.irfft(np.moveaxis(rows, (0, 1), (2, 3)), size, axis=-1), 0.0)
