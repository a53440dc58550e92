"""What the unknown past does: renewal, and with it the states of today (model: renewal, states today).

Parts are replaced, often undocumented. The time of the last renewal has a mass on a grid: an atom at the
start, one mass per cell at its midpoint, and an atom at a renewal that is only told. A failure at u leads to a
renewal at u + delay. A lane is one (weak point, part revisions, stress path, history); lanes run together.

Everything returned is a joint mass with the recorded history, per doubt node, and linear in the renewal
masses, so h**2 extrapolation from two grids applies to it directly.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from riskapi.domain.knowledge import PartRevision
from riskapi.domain.lifetime import LifeArrays, life_arrays, survival
from riskapi.domain.timeline import Clocks, Floats, Timeline

CELLS = 10  # against 160 cells: below 1e-5 up to two mean lives, 7e-5 at three
MERGE_YEARS = 0.02


@dataclass(frozen=True, slots=True)
class ToldRenewal:
    """A renewal at t [years] that happened with this chance, to the part at this index."""

    t: float
    chance: float
    part: int


@dataclass(frozen=True, slots=True)
class PastLook:
    """A look at t [years] whose result has these likelihoods given the state then (sound, degraded, faulty)."""

    t: float
    likelihood: tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Lane:
    """One part's history. Times [years since build], distances [effective km], ages [effective years].

    `run_y`, `run_z`: what the first part had already run when it was fitted at `start` (a used engine).
    `supplies` are (from time, part index), ascending; `kept` is the chance that a planned renewal was done.
    """

    timeline: Timeline
    clocks: Clocks
    parts: tuple[PartRevision, ...]
    start: float
    start_part: int
    run_y: float
    run_z: float
    supplies: tuple[tuple[float, int], ...]
    told: ToldRenewal | None
    look: PastLook | None
    never_renewed: bool
    delay: float
    left: float
    pf_y: float
    pf_z: float
    kept: float
    kinks: tuple[float, ...]

    def part_at(self, t: float) -> int:
        """Index of the part revision a workshop fits at time t."""
        current = self.supplies[0][1]
        for since, part in self.supplies:
            if since <= t:
                current = part
        return current


@dataclass(frozen=True, slots=True)
class Past:
    """Joint masses with the history, per lane and node: state (L, K, 3) today, and what comes first from it.

    `fails` (L, K, 2, M): sound and degraded parts that fail in future cell m; `planned` (L, K, 2, M + 1): that
    reach their planned renewal, slot 0 being day 0 (overdue).
    """

    state: Floats
    fails: Floats
    planned: Floats


def past(lanes: Sequence[Lane], nodes: Floats, future: Floats, cells: int = CELLS) -> Past:
    """Masses by h**2 extrapolation of `cells` and 2 * cells; `future` are M + 1 edges from today [years]."""
    counts = [cells_needed(lane, cells) for lane in lanes]
    edges = np.array([cell_edges(lane, max(counts)) for lane in lanes])
    coarse = _past_on(lanes, edges, nodes, future)
    halves = np.sort(np.concatenate([edges, 0.5 * (edges[:, 1:] + edges[:, :-1])], axis=1), axis=1)
    fine = _past_on(lanes, halves, nodes, future)
    return Past(*(_extrapolate(getattr(coarse, f), getattr(fine, f)) for f in ("state", "fails", "planned")))


def _extrapolate(coarse: Floats, fine: Floats) -> Floats:
    return np.maximum((4.0 * fine - coarse) / 3.0, 0.0)


def _kinks(lane: Lane) -> list[float]:
    """Inner kinks of this lane's grid, no two closer than MERGE_YEARS; told renewals and looks come first."""
    musts = [event.t for event in (lane.told, lane.look) if event is not None]
    planned = _planned_date(lane, np.array([lane.start]), np.array([lane.start_part]))
    wishes = sorted([*lane.kinks, *(since for since, _ in lane.supplies), float(planned[0])])
    kept = [lane.start, lane.timeline.now, *musts]
    inner = list(musts)
    for t in wishes:
        if lane.start < t < lane.timeline.now and min(abs(t - k) for k in kept) > MERGE_YEARS:
            kept.append(t)
            inner.append(t)
    return sorted(inner)


def cells_needed(lane: Lane, cells: int) -> int:
    """Number of cells so that every kink is an edge."""
    return max(cells, len(_kinks(lane)) + 1)


def cell_edges(lane: Lane, cells: int) -> Floats:
    """`cells` + 1 edges from start to now with every kink among them, the longest stretch always split next."""
    corners = np.array([lane.start, *_kinks(lane), lane.timeline.now])
    lengths = np.diff(corners)
    pieces = np.ones(lengths.size, dtype=int)
    for _ in range(cells - lengths.size):
        pieces[int(np.argmax(lengths / pieces))] += 1
    piece = np.repeat(np.arange(lengths.size), pieces)
    within = np.arange(piece.size) - np.repeat(np.cumsum(pieces) - pieces, pieces)
    return np.append(corners[piece] + within * (lengths / pieces)[piece], lane.timeline.now)


def _planned_date(lane: Lane, fitted: Floats, part: npt.NDArray[np.intp]) -> Floats:
    """When parts fitted at these times fall due [years]; infinite without a planned interval."""
    due = np.full(fitted.shape, np.inf)
    for index, revision in enumerate(lane.parts):
        if revision.planned is None:
            continue
        mine = part == index
        if revision.planned.distance_km is not None:
            by_distance = lane.timeline.time_at(lane.timeline.odometer(fitted) + revision.planned.distance_km)
            due[mine] = np.minimum(due, by_distance)[mine]
        if revision.planned.age_years is not None:
            due[mine] = np.minimum(due, fitted + revision.planned.age_years)[mine]
    return due


@dataclass(frozen=True, slots=True)
class Fits:
    """Parts fitted at times s, shape (L, J): their clocks then, planned dates, and life parameters."""

    s: Floats
    y: Floats
    z: Floats
    due: Floats
    due_y: Floats
    due_z: Floats
    life: LifeArrays


def fits_at(lanes: Sequence[Lane], s: Floats, part: npt.NDArray[np.intp], first_is_start: bool) -> Fits:
    """Clocks and parameters of parts (index `part`) fitted at `s`; column 0 may be the part present at the start."""
    y, z = (np.array(v) for v in zip(*(lane.clocks.at(row) for lane, row in zip(lanes, s, strict=True)), strict=True))
    due = np.array([_planned_date(lane, row, p) for lane, row, p in zip(lanes, s, part, strict=True)])
    end = np.array([lane.timeline.t[-1] for lane in lanes])[:, None]
    at_due = [lane.clocks.at(np.minimum(row, e)) for lane, row, e in zip(lanes, due, end, strict=True)]
    due_y, due_z = (np.array(v) for v in zip(*at_due, strict=True))
    if first_is_start:
        y[:, 0] -= [lane.run_y for lane in lanes]
        z[:, 0] -= [lane.run_z for lane in lanes]
    offsets = np.cumsum([0, *(len(lane.parts) for lane in lanes[:-1])])
    table = life_arrays([revision for lane in lanes for revision in lane.parts])
    return Fits(s, y, z, due, due_y, due_z, table.take(part + offsets[:, None]))


@dataclass(frozen=True, slots=True)
class Alive:
    """Survival of every fitted part at the times that matter; arrays (L, K, J, points).

    edges: at past edges less the delay (n + 1); now: (1); ahead: at future edges after today (M); sound_*: the
    same for 'and the P-F point of today lies still ahead'; due: at the planned date; due_sound likewise.
    """

    edges: Floats
    now: Floats
    sound_now: Floats
    ahead: Floats
    sound_ahead: Floats
    due: Floats
    due_sound: Floats


def _past_on(lanes: Sequence[Lane], edges: Floats, nodes: Floats, future: Floats) -> Past:
    fits = _past_fits(lanes, edges)
    alive = _alive(lanes, edges, nodes, future, fits)
    masses = _recursion(lanes, edges, fits, alive)
    return _today(lanes, edges, masses, fits, alive, future)


def _past_fits(lanes: Sequence[Lane], edges: Floats) -> Fits:
    """Columns: the start, every cell's midpoint, and last the told renewal (without one, a copy of the start)."""
    middle = 0.5 * (edges[:, 1:] + edges[:, :-1])
    told = np.array([[lane.told.t if lane.told else lane.start] for lane in lanes])
    s = np.concatenate([edges[:, :1], middle, told], axis=1)
    part = np.array([[lane.part_at(float(t)) for t in row] for lane, row in zip(lanes, s, strict=True)])
    part[:, 0] = [lane.start_part for lane in lanes]
    part[:, -1] = [lane.told.part if lane.told else lane.start_part for lane in lanes]
    return fits_at(lanes, s, part, first_is_start=True)


def _clock_points(lanes: Sequence[Lane], times: Floats) -> tuple[Floats, Floats]:
    """(y, z) of each lane at its row of `times`, shape (L, E) each."""
    rows = [lane.clocks.at(row) for lane, row in zip(lanes, times, strict=True)]
    return np.array([row[0] for row in rows]), np.array([row[1] for row in rows])


def _alive(lanes: Sequence[Lane], edges: Floats, nodes: Floats, future: Floats, fits: Fits) -> Alive:
    n, m = edges.shape[1], future.size - 1
    delay = np.array([[lane.delay] for lane in lanes])
    now = np.array([[lane.timeline.now] for lane in lanes])
    times = np.concatenate([edges - delay, now, np.broadcast_to(future[1:], (len(lanes), m))], axis=1)
    y, z = _clock_points(lanes, times)
    pf_y = y[:, n : n + 1] + np.array([[lane.pf_y] for lane in lanes])
    pf_z = z[:, n : n + 1] + np.array([[lane.pf_z] for lane in lanes])
    y = np.concatenate([y, pf_y, np.maximum(y[:, n + 1 :], pf_y)], axis=1)
    z = np.concatenate([z, pf_z, np.maximum(z[:, n + 1 :], pf_z)], axis=1)
    shape = (len(lanes), fits.s.shape[1], y.shape[1])
    due_y, due_z = fits.due_y[..., None], fits.due_z[..., None]
    points_y = [np.broadcast_to(y[:, None], shape), due_y, np.maximum(due_y, pf_y[..., None])]
    points_z = [np.broadcast_to(z[:, None], shape), due_z, np.maximum(due_z, pf_z[..., None])]
    values = survival(
        fits.life,
        np.concatenate(points_y, axis=2) - fits.y[..., None],
        np.concatenate(points_z, axis=2) - fits.z[..., None],
        nodes,
    )
    cuts = np.cumsum([n, 1, m, 1, m, 1])
    edge, at_now, ahead, sound_now, sound_ahead, due, due_sound = np.split(values, cuts, axis=3)
    alive = Alive(edge, at_now, sound_now, ahead, sound_ahead, due, due_sound)
    if any(lane.look for lane in lanes):
        reweigh(lanes, times, nodes, fits, alive, n)
    return alive


def reweigh(lanes: Sequence[Lane], times: Floats, nodes: Floats, fits: Fits, alive: Alive, n: int) -> None:
    """Weigh the lifetimes of parts that were there at a past look with the result's likelihood, in place.

    Beyond the look, 'alive' becomes l_degraded * S + (l_sound - l_degraded) * P(sound then, alive), just before
    it failures weigh l_faulty, and failures that were already mended weigh 1. Only differences are used.
    """
    for i, lane in enumerate(lanes):
        if lane.look is None:
            continue
        sound, degraded, faulty = lane.look.likelihood
        at = np.concatenate([times[i], fits.due[i]])
        y, z = lane.clocks.at(np.append(np.minimum(at, lane.timeline.t[-1]), [lane.look.t]))
        pf_y, pf_z = y[-1] + lane.pf_y, z[-1] + lane.pf_z
        count = times.shape[1]
        own_y = np.concatenate(
            [
                np.broadcast_to(np.maximum(y[:count], pf_y), (fits.s.shape[1], count)),
                np.maximum(y[count:-1], pf_y)[:, None],
                np.broadcast_to([y[-1], pf_y], (fits.s.shape[1], 2)),
            ],
            axis=1,
        )
        own_z = np.concatenate(
            [
                np.broadcast_to(np.maximum(z[:count], pf_z), (fits.s.shape[1], count)),
                np.maximum(z[count:-1], pf_z)[:, None],
                np.broadcast_to([z[-1], pf_z], (fits.s.shape[1], 2)),
            ],
            axis=1,
        )
        life = fits.life.take((np.array([i])[:, None], np.arange(fits.s.shape[1])[None]))
        both = survival(life, own_y[None] - fits.y[i][None, :, None], own_z[None] - fits.z[i][None, :, None], nodes)[0]
        there = np.flatnonzero(fits.s[i] < lane.look.t)
        at_look, sound_at_look = both[..., -2:-1], both[..., -1:]
        level = degraded * at_look + (sound - degraded) * sound_at_look
        plain = np.concatenate([alive.edges[i], alive.now[i], alive.ahead[i], alive.due[i]], axis=2)
        later = degraded * plain + (sound - degraded) * both[..., :-2]
        when = np.concatenate([np.broadcast_to(times[i], (fits.s.shape[1], count)), fits.due[i][:, None]], axis=1)
        just_before = faulty * (plain - at_look) + level
        # failures before look - delay were mended before the look: unweighted differences from that point on
        at_edge = alive.edges[i][..., _edge_index(times[i][:n], lane.look.t - lane.delay)][..., None]
        before = (plain - at_edge) + faulty * (at_edge - at_look) + level
        weighed = np.where(
            when >= lane.look.t, later, np.where(when >= lane.look.t - lane.delay - 1e-12, just_before, before)
        )
        cuts = np.cumsum([n, 1, count - n - 1])
        for target, values in zip(
            (alive.edges, alive.now, alive.ahead, alive.due), np.split(weighed, cuts, axis=2), strict=True
        ):
            target[i][:, there] = values[:, there]
        for target in (alive.sound_now, alive.sound_ahead, alive.due_sound):
            target[i][:, there] *= sound


def _edge_index(times: Floats, t: float) -> int:
    return int(np.argmin(np.abs(times - t)))


def _recursion(lanes: Sequence[Lane], edges: Floats, fits: Fits, alive: Alive) -> Floats:
    """Masses of the last renewal (L, K, J): column 0 the start, 1..n the cells, n + 1 the told renewal."""
    n = edges.shape[1] - 1
    kept = np.array([lane.kept for lane in lanes])[:, None, None]
    mend = np.array([0.0 if lane.never_renewed else 1.0 - lane.left for lane in lanes])[:, None, None]
    delay = np.array([[lane.delay] for lane in lanes])
    failure_times = edges - delay
    told_t = np.array([lane.told.t if lane.told else np.inf for lane in lanes])[:, None]
    told_chance = np.array([lane.told.chance if lane.told else 0.0 for lane in lanes])[:, None, None]
    before_due = fits.due[:, :, None] >= failure_times[:, None, :]  # (L, J, n + 1)
    cut = np.where(before_due[:, None], alive.edges, alive.due)
    flow = kept[..., None] * (cut[..., :-1] - cut[..., 1:])
    flow += (1.0 - kept[..., None]) * (alive.edges[..., :-1] - alive.edges[..., 1:])
    flow *= mend[..., None]
    flow += _planned_flow(edges, fits, alive, kept, lanes)
    passed = (edges[:, None, :-1] >= told_t[..., None] - 1e-12) & (fits.s[..., None] < told_t[..., None])
    flow *= 1.0 - told_chance[..., None] * passed[:, None]
    masses = np.zeros(alive.edges.shape[:3])
    masses[:, :, 0] = 1.0
    told_edge = np.array(
        [_edge_index(row, lane.told.t) if lane.told else -1 for row, lane in zip(edges, lanes, strict=True)]
    )
    for k in range(n):
        here = np.flatnonzero(told_edge == k)
        if here.size:
            kept_on = 1.0 - kept[here] * ~before_due[here, None, :, k]
            running = alive.edges[here][..., k] * kept_on
            masses[here, :, n + 1] = told_chance[here, :, 0] * np.sum(
                masses[here, :, : k + 1] * running[..., : k + 1], axis=2
            )
        arriving = np.einsum("lkj,lkj->lk", masses[:, :, : k + 1], flow[:, :, : k + 1, k])
        if told_edge.max() >= 0:
            arriving += masses[:, :, n + 1] * flow[:, :, n + 1, k]
        masses[:, :, k + 1] = arriving / (1.0 - flow[:, :, k + 1, k])
    return masses


def _planned_flow(edges: Floats, fits: Fits, alive: Alive, kept: Floats, lanes: Sequence[Lane]) -> Floats:
    """Planned renewals of the past: S(due) * kept in the cell that holds the date (own cell: in the next)."""
    n = edges.shape[1] - 1
    allowed = np.array([not lane.never_renewed for lane in lanes])[:, None]
    due = np.maximum(fits.due, 0.0)
    cell = np.array([np.searchsorted(row, d, side="right") - 1 for row, d in zip(edges, due, strict=True)])
    own = np.arange(fits.s.shape[1])[None, :] - 1
    own = np.where(own == n, -1, own)
    cell = np.where(cell <= own, own + 1, cell)
    inside = (due < edges[:, -1:]) & (cell < n) & allowed
    hit = (cell[..., None] == np.arange(n)) & inside[..., None]
    return kept[..., None] * alive.due * hit[:, None]


def _today(lanes: Sequence[Lane], edges: Floats, masses: Floats, fits: Fits, alive: Alive, future: Floats) -> Past:
    kept = np.array([lane.kept for lane in lanes])[:, None, None]
    left = np.array([lane.left for lane in lanes])[:, None]
    now = edges[:, -1]
    told_t = np.array([lane.told.t if lane.told else np.inf for lane in lanes])[:, None]
    told_chance = np.array([lane.told.chance if lane.told else 0.0 for lane in lanes])[:, None]
    passed = 1.0 - told_chance * (fits.s < told_t) * (told_t < np.inf)
    masses = masses * passed[:, None]  # what a told renewal has already taken away
    on = 1.0 - kept * (fits.due <= now[:, None])[:, None]  # still unrenewed after its planned date
    running, sound = masses * on * alive.now[..., 0], masses * on * alive.sound_now[..., 0]
    last_due = fits.due > (now - np.array([lane.delay for lane in lanes]))[:, None]
    failed_late = masses * np.where(
        last_due[:, None],
        alive.edges[..., -1] - alive.now[..., 0],
        (alive.edges[..., -1] - alive.now[..., 0]) * (1.0 - kept),
    )
    failed_early = masses * (alive.edges[..., 0] - alive.edges[..., -1])
    faulty = failed_late.sum(axis=2) + left * failed_early.sum(axis=2)
    state = np.stack([sound.sum(axis=2), (running - sound).sum(axis=2), faulty], axis=2)
    fails, planned = _first_events(masses * on, fits, alive, future)
    return Past(state, fails, planned)


def _first_events(masses: Floats, fits: Fits, alive: Alive, future: Floats) -> tuple[Floats, Floats]:
    """What comes first after today, failure or planned renewal, for parts sound and degraded today."""
    due, ahead = fits.due[:, None, :], np.concatenate([alive.now, alive.ahead], axis=3)
    sound = np.concatenate([alive.sound_now, alive.sound_ahead], axis=3)
    before = due[..., None] >= future
    sound_cut = np.where(before, sound, alive.due_sound)
    all_cut = np.where(before, ahead, np.where(due[..., None] <= future[0], ahead[..., :1], alive.due))
    overdue = due <= future[0]
    sound_cut = np.where(overdue[..., None], sound[..., :1], sound_cut)
    both = np.stack([sound_cut, all_cut - sound_cut], axis=3)  # (L, K, J, 2, M + 1)
    weighted = masses[..., None, None] * both
    fails = (weighted[..., :-1] - weighted[..., 1:]).sum(axis=2)
    slot = np.searchsorted(future, due[:, 0], side="left")  # 0 overdue, m in cell m - 1, M + 1 beyond
    hit = slot[..., None] == np.arange(future.size)
    at_due = np.stack(
        [
            np.where(overdue, alive.sound_now[..., 0], alive.due_sound[..., 0]),
            np.where(overdue, alive.now[..., 0] - alive.sound_now[..., 0], alive.due[..., 0] - alive.due_sound[..., 0]),
        ],
        axis=3,
    )
    planned = np.einsum("lkj,lkjs,ljm->lksm", masses, at_due, hit.astype(float))
    return fails, planned
