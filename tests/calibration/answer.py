"""What the model says of one car: states, roots, counts of weak points not sound, and the distribution of cost.

The steps are those of `riskapi.service.assess` up to the cost curve; bands, prices and advice are left out for time.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from riskapi.domain.case import Case
from riskapi.domain.costing import Basis
from riskapi.domain.curves import Curve, draw_curves
from riskapi.domain.identify import identify
from riskapi.domain.knowledge import CARES, Pack
from riskapi.domain.lanes import LaneSet, lane_set
from riskapi.domain.lifetime import NODES
from riskapi.domain.means import expected
from riskapi.domain.open_traits import with_open_traits
from riskapi.domain.outlook import look_ahead
from riskapi.domain.posterior import group_roots, infer
from riskapi.domain.pricing import price_table
from riskapi.domain.readings import read_findings
from riskapi.domain.roots import Root
from riskapi.domain.terms import terms_of
from riskapi.domain.timeline import Floats

ALL = "all systems"


@dataclass(frozen=True)
class Answer:
    """states: weak point -> chances of sound, degraded, faulty; revision, care, tune: chances of the roots.

    counts: per system, and for ALL, the chances of 0, 1, .. weak points that are not sound.
    """

    states: Mapping[str, Floats]
    revision: Mapping[str | None, float]
    care: tuple[float, ...]
    tune: float
    counts: Mapping[str, Floats]
    curve: Curve
    mean: float
    budget: float
    score: float


def answer_to(case: Case, pack: Pack) -> Answer:
    """Raises what `assess` raises."""
    readings, terms = read_findings(case, pack), terms_of(case, pack)
    identity = with_open_traits(case, pack, identify(case, pack), readings.counted)
    lanes = lane_set(case, pack, identity, terms.annual, terms.years)
    outlook = look_ahead(lanes, terms.horizons[-1:], pack.defaults.discount_rate, NODES)
    groups = group_roots(pack, lanes, readings.counted)
    posterior = infer(lanes, groups, readings.counted, outlook.table.masses)
    basis = Basis(outlook, posterior, price_table(pack, terms.level, lanes))
    mean = float(expected(basis).unplanned.sum())
    curve = draw_curves(basis, terms.budget, mean).score
    states = posterior.state.sum(axis=2)
    chance = posterior.root_chance

    def share(which: list[bool]) -> float:
        return float(chance[which].sum())

    return Answer(
        states={wp.id: row for wp, row in zip(lanes.weak_points, states, strict=True)},
        revision={
            name: share([_revision(lanes, r) == name for r in lanes.roots])
            for name in {_revision(lanes, r) for r in lanes.roots}
        },
        care=tuple(share([r.care == care for r in lanes.roots]) for care in range(len(CARES))),
        tune=share([r.tuned for r in lanes.roots]),
        counts=_counts(basis),
        curve=curve,
        mean=mean,
        budget=terms.budget,
        score=curve.beyond(terms.budget),
    )


def _revision(lanes: LaneSet, root: Root) -> str | None:
    revision = lanes.candidates[root.candidate].revision
    return None if revision is None else revision.id


def _counts(basis: Basis) -> dict[str, Floats]:
    """How many weak points are not sound: the sweep over a generating function, transformed back."""
    points = basis.outlook.lanes.weak_points
    systems = {ALL: np.ones(len(points), dtype=bool)}
    systems |= {s: np.array([p.system == s for p in points]) for s in sorted({p.system for p in points})}
    found = {}
    for name, inside in systems.items():
        size = int(inside.sum()) + 1
        turn = np.exp(-2j * np.pi * np.arange(size // 2 + 1) / size)
        found[name] = np.maximum(np.fft.irfft(_generating(basis, inside, turn), size), 0.0)
    return found


def _generating(basis: Basis, inside: np.ndarray, turn: np.ndarray) -> np.ndarray:
    """E[turn ** number not sound of those inside | everything found], one entry per turn."""
    total = np.zeros(turn.size, dtype=complex)
    factor = np.where(inside[:, None], turn[None], 1.0)  # (W, F)
    for group in basis.posterior.groups:
        roots = list(group.roots)
        masses = basis.outlook.table.masses[:, :, roots] * group.observed.factors  # (W, 3, R)
        turned = masses[..., None] * np.stack([np.ones_like(factor), factor, factor], axis=1)[:, :, None, :]
        z = group.observed.sweep.evidence(turned.reshape(*turned.shape[:2], -1))
        z = np.broadcast_to(z, len(roots) * turn.size).reshape(len(roots), turn.size)
        total += group.observed.constant[0] * (basis.posterior.root_factor[roots] @ z)
    return total
