"""The car as usually sold: same engine, age, odometer, use and prices, average care, nothing looked at.

Its market price is the user's `sound_value`; what the findings change against its expected cost is what they
change about the price.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from riskapi.domain.assessment import PriceLine, Spread
from riskapi.domain.case import Case
from riskapi.domain.costing import Basis
from riskapi.domain.identify import EngineIdentity
from riskapi.domain.knowledge import CARES, Pack
from riskapi.domain.lanes import LaneSet, lane_set
from riskapi.domain.means import Means, expected
from riskapi.domain.outlook import look_ahead
from riskapi.domain.posterior import infer, unseen_roots
from riskapi.domain.pricing import price_table
from riskapi.domain.terms import Terms

AVERAGE = CARES.index("average")


@dataclass(frozen=True, slots=True)
class ReferenceCost:
    """Expected cost of the reference car [money]: surprise, the same discounted, planned, the same discounted."""

    unplanned: float
    discounted: float
    planned: float
    planned_discounted: float


def reference_cost(
    case: Case, pack: Pack, identity: EngineIdentity, candidate_chances: Sequence[float], terms: Terms, nodes: int
) -> ReferenceCost:
    """Means of the reference car; `candidate_chances` are those of the assessed car, per candidate engine."""
    unseen = replace(case, history=(), findings=())
    average = lane_set(unseen, pack, identity, terms.annual, terms.years, AVERAGE)
    lanes = _reweighted(average, candidate_chances)
    outlook = look_ahead(lanes, (terms.years,), pack.defaults.discount_rate, nodes)
    posterior = infer(lanes, unseen_roots(lanes), (), outlook.table.masses)
    means = expected(Basis(outlook, posterior, price_table(pack, terms.level, lanes)))
    return ReferenceCost(
        *(float(x.sum()) for x in (means.unplanned, means.discounted, means.planned, means.planned_discounted))
    )


def _reweighted(lanes: LaneSet, chances: Sequence[float]) -> LaneSet:
    """The root combinations weighted with the chances of the candidate engines."""
    scale = [chance / candidate.weight for chance, candidate in zip(chances, lanes.candidates, strict=True)]
    weights = np.array([root.weight * scale[root.candidate] for root in lanes.roots])
    shares = (weights / weights.sum()).tolist()
    return replace(lanes, roots=tuple(replace(r, weight=w) for r, w in zip(lanes.roots, shares, strict=True)))


@dataclass(frozen=True, slots=True)
class Prices:
    """price_for_findings = sound value - D + shared access saving, uncapped; cautious_price with P80 for the mean."""

    for_findings: float
    cautious: float
    items: tuple[PriceLine, ...]


def price_for_findings(
    sound_value: float, scrap: float, means: Means, unplanned: Spread, reference: ReferenceCost, saving: float
) -> Prices:
    """The price that matches the findings, line by line; the lines add up to the cautious price.

    Neither price is below the scrap value: nobody sells for less.
    """
    immediate = float(means.immediate.sum())
    later = float(means.discounted.sum()) - immediate - reference.discounted
    planned = float(means.planned_discounted.sum()) - reference.planned_discounted
    by_findings = sound_value - immediate - later - planned + saving
    price = max(by_findings, scrap)
    cautious = max(min(price, sound_value - (unplanned.p80 - reference.unplanned)), scrap)
    lines = (
        PriceLine("Value of this car as usually sold", sound_value),
        PriceLine("Repairs needed now, on average", -immediate),
        PriceLine("Saved where these repairs share dismantling", saving),
        PriceLine("Later surprise repairs, against the car as usually sold", -later),
        PriceLine("Planned work falling due, against the car as usually sold", -planned),
        PriceLine("No less than the scrap value", price - by_findings),
        PriceLine("Room for what is not known", cautious - price),
    )
    return Prices(price, cautious, tuple(line for line in lines if line.amount != 0.0))
