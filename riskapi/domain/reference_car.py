"""The car as usually sold: same engine, age, odometer, use and prices, average care, nothing looked at.

Its market price is the user's `sound_value`; what the findings change against its expected cost is what they
change about the price (riskapi.domain.price_lines).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from riskapi.domain.case import Case
from riskapi.domain.costing import Basis
from riskapi.domain.identify import EngineIdentity
from riskapi.domain.knowledge import CARES, Pack
from riskapi.domain.lanes import LaneSet, lane_set
from riskapi.domain.means import expected
from riskapi.domain.outlook import Outlook, look_ahead
from riskapi.domain.posterior import infer, unseen_roots
from riskapi.domain.pricing import price_table
from riskapi.domain.terms import Terms

AVERAGE = CARES.index("average")


@dataclass(frozen=True, slots=True)
class ReferenceCost:
    """Expected cost of the reference car [money]: surprise, the same discounted, planned, the same discounted.

    `each`: of it every weak point's (id, discounted surprise, discounted planned).
    """

    unplanned: float
    discounted: float
    planned: float
    planned_discounted: float
    each: tuple[tuple[str, float, float], ...] = ()


def reference_cost(
    case: Case,
    pack: Pack,
    identity: EngineIdentity,
    candidate_chances: Sequence[float],
    terms: Terms,
    nodes: int,
    like: Outlook | None = None,
) -> ReferenceCost:
    """Means of the reference car; `candidate_chances` are those of the assessed car, per candidate engine, and `like`
    is its outlook: new parts fare alike in both."""
    lanes = reference_lanes(case, pack, identity, candidate_chances, terms)
    outlook = look_ahead(lanes, (terms.years,), pack.defaults.discount_rate, nodes, like)
    posterior = infer(lanes, unseen_roots(lanes), (), outlook.table.masses)
    return cost_of(Basis(outlook, posterior, price_table(pack, terms.level, lanes)))


def reference_lanes(
    case: Case, pack: Pack, identity: EngineIdentity, candidate_chances: Sequence[float], terms: Terms
) -> LaneSet:
    """The lanes of a car of average care of which nothing is recorded."""
    unseen = replace(case, history=(), findings=())
    average = lane_set(unseen, pack, identity, terms.annual, terms.years, AVERAGE)
    return _reweighted(average, candidate_chances)


def cost_of(basis: Basis) -> ReferenceCost:
    """Expected costs of the reference car."""
    means, points = expected(basis), basis.outlook.lanes.weak_points
    rows = zip(points, means.discounted.tolist(), means.planned_discounted.tolist(), strict=True)
    return ReferenceCost(
        unplanned=float(means.unplanned.sum()),
        discounted=float(means.discounted.sum()),
        planned=float(means.planned.sum()),
        planned_discounted=float(means.planned_discounted.sum()),
        each=tuple((point.id, surprise, planned) for point, surprise, planned in rows),
    )


def _reweighted(lanes: LaneSet, chances: Sequence[float]) -> LaneSet:
    """The root combinations weighted with the chances of the candidate engines."""
    scale = [chance / candidate.weight for chance, candidate in zip(chances, lanes.candidates, strict=True)]
    weights = np.array([root.weight * scale[root.candidate] for root in lanes.roots])
    shares = (weights / weights.sum()).tolist()
    return replace(lanes, roots=tuple(replace(r, weight=w) for r, w in zip(lanes.roots, shares, strict=True)))
