"""Masses of states and spends per root combination and weak point, before any finding of today.

This is where lanes, copies and mixtures come together. Arrays have the axes (root combination, weak point, ...);
doubt nodes are averaged as joint masses, never normalised one by one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import islice

import numpy as np
import numpy.typing as npt

from riskapi.domain.earlier_lives import likelihoods, lives_beside, lives_of
from riskapi.domain.future import Counts, counts, future_edges, paired_counts
from riskapi.domain.lanes import LaneSet
from riskapi.domain.lifetime import doubt_nodes
from riskapi.domain.new_parts import NewParts, new_parts
from riskapi.domain.renewal_ahead import KnownPast, known_past, with_future
from riskapi.domain.retimed import retimed
from riskapi.domain.spends import OneCopy, Spend, averaged, one_of_each, side_by_side
from riskapi.domain.states_today import Past
from riskapi.domain.timeline import Floats

Indices = npt.NDArray[np.intp]


@dataclass(frozen=True)
class Outlook:
    """`spends[lane]`; `horizons` are the years after purchase at which events are counted (the last is the term).

    `doubt` (K,): the nodes of ln eta in units of its sigma; `discount_rate`: real, per year; `kept` is what plans of
    the buyer leave alone, `new` how new parts fare. With a `base` the numbers of failures are pairs (`paired_counts`),
    early ones and late ones.
    """

    lanes: LaneSet
    spends: tuple[Spend, ...]
    horizons: tuple[float, ...]
    doubt: Floats
    discount_rate: float
    kept: Kept
    new: NewParts
    base: int = 0

    @cached_property
    def table(self) -> MassTable:
        """Masses and expected numbers of every weak point under every root combination."""
        return mass_table(self)

    @cached_property
    def mean_events(self) -> list[Floats]:
        """`events` of every spend averaged over the nodes, (H, 4, F, N)."""
        return averaged([spend.events for spend in self.spends])

    @cached_property
    def mean_numbers(self) -> MeanNumbers:
        """Expected numbers of repairs of every lane."""
        return _mean_numbers(self.mean_events, self.base)

    @property
    def absent(self) -> Floats:
        """Chance that the engine has no such part, (R, W)."""
        return self.kept.mixing.absent

    @property
    def years(self) -> float:
        """The term [years]."""
        return self.horizons[-1]


@dataclass(frozen=True, slots=True)
class Mixing:
    """Which lanes make up a weak point under a root combination, in the order of (root, weak point): `lane` and
    `weight` (n,), of cells that start at `starts`; `cells` are those that have any. absent (R, W)."""

    lane: Indices
    weight: Floats
    starts: Indices
    cells: Indices
    absent: Floats

    def mixed(self, rows: Floats) -> Floats:
        """Rows of the lanes (L, ..) mixed into weak points under root combinations, (R, W, ..)."""
        weighed = self.weight.reshape(-1, *[1] * (rows.ndim - 1)) * rows[self.lane]
        result = np.zeros((self.absent.size, *rows.shape[1:]))
        result[self.cells] = np.add.reduceat(weighed, self.starts) if self.starts.size else 0.0
        return result.reshape(*self.absent.shape, *rows.shape[1:])


def mixing_of(lanes: LaneSet) -> Mixing:
    """The mixtures of a set of lanes."""
    cells = [mix.lanes for mixes in lanes.mixes for mix in mixes]
    pairs = [pair for mix in cells for pair in mix]
    lane, weight = np.array(pairs, dtype=float).reshape(-1, 2).T
    sizes = np.array([len(mix) for mix in cells], dtype=np.intp)
    used = np.flatnonzero(sizes)
    whole = np.bincount(np.repeat(np.arange(sizes.size), sizes), weight, sizes.size)
    absent = np.maximum(1.0 - whole, 0.0).reshape(len(lanes.mixes), len(lanes.weak_points))
    starts = (np.cumsum(sizes) - sizes)[used]
    return Mixing(lane.astype(np.intp), weight, starts, used, absent)


@dataclass(frozen=True, slots=True)
class Kept:
    """What no plan of the buyer changes: the mixing of the lanes, their past, and the likelihood (K,) of what came
    before those lives (positions in `lives_of`) that have others before them."""

    mixing: Mixing
    known: KnownPast
    before: Mapping[int, Floats]


def look_ahead(
    lanes: LaneSet, horizons: Sequence[float], rate: float, nodes: int, like: Outlook | None = None
) -> Outlook:
    """Play all lanes up to the last horizon, counting events up to each [years after purchase, ascending].

    Horizons before the last are multiples of 1/2; `rate` is the real discount rate per year. `like` is the outlook of
    another car with the same parts and plans, whose new parts fare alike.
    """
    edges, doubt = future_edges(lanes.timeline.now, horizons[-1]), doubt_nodes(nodes)
    kept, past = _kept(lanes, doubt, edges)
    return play(lanes, past, horizons, rate, doubt, kept, like)


def _kept(lanes: LaneSet, doubt: Floats, edges: Floats) -> tuple[Kept, Past]:
    """What no plan changes, and the past as it bears on these future edges."""
    lives = lives_of(lanes)
    known, past = known_past(lives, doubt, edges)
    place = {id(life): i for i, life in enumerate(lives)}
    before = {place[life]: chance for life, chance in likelihoods(lanes, doubt).items()}
    return Kept(mixing_of(lanes), known, before), past


def under_plans(
    outlook: Outlook, annual: float, horizons: Sequence[float], like: Outlook | None = None
) -> Outlook | None:
    """The outlook of a buyer who drives `annual` [km/year] up to the last of these horizons; None where the lanes have
    to be built anew (riskapi.domain.retimed). `like` as in `look_ahead`."""
    if (annual, horizons[-1]) == (outlook.lanes.timeline.annual, outlook.years):
        return outlook
    lanes = retimed(outlook.lanes, annual, horizons[-1])
    return None if lanes is None else along(outlook, lanes, horizons, like)


def along(outlook: Outlook, lanes: LaneSet, horizons: Sequence[float], like: Outlook | None = None) -> Outlook:
    """The outlook of the same car on other lanes, which differ from those of `outlook` after today only."""
    past = with_future(
        outlook.kept.known, lives_of(lanes), outlook.doubt, future_edges(lanes.timeline.now, horizons[-1])
    )
    return play(lanes, past, horizons, outlook.discount_rate, outlook.doubt, outlook.kept, like)


def play(
    lanes: LaneSet,
    before: Past,
    horizons: Sequence[float],
    rate: float,
    doubt: Floats,
    kept: Kept,
    like: Outlook | None = None,
) -> Outlook:
    """The same from what the past of all lives (`lives_of`) has left, known at the future edges of the last horizon."""
    edges = future_edges(lanes.timeline.now, horizons[-1])
    index = [int(np.argmin(np.abs(edges - edges[0] - h))) for h in horizons]
    new = new_parts(lives_of(lanes), doubt, edges, None if like is None else like.new)
    played = counts(before, new, edges, index, rate)
    return Outlook(lanes, _spends(lanes, before, played, kept), tuple(horizons), doubt, rate, kept, new)


def look_apart(lanes: LaneSet, years: float, wait: float, rate: float, nodes: int) -> Outlook:
    """The whole of some years, in which failures up to `wait` [years after purchase] are told apart from later ones."""
    edges, doubt = future_edges(lanes.timeline.now, years, wait), doubt_nodes(nodes)
    lives, early = lives_of(lanes), int(np.argmin(np.abs(edges - edges[0] - wait)))
    kept, before = _kept(lanes, doubt, edges)
    copies = max((mix.copies for row in lanes.mixes for mix in row), default=1)
    new = new_parts(lives, doubt, edges)
    pairs, base = paired_counts(before, new, edges, early, copies)
    played = replace(counts(before, new, edges, [edges.size - 1], rate), pmf=pairs)
    return Outlook(lanes, _spends(lanes, before, played, kept), (years,), doubt, rate, kept, new, base)


def _spends(lanes: LaneSet, before: Past, played: Counts, kept: Kept) -> tuple[Spend, ...]:
    """What every lane spends, all copies together."""
    single = one_of_each(before.state, played.pmf, played.planned, played.worth)
    for i, chance in kept.before.items():
        single[i] = single[i].weighed(chance)
    copies = {lane: mix.copies for row in lanes.mixes for mix in row for lane, _ in mix.lanes}
    rows, spends = iter(single), []
    for i, lives in enumerate(lives_beside(lanes.lanes)):
        spends.append(_of_copies(list(islice(rows, len(lives))), copies.get(i, 1)))
    return tuple(spends)


def _of_copies(rows: Sequence[OneCopy], copies: int) -> Spend:
    """All copies of a part: one of each life, and what is left of the last one."""
    spend = rows[-1].times(copies - len(rows) + 1)
    for row in reversed(rows[:-1]):
        spend = side_by_side(row.times(1), spend)
    return spend


@dataclass(frozen=True, slots=True)
class MassTable:
    """Per weak point, state and root combination: masses, and expected numbers jointly with the state, (W, 3, R) each.

    found: copies found faulty on day 0; failures: in service, over the whole term; present: the same, each weighted
    with its discount factor; planned, planned_present: likewise for planned renewals; quiet: mass without any repair.
    """

    masses: Floats
    found: Floats
    failures: Floats
    present: Floats
    planned: Floats
    planned_present: Floats
    quiet: Floats


def mass_table(outlook: Outlook) -> MassTable:
    """Node-averaged masses and expected numbers over the whole term."""
    events = outlook.mean_numbers
    worth = np.array(averaged([spend.worth for spend in outlook.spends]))[:, :3]  # (L, 3, 2)
    planned = np.array([row[:3] @ np.arange(row.shape[1]) for row in averaged([s.planned for s in outlook.spends])])
    state = np.array(averaged([spend.state for spend in outlook.spends]))
    numbers = (state, events.found, events.failures[:, -1], worth[..., 0], planned, worth[..., 1], events.quiet)
    rows = np.stack(numbers, axis=1)
    absent = np.zeros(rows.shape[1:])  # a weak point that the engine does not have is sound and stays quiet
    absent[[0, -1], 0] = 1.0
    table = outlook.kept.mixing.mixed(rows) + np.multiply.outer(outlook.absent, absent)
    return MassTable(*table.transpose(2, 1, 3, 0))


def failures_by(outlook: Outlook) -> Floats:
    """Expected number of failures in service up to each horizon, jointly with the state, (H, W, 3, R)."""
    return np.asarray(outlook.kept.mixing.mixed(outlook.mean_numbers.failures).transpose(2, 1, 3, 0))


def late_failures(outlook: Outlook) -> Floats:
    """Expected number of the failures in service that are late, jointly with the state, (W, 3, R)."""
    return np.asarray(outlook.kept.mixing.mixed(outlook.mean_numbers.late).transpose(1, 2, 0))


@dataclass(frozen=True, slots=True)
class MeanNumbers:
    """Per lane, jointly with the state and averaged over the nodes: copies found faulty (L, 3), failures in service up
    to each horizon (L, H, 3), the late ones of the whole term (L, 3), and the mass without any repair in it (L, 3)."""

    found: Floats
    failures: Floats
    late: Floats
    quiet: Floats


def _mean_numbers(events: Sequence[Floats], base: int) -> MeanNumbers:
    """Lanes with as many copies together."""
    found, late, quiet = np.zeros((3, len(events), 3))
    failures = np.zeros((len(events), len(events[0]), 3) if events else (0, 0, 3))
    copies = np.array([each.shape[2] for each in events], dtype=np.intp)
    for size in np.unique(copies):
        mine = np.flatnonzero(copies == size)
        rows = [events[i][:, :3] for i in mine.tolist()]
        block = np.zeros((mine.size, *rows[0].shape[:-1], max(row.shape[-1] for row in rows)))  # (n, H, 3, F, N)
        for some, row in zip(block, rows, strict=True):
            some[..., : row.shape[-1]] = row
        found[mine] = block[:, -1].sum(axis=3) @ np.arange(size)
        numbers = np.arange(block.shape[-1])
        first, second = (numbers % base, numbers // base) if base else (0, numbers)
        failures[mine] = block.sum(axis=3) @ (first + second)
        late[mine] = block[:, -1].sum(axis=2) @ second
        quiet[mine] = block[:, -1, :, 0, 0]
    return MeanNumbers(found, failures, late, quiet)
