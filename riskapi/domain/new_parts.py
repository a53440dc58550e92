"""What becomes of parts fitted new after today: when they first fail, and when they fall due for a planned renewal.

Nothing of the past matters to them. So lanes with the same parts on sale and the same clocks after today share one
answer, and so does another car under the same plans (`like`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from riskapi.domain.lane import Indices, Lane, Supplies
from riskapi.domain.lifetime import survival
from riskapi.domain.renewal_fits import Fits, clock_points, fits_at
from riskapi.domain.timeline import Clocks, Floats

Key = tuple[tuple[int, ...], Supplies, bytes]  # the parts (by identity), when they are on sale, the clocks after today


@dataclass(frozen=True, slots=True)
class NewParts:
    """Chances that a part fitted in slot i first fails in slot e, (P, K, M + 1, M + 1), of which row `which` (L,) is
    that of each lane; `plan` are those that it first falls due in it, of the lanes `serviced`.

    `known` finds the row of lanes without planned dates, for the edges `future` and as long as the parts live.
    """

    rows: Floats
    which: Indices
    plan: Floats
    serviced: list[int]
    known: Mapping[Key | int, int]
    future: Floats

    @property
    def fail(self) -> Floats:
        """First failures of the lanes, (L, K, M + 1, M + 1)."""
        return np.asarray(self.rows[self.which])


def slot_times(future: Floats) -> Floats:
    """Slot 0 is day 0, slot m the middle of cell m - 1."""
    return np.concatenate([future[:1], 0.5 * (future[1:] + future[:-1])])


def new_parts(lanes: Sequence[Lane], nodes: Floats, future: Floats, like: NewParts | None = None) -> NewParts:
    """New parts of these lanes; `like` are those of other lanes of the same pack, timeline after today and nodes."""
    if like is None or not np.array_equal(like.future, future):
        nothing = np.zeros((0, nodes.size, future.size, future.size))
        like = NewParts(nothing, np.zeros(0, dtype=np.intp), nothing, [], {}, future)
    serviced = [i for i, lane in enumerate(lanes) if any(part.planned for part in lane.parts)]
    keys: list[Key | int] = [*_keys(lanes, future)]
    for i in serviced:
        keys[i] = i  # like no other
    fresh: dict[Key | int, int] = {}
    for i, key in enumerate(keys):
        if key not in like.known:
            fresh.setdefault(key, i)
    places = {key: len(like.rows) + k for k, key in enumerate(fresh)}
    which = np.array([places[key] if key in places else like.known[key] for key in keys], dtype=np.intp)
    mine = list(fresh.values())
    fail, plan = _first_events([lanes[i] for i in mine], nodes, future, [mine.index(i) for i in serviced])
    known = dict(like.known)
    known.update((key, place) for key, place in places.items() if isinstance(key, tuple))
    return NewParts(np.concatenate([like.rows, fail]), which, plan, serviced, known, future)


def _keys(lanes: Sequence[Lane], future: Floats) -> list[Key]:
    ahead: dict[int, bytes] = {}
    for lane in lanes:
        if id(lane.clocks) not in ahead:
            ahead[id(lane.clocks)] = _increments(lane.clocks, future)
    return [(tuple(map(id, lane.parts)), lane.supplies, ahead[id(lane.clocks)]) for lane in lanes]


def _increments(clocks: Clocks, future: Floats) -> bytes:
    """What both clocks run from today to every edge, to a thousandth of a metre and a billionth of a year."""
    y, z = clocks.at(future)
    return np.round([y - y[0], 1e3 * (z - z[0])], 6).tobytes()


def _first_events(lanes: Sequence[Lane], nodes: Floats, future: Floats, serviced: list[int]) -> tuple[Floats, Floats]:
    """First failures (L, K, M + 1, M + 1), and the first planned dates of those lanes that have any."""
    if not lanes:
        nothing = np.zeros((0, nodes.size, future.size, future.size))
        return nothing, nothing
    slots = slot_times(future)
    s = np.broadcast_to(slots, (len(lanes), slots.size))
    on_sale = {each: lane.parts_at(slots) for each, lane in {lane.supplies: lane for lane in lanes}.items()}
    part = np.array([on_sale[lane.supplies] for lane in lanes], dtype=np.intp).reshape(s.shape)
    fits = fits_at(lanes, s, part)
    y, z = (clock[:, None] for clock in clock_points(lanes, np.broadcast_to(future, s.shape)))
    alive = survival(fits.life, y - fits.y[..., None], z - fits.z[..., None], nodes)
    plan = np.zeros((0, *alive.shape[1:]))
    if serviced:
        alive[serviced], plan = _until_due(fits, alive[serviced], nodes, future, serviced)
    fail = np.zeros(alive.shape)
    fail[..., 1:] = alive[..., :-1] - alive[..., 1:]
    return fail, plan


def _until_due(fits: Fits, alive: Floats, nodes: Floats, future: Floats, serviced: list[int]) -> tuple[Floats, Floats]:
    """The survival of parts that are renewed on their planned dates, and the chance to reach these in each slot."""
    due_y, due_z = ((at - start)[serviced, :, None] for at, start in ((fits.due_y, fits.y), (fits.due_z, fits.z)))
    at_due = survival(fits.life.take(np.array(serviced)), due_y, due_z, nodes)
    due = fits.due[serviced]
    slot = np.maximum(np.searchsorted(future, due, side="left"), np.arange(future.size) + 1)
    plan = at_due * (slot[..., None] == np.arange(future.size))[:, None]
    return np.where((due[..., None] >= future)[:, None], alive, at_due), plan
