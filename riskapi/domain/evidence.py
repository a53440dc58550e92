"""From symptoms and readings to what the sweep runs on: open symptoms, and factors for everything that is not open.

A symptom of which nothing was seen, read without doubt, factors over its parents (P(level 0) is a product), so it
multiplies their masses and stays closed. A symptom that nobody looked at sums out to 1 and is left out, except
a zone from which something runs down to a zone that was looked at.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from riskapi.domain.identify import chance
from riskapi.domain.knowledge import Pack, Symptom, Traits, WeakPoint
from riskapi.domain.sweep import OpenSymptom, Plan, make_plan
from riskapi.domain.timeline import Floats


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
                rows = [cumulative([0.0] * len(effect.faulty))]
                rows += [cumulative([share * x for x in row]) for row in (effect.degraded, effect.faulty)]
                known = parents[effect.symptom].get(index)
                table = np.array(rows)
                parents[effect.symptom][index] = table if known is None else known * table
    return {
        symptom.id: SymptomTables(
            symptom,
            cumulative(symptom.background),
            parents[symptom.id],
            tuple(
                (arc.to, np.array([cumulative([0.0] * len(arc.table[0])), *(cumulative(row) for row in arc.table)]))
                for arc in symptom.runs_down
            ),
        )
        for symptom in pack.symptoms
    }


@dataclass(frozen=True, slots=True)
class Observed:
    """The sweep's input: plan, likelihood weights, factors (weak points, 3, B) on the masses and a constant (B,)."""

    plan: Plan
    weights: tuple[Floats, ...]
    factors: Floats
    constant: Floats


def observe(count: int, tables: Mapping[str, SymptomTables], likelihoods: Mapping[str, Floats], batch: int) -> Observed:
    """`likelihoods[symptom]` is (levels, batch): the product of what was read, per column of the batch."""
    builder = _Builder(count, tables, likelihoods, batch)
    for symptom in _lowest_first(tables):
        builder.add(symptom)
    return builder.done()


def _lowest_first(tables: Mapping[str, SymptomTables]) -> list[str]:
    order: list[str] = []

    def visit(name: str) -> None:
        if name not in order:
            for lower, _ in tables[name].runs_down:
                visit(lower)
            order.append(name)

    for name in tables:
        visit(name)
    return order


class _Builder:
    def __init__(
        self, count: int, tables: Mapping[str, SymptomTables], likelihoods: Mapping[str, Floats], batch: int
    ) -> None:
        self.tables, self.batch = tables, batch
        self.likelihoods = {name: np.array(value, dtype=float) for name, value in likelihoods.items()}
        self.factors = np.ones((count, 3, batch))
        self.constant = np.ones(batch)
        self.open: dict[str, Floats] = {}  # name -> last level of each class

    def add(self, name: str) -> None:
        """Open the symptom, or fold it into the factors when every column saw nothing or did not look."""
        table = self.tables[name]
        feeds = any(lower in self.open for lower, _ in table.runs_down)
        seen = self.likelihoods.get(name)
        if seen is None and not feeds:
            return
        if seen is None:
            seen = self.likelihoods[name] = np.ones((len(table.symptom.levels), self.batch))
        flat = (seen == seen[:1]).all(axis=0)
        nothing = (seen[1:] == 0.0).all(axis=0)
        if feeds or not (flat | nothing).all():
            self.open[name] = self._classes(seen, feeds)
            return
        self.constant *= seen[0] * np.where(flat, 1.0, table.background[0])
        columns = np.flatnonzero(nothing & ~flat)
        for index, cdf in table.parents.items():
            self.factors[index][:, columns] *= cdf[:, :1]
        self._dry(name, columns)

    def _dry(self, name: str, columns: np.typing.NDArray[np.intp]) -> None:
        """A zone seen dry makes wetness above it less likely: by the chance that nothing ran down."""
        for higher, table in self.tables.items():
            for lower, arc in table.runs_down:
                if lower == name and columns.size:
                    seen = self.likelihoods.setdefault(higher, np.ones((arc.shape[0], self.batch)))
                    seen[:, columns] *= arc[:, :1]

    @staticmethod
    def _classes(seen: Floats, feeds: bool) -> Floats:
        """Last level of each class: neighbours with equal likelihoods are merged, ruled-out top levels dropped."""
        top = int(np.flatnonzero(seen.any(axis=1))[-1]) if seen.any() else 0
        ends = [l for l in range(top + 1) if l == top or feeds or not (seen[l] == seen[l + 1]).all()]
        return np.array(ends, dtype=float)

    def done(self) -> Observed:
        names = list(self.open)
        ends = {name: self.open[name].astype(int) for name in names}
        symptoms, weights = [], []
        for name in names:
            table, at = self.tables[name], ends[name]
            higher = {
                names.index(above): arc[np.ix_(ends[above], at)]
                for above in names
                for lower, arc in self.tables[above].runs_down
                if lower == name
            }
            parents = {index: cdf[:, at] for index, cdf in table.parents.items()}
            symptoms.append(OpenSymptom(name, table.background[at], parents, higher))
            weights.append(self.likelihoods[name][at])
        return Observed(make_plan(self.factors.shape[0], symptoms), tuple(weights), self.factors, self.constant)
