"""The time grid of the renewal recursion: exact dates where something is known, cells between them.

Every kink (stress or rate change, supersession, planned date, told renewal, past look) is an edge, so that the
integrands are smooth inside a cell and the error falls with the square of the cell's length.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from riskapi.domain.lane import Lane
from riskapi.domain.planned_dates import planned_chain
from riskapi.domain.timeline import Floats

MOST_CELLS = 60  # for cars that have outlived a part many times over
MERGE_YEARS = 0.02  # kinks closer than this to another edge get no edge of their own

ExactDates = list[tuple[float, int]]  # (time of fitting [years], part)


@dataclass(frozen=True)
class Grid:
    """Lanes side by side with their past edges (L, n + 1) and the future edges (M + 1,) [years since build], and the
    doubt nodes (K,). The other fields are numbers of the lanes, (L,) each."""

    lanes: Sequence[Lane]
    edges: Floats
    future: Floats
    nodes: Floats

    @cached_property
    def delay(self) -> Floats:
        return np.array([lane.delay for lane in self.lanes])

    @cached_property
    def kept(self) -> Floats:
        return np.array([lane.kept for lane in self.lanes])

    @cached_property
    def left(self) -> Floats:
        return np.array([lane.left for lane in self.lanes])

    @cached_property
    def mended(self) -> Floats:
        """Share of failures that are repaired and show as a renewal."""
        return np.array([0.0 if lane.never_renewed else 1.0 - lane.left for lane in self.lanes])

    @cached_property
    def exchanged(self) -> Floats:
        """Share of the planned dates kept by their owners that show as a renewal: none where nothing was renewed, for
        such a car cannot have had such an owner."""
        return np.array([0.0 if lane.never_renewed else lane.kept for lane in self.lanes])

    @cached_property
    def told_t(self) -> Floats:
        """Time of the told renewal, infinite where there is none."""
        return np.array([lane.told.t if lane.told else np.inf for lane in self.lanes])

    @cached_property
    def told_chance(self) -> Floats:
        return np.array([lane.told.chance if lane.told else 0.0 for lane in self.lanes])

    @cached_property
    def now(self) -> Floats:
        return self.edges[:, -1]

    @cached_property
    def failed(self) -> Floats:
        """When what is renewed at the past edges had failed: the delay before, but not before the start; (L, n + 1)."""
        return np.maximum(self.edges - self.delay[:, None], self.edges[:, :1])

    def halved(self) -> Grid:
        """The same with every past cell cut in two."""
        middle = 0.5 * (self.edges[:, 1:] + self.edges[:, :-1])
        edges = np.sort(np.concatenate([self.edges, middle], axis=1), axis=1)
        return Grid(self.lanes, edges, self.future, self.nodes)


def make_grid(lanes: Sequence[Lane], nodes: Floats, future: Floats, cells: int) -> Grid:
    """At least `cells` cells per lane, as many in all lanes; `future` are M + 1 edges from today on."""
    corners = [(lane.start, *_kinks(lane), lane.timeline.now) for lane in lanes]
    most = max([cells, *(len(row) - 1 for row in corners), *map(_lives, lanes)])
    known: dict[tuple[float, ...], Floats] = {}
    for row, lane in zip(corners, lanes, strict=True):
        if row not in known:
            known[row] = cell_edges(np.array(row), lane.timeline.odometer(np.array(row)), most)
    edges = np.array([known[row] for row in corners]).reshape(len(lanes), most + 1)
    return Grid(lanes, edges, future, nodes)


def _lives(lane: Lane) -> int:
    """Cells so that none is longer than a characteristic life of any part; MOST_CELLS at most."""
    (y, y0), (z, z0) = (clock.tolist() for clock in lane.clocks.at(np.array([lane.timeline.now, lane.start])))
    modes = [mode for part in lane.parts for mode in (part.flaw, part.wear) if mode is not None]
    lives = [(y - y0) / mode.distance.scale for mode in modes if mode.distance is not None]
    lives += [(z - z0) / mode.age.scale for mode in modes if mode.age is not None]
    return min(int(np.ceil(max(lives, default=0.0))), MOST_CELLS)


def exact_dates(lane: Lane) -> tuple[ExactDates, ExactDates]:
    """Parts with exact dates of fitting: from the start on with the planned dates that follow, and from the told
    renewal on likewise."""
    told = planned_chain(lane, lane.told.t, lane.told.part) if lane.told else []
    return planned_chain(lane, lane.start, lane.start_part), told


def _kinks(lane: Lane) -> list[float]:
    """Inner edges that this lane's grid must have: exact dates and looks all, others unless too close to one."""
    first, told = exact_dates(lane)
    musts = sorted({*(t for t, _ in first[1:]), *(t for t, _ in told), *(look.t for look in lane.looks)})
    wishes = sorted([*lane.kinks, *(since for since, _ in lane.supplies)])
    kept = [lane.start, lane.timeline.now, *musts]
    inner = list(musts)
    for t in wishes:
        if lane.start < t < lane.timeline.now and min(abs(t - k) for k in kept) > MERGE_YEARS:
            kept.append(t)
            inner.append(t)
    return sorted(inner)


def cell_edges(corners: Floats, odometer: Floats, cells: int) -> Floats:
    """`cells` + 1 edges with every corner among them, the longest stretch always split next.

    What counts as long is the sum of its shares of the time and of the distance: a car that has run most of its
    distance in a year gets most of its cells there. `odometer` [km] is that at the corners.
    """
    steps, driven = np.diff(corners), np.diff(odometer)
    lengths = steps / max(steps.sum(), 1e-9) + driven / max(driven.sum(), 1e-9)
    pieces = np.ones(lengths.size, dtype=int)
    for _ in range(cells - lengths.size):
        pieces[int(np.argmax(lengths / pieces))] += 1
    piece = np.repeat(np.arange(lengths.size), pieces)
    within = np.arange(piece.size) - np.repeat(np.cumsum(pieces) - pieces, pieces)
    return np.append(corners[piece] + within * (steps / pieces)[piece], corners[-1])


def edge_at(times: Floats, t: float) -> int:
    """Index of the edge that lies at time t."""
    return int(np.argmin(np.abs(times - t)))
