"""From symptoms and readings to what the sweep runs on: open symptoms, and factors for everything that is not open.

Readings that say of a symptom no more than 'at most this level' factor over its parents (P(level <= l) is a product),
so they multiply their masses and the symptom stays closed; so does whatever was read from a symptom with a single
parent. A symptom that nobody looked at sums out to 1 and is left out, except a zone from which something runs down to a
zone that was looked at.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from riskapi.domain.knowledge import Effect, Pack, RunDown, Symptom, Traits, WeakPoint
from riskapi.domain.sweep import OpenSymptom, Plan, Sweep, make_plan
from riskapi.domain.sweep_levels import Array, density, raised
from riskapi.domain.sweep_matrices import MatrixSweep, fixed_sweep
from riskapi.domain.sweep_plan import LIMIT
from riskapi.domain.timeline import Floats
from riskapi.domain.traits import chance

Indices = npt.NDArray[np.intp]


@dataclass(frozen=True, slots=True)
class SymptomTables:
    """Cumulative level tables of one symptom for one set of traits: background (L + 1,), per parent (3, L + 1)."""

    symptom: Symptom
    background: Floats
    parents: Mapping[int, Floats]
    runs_down: tuple[tuple[str, Floats], ...]  # (lower zone, (L + 1 levels here, L + 1 there))


def cumulative(exceedance: Sequence[float]) -> Floats:
    """Cumulative chances (L + 1,) from the chances of reaching level 1, 2, .. L."""
    return np.append(1.0 - np.asarray(exceedance, dtype=float), 1.0)


def symptom_tables(pack: Pack, weak_points: Sequence[WeakPoint], traits: Traits) -> dict[str, SymptomTables]:
    """Tables of every symptom of the pack under these traits; an effect that may not apply is thinned by its chance."""
    parents: dict[str, dict[int, Floats]] = {symptom.id: {} for symptom in pack.symptoms}
    for index, wp in enumerate(weak_points):
        for effect in wp.effects:
            share = chance(effect.when, traits, pack)
            if share > 0.0:
                table = _effect_table(effect, share)
                known = parents[effect.symptom].get(index)
                parents[effect.symptom][index] = table if known is None else known * table
    return {
        symptom.id: SymptomTables(
            symptom, cumulative(symptom.background), parents[symptom.id], tuple(map(_arc, symptom.runs_down))
        )
        for symptom in pack.symptoms
    }


@lru_cache(maxsize=256)
def tables_of(pack: Pack, weak_points: tuple[str, ...], traits: Traits) -> Mapping[str, SymptomTables]:
    """The same for weak points by id; kept, since many cars have an engine with these traits."""
    return MappingProxyType(symptom_tables(pack, [pack.weak_point(name) for name in weak_points], traits))


@lru_cache(maxsize=256)
def content_of(pack: Pack, weak_points: tuple[str, ...], traits: Traits) -> tuple[tuple[int, bytes], ...]:
    """The numbers of these tables: engines for which they are equal show alike."""
    return tuple(
        (index, array.tobytes())
        for table in tables_of(pack, weak_points, traits).values()
        for index, array in ((-1, table.background), *table.parents.items())
    )


def _effect_table(effect: Effect, share: float) -> Floats:
    """Cumulative chances (3, L + 1) of an effect that applies with this chance; sound shows nothing."""
    rows = ([0.0] * len(effect.faulty), effect.degraded, effect.faulty)
    return np.array([cumulative([share * x for x in row]) for row in rows])


def _arc(arc: RunDown) -> tuple[str, Floats]:
    """The lower zone and cumulative chances (L + 1 here, L + 1 there); from a dry zone nothing runs down."""
    return arc.to, np.array([cumulative(row) for row in ([0.0] * len(arc.table[0]), *arc.table)])


@dataclass(frozen=True)
class Observed:
    """The sweep's input: plan, likelihood weights, factors (weak points, 3, B) on the masses and a constant (B,)."""

    plan: Plan
    weights: tuple[Floats, ...]
    factors: Floats
    constant: Floats

    @cached_property
    def sweep(self) -> MatrixSweep | Sweep:
        """For a single column of likelihoods: the sweep, made once."""
        return fixed_sweep(self.plan, self.weights)

    def gradients(self, masses: Array) -> tuple[Array, Array]:
        """For a single column of likelihoods: evidence (R, F) without the constant, and its derivatives by the masses
        (W, 3, R, F)."""
        factors = self.factors[..., None]
        batch = (masses * factors).reshape(*masses.shape[:2], -1)
        z, slopes = self.sweep.gradients(batch)
        z = np.broadcast_to(z, batch.shape[2:]).reshape(masses.shape[2:])
        return z, slopes.reshape(masses.shape) * factors


def observe(
    count: int,
    tables: Mapping[str, SymptomTables],
    likelihoods: Mapping[str, Floats],
    batch: int,
    limit: int = LIMIT,
) -> Observed:
    """The sweep's input for `count` weak points.

    `likelihoods[symptom]` is (levels, batch): the product of what was read, per column of the batch. Raises
    TooComplex above `limit` entries of an array.
    """
    folding = _Folding(count, tables, likelihoods, batch)
    for name in lowest_first(tables):
        folding.add(name)
    return folding.observed(limit)


def lowest_first(tables: Mapping[str, SymptomTables]) -> list[str]:
    """All symptoms, every zone after those it runs down to."""
    order: list[str] = []

    def visit(name: str) -> None:
        if name not in order:
            for lower, _ in tables[name].runs_down:
                visit(lower)
            order.append(name)

    for name in tables:
        visit(name)
    return order


class _Folding:
    """Takes symptoms one by one, the lowest zones first, and folds or opens each."""

    def __init__(
        self, count: int, tables: Mapping[str, SymptomTables], likelihoods: Mapping[str, Floats], batch: int
    ) -> None:
        self.tables, self.batch = tables, batch
        self.likelihoods = {name: np.array(value, dtype=float) for name, value in likelihoods.items()}
        self.factors = np.ones((count, 3, batch))
        self.constant = np.ones(batch)
        self.last_levels: dict[str, list[int]] = {}  # of each class, per open symptom

    def add(self, name: str) -> None:
        """Open the symptom, unless every column can be folded into the factors."""
        feeds = any(lower in self.last_levels for lower, _ in self.tables[name].runs_down)
        if name not in self.likelihoods and not feeds:
            return
        levels = len(self.tables[name].symptom.levels)
        seen = self.likelihoods.setdefault(name, np.ones((levels, self.batch)))
        at_most = _highest(seen)
        if feeds:
            self.last_levels[name] = _classes(seen, feeds)
        elif at_most is not None:
            self._fold(name, seen[0], at_most)
        elif len(self.tables[name].parents) == 1 and not self._fed(name):
            self._fold_into_parent(name, seen)
        else:
            self.last_levels[name] = _classes(seen, feeds)

    def _fold(self, name: str, seen: Floats, at_most: Indices) -> None:
        """P(level <= l) is a product over the background, the parents and every zone above; l per column."""
        table = self.tables[name]
        self.constant *= seen * table.background[at_most]
        for index, cdf in table.parents.items():
            self.factors[index] *= cdf[:, at_most]
        for higher, above in self.tables.items():
            for lower, arc in above.runs_down:
                if lower == name and (arc[:, at_most] != 1.0).any():
                    before = self.likelihoods.setdefault(higher, np.ones((arc.shape[0], self.batch)))
                    before *= arc[:, at_most]

    def _fold_into_parent(self, name: str, seen: Floats) -> None:
        """With one parent and no zone above, what was read is a likelihood of that parent's state."""
        table = self.tables[name]
        ((index, cdf),) = table.parents.items()
        levels = np.stack([raised(density(table.background), 0, row) for row in cdf])  # (3, L)
        self.factors[index] *= levels @ seen

    def _fed(self, name: str) -> bool:
        """Whether a zone above runs down to it."""
        return any(lower == name for table in self.tables.values() for lower, _ in table.runs_down)

    def observed(self, limit: int) -> Observed:
        """Plan and weights of the open symptoms, with all that was folded."""
        symptoms = [self._open(name) for name in self.last_levels]
        weights = tuple(self.likelihoods[name][at] for name, at in self.last_levels.items())
        plan = make_plan(self.factors.shape[0], symptoms, limit)
        return Observed(plan, weights, self.factors, self.constant)

    def _open(self, name: str) -> OpenSymptom:
        table, at = self.tables[name], self.last_levels[name]
        parents = {index: cdf[:, at] for index, cdf in table.parents.items()}
        higher = {
            position: arc[np.ix_(self.last_levels[above], at)]
            for position, above in enumerate(self.last_levels)
            for lower, arc in self.tables[above].runs_down
            if lower == name
        }
        return OpenSymptom(name, table.background[at], parents, higher)


def _highest(seen: Floats) -> Indices | None:
    """The level of each column up to which everything is equally likely and beyond which nothing is possible, (B,);
    None if a column tells levels apart otherwise. An impossible column has level 0."""
    possible = seen != 0.0
    at_most = np.where(possible[0], possible.sum(axis=0) - 1, 0)
    expected = np.where(np.arange(len(seen))[:, None] <= at_most, seen[0], 0.0)
    return at_most if (seen == expected).all() else None


def _classes(seen: Floats, feeds: bool) -> list[int]:
    """Last level of each class: neighbours with equal likelihoods are merged, ruled-out top levels dropped.

    The levels of a zone that feeds an open one are kept apart.
    """
    top = int(np.flatnonzero(seen.any(axis=1))[-1]) if seen.any() else 0
    return [k for k in range(top + 1) if k == top or feeds or not (seen[k] == seen[k + 1]).all()]
