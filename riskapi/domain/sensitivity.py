"""What moves the expected cost most: each finding, assumption and doubtful lifetime varied by itself.

Findings are left out one at a time. Roots (care, tune, revision) are taken as known: exact, from the masses per root
combination. A lifetime is set to the shortest and the longest of its doubt nodes: the node weighs the states of its own
weak point, and through the findings those of all others, so its evidence and all costs change. Both follow from one
sweep with the masses stepped along the imaginary axis by their costs (complex-step derivative: Squire & Trapp, SIAM
Review 40, 1998), without subtraction. Plans and prices are varied by what-ifs.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from riskapi.domain.costing import Basis
from riskapi.domain.knowledge import CARES
from riskapi.domain.means import MeanCosts, expected, likelihood_ratio, mean_costs
from riskapi.domain.outlook import Outlook, under_plans
from riskapi.domain.posterior import without_each
from riskapi.domain.pricing import price_table
from riskapi.domain.roots import Root
from riskapi.domain.terms import terms_of
from riskapi.domain.timeline import Floats
from riskapi.domain.what_if import Base, Changes

STEP = 1e-30  # of the complex step; no difference is taken, so it can be this small
DISTANCE, PRICES, YEARS = 0.25, 0.2, 1.0  # by which the annual distance and prices (shares) and the term [years] go
LEAST = 1e-3  # chance of a root's value below which it is not told


@dataclass(frozen=True, slots=True)
class Side:
    """One end of a bar: the value taken, in the unit of the bar (a number or an id), and the expected cost [money]."""

    value: float | str
    cost: float


@dataclass(frozen=True, slots=True)
class Bar:
    """kind: finding | assumption | knowledge; what: left_out | annual_distance | years | labour_rate | parts_index |
    care | tune | revision | lifetime; id: of the check or weak point, else that of `what`. Costs of low <= high."""

    kind: str
    what: str
    id: str
    low: Side
    high: Side

    @property
    def width(self) -> float:
        """How far it moves the expected cost [money]."""
        return self.high.cost - self.low.cost


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """Expected surprise cost as things stand [money], and what moves it, most first."""

    mean: float
    bars: tuple[Bar, ...]


def sensitivity(base: Base) -> Sensitivity:
    """Every bar of a case."""
    basis = Basis(base.car.outlook, base.car.posterior, base.prices)
    mean = float(expected(basis).unplanned.sum())
    bars = (*_findings(base, basis, mean), *_roots(base, basis), *_plans(base, basis), *_lifetimes(basis))
    return Sensitivity(mean, tuple(sorted(bars, key=lambda bar: (-bar.width, bar.what, bar.id))))


def _bar(kind: str, what: str, name: str, *sides: Side) -> Bar:
    low, high = min(sides, key=lambda side: side.cost), max(sides, key=lambda side: side.cost)
    return Bar(kind, what, name, low, high)


# ---- findings --------------------------------------------------------------------------------------------------


def _findings(base: Base, basis: Basis, mean: float) -> Iterator[Bar]:
    counted, outlook = base.readings.counted, basis.outlook
    joint = without_each(outlook.lanes, basis.posterior.groups, counted, outlook.table.masses)
    masses = outlook.table.masses
    per_mass = np.where(masses > 0.0, _costs(basis) / np.where(masses > 0.0, masses, 1.0), 0.0)
    for finding, cost in zip(counted, (joint * per_mass).sum(axis=(1, 2, 3)).tolist(), strict=True):
        if np.isfinite(cost):
            result = finding.check.results[finding.result].id
            yield _bar("finding", "left_out", finding.check.id, Side("", cost), Side(result, mean))


def _costs(basis: Basis) -> Floats:
    """Expected surprise cost per state, jointly with it, before the findings (W, 3, R) [money]."""
    table, money = basis.outlook.table, mean_costs(basis)
    return np.asarray(table.found * money.found[:, None] + table.failures * money.service[:, None])


# ---- roots -----------------------------------------------------------------------------------------------------


def _roots(base: Base, basis: Basis) -> Iterator[Bar]:
    posterior, roots = basis.posterior, basis.outlook.lanes.roots
    cost = (likelihood_ratio(posterior, basis.outlook.table) * _costs(basis)).sum(axis=(0, 1))

    def sides(of: Callable[[Root], str]) -> list[Side]:
        names = [of(root) for root in roots]
        found = []
        for name in dict.fromkeys(names):
            mine = [other == name for other in names]
            chance = float(posterior.root_chance[mine].sum())
            if chance > LEAST:
                found.append(Side(name, float(cost[mine].sum()) / chance))
        return found

    candidates = [c.revision.id if c.revision else "" for c in base.identity.candidates]
    told = {
        "care": sides(lambda root: CARES[root.care]),
        "tune": sides(lambda root: "yes" if root.tuned else "no"),
        "revision": sides(lambda root: candidates[root.candidate]),
    }
    yield from (_bar("assumption", what, what, *ends) for what, ends in told.items() if len(ends) > 1)


# ---- plans and prices ------------------------------------------------------------------------------------------


def _plans(base: Base, basis: Basis) -> Iterator[Bar]:
    terms, own = base.terms, base.terms.level
    index = base.case.market.parts_index
    index = base.pack.defaults.parts_index if index is None else index
    ends: dict[str, tuple[tuple[float, Changes], ...]] = {
        "annual_distance": tuple(
            (km, Changes(annual_distance_km=km)) for km in _around(terms.annual, DISTANCE) if terms.annual > 0.0
        ),
        "years": tuple((y, Changes(years=y)) for y in (max(terms.years - YEARS, 0.25), terms.years + YEARS)),
        "labour_rate": tuple((rate, Changes(labour_rate=rate)) for rate in _around(own.labour_rate, PRICES)),
        "parts_index": tuple((x, Changes(parts_index=x)) for x in _around(index, PRICES)),
    }
    for what, pair in ends.items():
        if pair:
            yield _bar("assumption", what, what, *(Side(value, _mean(base, basis, change)) for value, change in pair))


def _around(value: float, share: float) -> tuple[float, float]:
    return value * (1.0 - share), value * (1.0 + share)


def _mean(base: Base, basis: Basis, changes: Changes) -> float:
    """Expected surprise cost of the changed case [money]."""
    terms = terms_of(changes.applied(base.case), base.pack)
    outlook = under_plans(base.car.outlook, terms.annual, (terms.years,))
    prices = basis.prices
    if terms.level != base.terms.level:
        prices = price_table(base.pack, terms.level, basis.outlook.lanes)
    return float(expected(Basis(outlook or basis.outlook, basis.posterior, prices)).unplanned.sum())


# ---- lifetimes -------------------------------------------------------------------------------------------------


def _lifetimes(basis: Basis) -> Iterator[Bar]:
    """Costs given the first and the last node of each weak point's doubt."""
    outlook = basis.outlook
    if outlook.doubt.size < 2:
        return
    ends = [int(np.argmin(outlook.doubt)), int(np.argmax(outlook.doubt))]
    costs = node_costs(basis)
    for wp, pair in zip(outlook.lanes.weak_points, costs[:, ends].tolist(), strict=True):
        if all(np.isfinite(pair)):
            yield _bar("knowledge", "lifetime", wp.id, Side("short", pair[0]), Side("long", pair[1]))


def node_costs(basis: Basis) -> Floats:
    """Expected surprise cost of the whole car given each node of one weak point's doubt, (W, K) [money]."""
    evidence, others = _evidence_and_others(basis)
    masses, own = _per_node(basis.outlook, mean_costs(basis))
    chance = np.einsum("rwks,wsr->wk", masses, evidence)
    total = np.einsum("rwks,wsr->wk", masses, others) + np.einsum("rwks,wsr->wk", own, evidence)
    return np.where(chance > 0.0, total / np.where(chance > 0.0, chance, 1.0), np.nan)


def _evidence_and_others(basis: Basis) -> tuple[Floats, Floats]:
    """Per unit of mass of every state: probability of all findings, and jointly with it the expected cost of all other
    weak points; (W, 3, R) each."""
    masses, posterior = basis.outlook.table.masses, basis.posterior
    stepped = masses + 1j * STEP * _costs(basis)
    slopes = np.zeros(masses.shape, dtype=complex)
    for group in posterior.groups:
        index = list(group.roots)
        factors = group.observed.factors
        found = group.observed.sweep.gradients(factors * stepped[..., index])[1]
        slopes[..., index] = group.observed.constant[0] * posterior.root_factor[index] * factors * found
    return np.asarray(slopes.real), np.asarray(slopes.imag / STEP)


def _per_node(outlook: Outlook, money: MeanCosts) -> tuple[Floats, Floats]:
    """Masses of the states per node, and jointly with them the weak point's own expected cost; (R, W, K, 3) each."""
    state = np.array([spend.state for spend in outlook.spends])
    found, failures = np.zeros(state.shape), np.zeros(state.shape)
    for i, spend in enumerate(outlook.spends):
        events = spend.events[:, -1, :3]  # (K, 3, F, N)
        found[i] = events.sum(axis=3) @ np.arange(events.shape[2])
        failures[i] = events.sum(axis=2) @ np.arange(events.shape[3])
    masses, found, failures = (outlook.kept.mixing.mixed(rows) for rows in (state, found, failures))
    masses[..., 0] += outlook.absent[..., None]
    own = found * money.found.T[..., None, None] + failures * money.service.T[..., None, None]
    return masses, own
