"""A repair contract as offered: what it is expected to pay and what is left to the owner. Arithmetic, no judgement.

One claim is one failure in service of a covered weak point while the contract runs (and, where it covers what is
there already, one part found faulty on day 0). Within a waiting period nothing is paid. A claim costs c, the cheapest
of repair, another engine and write-off; the contract pays min(max(c - excess, 0), limit per claim), the owner the rest.
Both are functions of one claim, so the totals keep the compound structure and stay exact on the lattice; failures
within the waiting period are counted apart. A limit on all claims together needs the joint law of what is paid and
what is left; without it the chance of exceeding the budget lies between two stated bounds.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from riskapi.domain.assessment import Bounds, ContractFigures
from riskapi.domain.case import Contract
from riskapi.domain.costing import EARLY, REPAIRS, Basis, Transforms, distribution, make_transforms, unplanned
from riskapi.domain.curves import Curve
from riskapi.domain.jobs import GAUSS_W, GAUSS_X, Severity, capped_survival
from riskapi.domain.knowledge import Pack
from riskapi.domain.lane import Indices
from riskapi.domain.lattice import Lattice, transform
from riskapi.domain.means import expected, likelihood_ratio
from riskapi.domain.outlook import late_failures, look_ahead, look_apart
from riskapi.domain.retimed import retimed
from riskapi.domain.terms import Terms
from riskapi.domain.timeline import Floats

SHORTEST = 0.01  # [years] that a contract runs at least


def covered_ids(contract: Contract, pack: Pack) -> frozenset[str]:
    """Weak points that the contract covers by id or by system."""
    by_system = {wp.id for wp in pack.weak_points if wp.system in contract.systems}
    return frozenset(contract.weak_points) | by_system


def running_years(contract: Contract, terms: Terms) -> float:
    """How long the contract runs within the ownership [years]: by its years or its distance, whichever ends first."""
    ends = [terms.years]
    if contract.years is not None:
        ends.append(contract.years)
    if contract.distance_km is not None and terms.annual > 0.0:
        ends.append(contract.distance_km / terms.annual)
    return max(min(ends), SHORTEST)


def waiting_years(contract: Contract, terms: Terms) -> float:
    """How long nothing is paid [years]: until both waiting time and waiting distance have passed, at most the whole."""
    time = contract.waiting_years
    if contract.waiting_km > 0.0:
        time = max(time, contract.waiting_km / terms.annual if terms.annual > 0.0 else math.inf)
    return min(time, running_years(contract, terms))


def contract_figures(
    contract: Contract | None, pack: Pack, basis: Basis, terms: Terms, lattice: Lattice
) -> ContractFigures | None:
    """What the contract does over the years in which it runs; `lattice` reaches the repair budget. None without one."""
    if contract is None:
        return None
    years, wait = running_years(contract, terms), waiting_years(contract, terms)
    during = basis if years == terms.years and wait == 0.0 else _ahead(basis, terms, years, wait)
    ids, points = covered_ids(contract, pack), during.outlook.lanes.weak_points
    covered = tuple(w for w, wp in enumerate(points) if wp.id in ids)
    return _Offer(contract, during, covered, wait, lattice).figures(terms.budget, years)


def _ahead(basis: Basis, terms: Terms, years: float, wait: float) -> Basis:
    """The same car with the same states, looked ahead for other years, or with a waiting period."""
    before = basis.outlook
    lanes = retimed(before.lanes, terms.annual, years) or before.lanes  # never None: the distance a year is the same
    rate, nodes = before.discount_rate, before.doubt.size
    outlook = look_apart(lanes, years, wait, rate, nodes) if wait else look_ahead(lanes, (years,), rate, nodes)
    return Basis(outlook, basis.posterior, basis.prices)


@dataclass(frozen=True)
class _Offer:
    """A contract on a car; `covered` are positions of weak points, `wait` is how long nothing is paid [years]."""

    contract: Contract
    basis: Basis
    covered: tuple[int, ...]
    wait: float
    lattice: Lattice

    @property
    def existing(self) -> bool:
        """Whether it pays for what is found faulty on day 0, which lies within any waiting period."""
        return self.contract.existing_faults and self.wait == 0.0

    def figures(self, budget: float, years: float) -> ContractFigures:
        """Means by integration, chances on the lattice."""
        contract, limit = self.contract, self.contract.limit_total
        repairs, paid = self._means()
        plain = make_transforms(self.basis.prices, self.lattice, REPAIRS)
        without, left = self._curve(plain), self._curve(self._left(plain))
        pays = None if limit is None else self._curve(self._paid(plain))

        def beyond(amount: float) -> Bounds:
            return _bounds(without, left, pays, limit, amount)

        return ContractFigures(
            price=contract.price,
            years=years,
            waiting=self.wait,
            covered=tuple(self.basis.outlook.lanes.weak_points[w].id for w in self.covered),
            existing_faults=self.existing,
            excess=contract.excess,
            limit_per_claim=contract.limit_per_claim,
            limit_total=limit,
            covered_repairs=repairs,
            expected_payout=paid if pays is None or limit is None else min(paid, _mean_up_to(pays, limit)),
            expected_repairs=float(expected(self.basis).unplanned.sum()),
            exceeds_without=without.beyond(budget),
            exceeds_with=beyond(budget),
            exceeds_with_price=beyond(budget - contract.price),
        )

    def _curve(self, transforms: Transforms) -> Curve:
        return Curve(distribution(self.basis, transforms, unplanned(self.basis.term)), self.lattice)

    def _means(self) -> tuple[float, float]:
        """Expected number of covered repairs, and what is paid for them without a limit on the total [money]."""
        basis, table = self.basis, self.basis.outlook.table
        ratio = likelihood_ratio(basis.posterior, table)
        late = late_failures(basis.outlook) if self.wait else table.failures
        failures, found = ((ratio * numbers).sum(axis=1) for numbers in (late, table.found))
        count, money = 0.0, 0.0
        for r, root in enumerate(basis.outlook.lanes.roots):
            for w in self.covered:
                price = basis.prices[w, root.candidate]
                kinds = [(failures[w, r], price.in_service)]
                kinds += [(found[w, r], price.found)] if self.existing else []
                count += sum(float(number) for number, _ in kinds)
                money += sum(float(number) * payout_mean(severity, self.contract) for number, severity in kinds)
        return count, money

    def _left(self, plain: Transforms) -> Transforms:
        """Single costs to the owner: those covered without what the contract pays."""
        rows = {kind: plain.row[kind].copy() for kind in REPAIRS} | {EARLY: plain.row["service"]}
        return self._with(plain, rows, left_to_owner)

    def _paid(self, plain: Transforms) -> Transforms:
        """What the contract pays for single repairs: nothing for those not covered."""
        rows = {kind: np.full_like(plain.row["service"], -1) for kind in (*REPAIRS, EARLY)}
        return self._with(plain, rows, paid_for)

    def _with(self, plain: Transforms, rows: dict[str, Indices], share: Share) -> Transforms:
        """`rows` with the covered repairs pointed at this share of their costs."""
        known: dict[Severity, int] = {}
        first = len(plain.single) - 1  # the last row is that of no cost
        for w, candidate in ((w, c) for w, c in self.basis.prices if w in self.covered):
            price = self.basis.prices[w, candidate]
            rows["service"][w, candidate] = first + known.setdefault(price.in_service, len(known))
            if self.existing:
                rows["found"][w, candidate] = first + known.setdefault(price.found, len(known))
        shares = [_cells(share(severity, self.contract), self.lattice) for severity in known]
        new = transform(np.reshape(shares, (len(shares), self.lattice.size)), self.lattice)
        return replace(plain, single=np.concatenate([plain.single[:-1], new, plain.single[-1:]]), row=rows)


def _bounds(without: Curve, left: Curve, pays: Curve | None, limit: float | None, amount: float) -> Bounds:
    """P(what is left to the owner > amount). With a limit on the total he has at least what is left without one and at
    least the cost less the limit; more than the former only where the payouts pass the limit."""
    if amount < 0.0:
        return Bounds(1.0, 1.0)
    chance = left.beyond(amount)
    if pays is None or limit is None:
        return Bounds(chance, chance)
    reached = amount + limit < without.lattice.span
    low = max(chance, without.beyond(amount + limit) if reached else 0.0)
    return Bounds(low, max(low, min(chance + pays.beyond(limit), without.beyond(amount))))


def _mean_up_to(pays: Curve, limit: float) -> float:
    """E[min(total of the payouts, limit)] [money]."""
    short = np.maximum(limit - pays.lattice.step * np.arange(pays.lattice.size), 0.0)
    return limit - float(pays.pmf @ short)


# ---- one claim -------------------------------------------------------------------------------------------------

Survival = Callable[[Floats], Floats]  # P(amount > x) at x >= 0, ascending
Share = Callable[[Severity, Contract], Survival]


def cost_beyond(severity: Severity, x: Floats) -> Floats:
    """P(cost > x) of one repair; x ascending."""
    rows = (o.chance * capped_survival(o.job, severity.engines, severity.write_off, x) for o in severity.outcomes)
    return np.asarray(sum(rows, start=np.zeros(x.size)))


def left_to_owner(severity: Severity, contract: Contract) -> Survival:
    """Of the owner's share min(c, excess) + max(c - excess - limit, 0)."""
    limit = np.inf if contract.limit_per_claim is None else contract.limit_per_claim

    def beyond(x: Floats) -> Floats:
        return cost_beyond(severity, np.where(x < contract.excess, x, x + limit))

    return beyond


def paid_for(severity: Severity, contract: Contract) -> Survival:
    """Of what the contract pays, min(max(c - excess, 0), limit)."""
    limit = np.inf if contract.limit_per_claim is None else contract.limit_per_claim

    def beyond(x: Floats) -> Floats:
        return np.where(x < limit, cost_beyond(severity, x + contract.excess), 0.0)

    return beyond


def payout_mean(severity: Severity, contract: Contract) -> float:
    """Expected payout of one claim [money]: the integral of P(cost > x) from the excess over the limit."""
    highest = max(o.job.high for o in severity.outcomes)
    limit = highest if contract.limit_per_claim is None else contract.limit_per_claim
    start, end = contract.excess, min(contract.excess + limit, highest)
    if not end > start:
        return 0.0
    jobs = (*(o.job for o in severity.outcomes), *severity.engines)
    bends = {x for job in jobs for x in (job.low, job.likely, job.high)} | {severity.write_off or 0.0}
    pieces = np.array(list(pairwise(sorted({start, end, *(x for x in bends if start < x < end)}))))
    middle, half = 0.5 * pieces.sum(axis=1), 0.5 * (pieces[:, 1] - pieces[:, 0])
    x: Floats = np.add.outer(middle, np.zeros(GAUSS_X.size)) + np.multiply.outer(half, GAUSS_X)
    return float(half @ (cost_beyond(severity, x.ravel()).reshape(x.shape) @ GAUSS_W))


def _cells(beyond: Survival, lattice: Lattice) -> Floats:
    """Probabilities (N,) by rounding to the nearest point."""
    edges = np.asarray((np.arange(lattice.size) + 0.5) * lattice.step, dtype=np.float64)
    more = np.concatenate([[1.0], beyond(edges)])
    return np.asarray(more[:-1] - more[1:])
