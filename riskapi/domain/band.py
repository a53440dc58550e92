"""How far the score would move if the doubtful lifetimes were known: its 10th to 90th percentile.

The cost transform is linear in the masses of each single weak point, so one forward and backward sweep gives the
score with any weak point set to any of its doubt nodes, exactly, with the evidence for that node. Combinations
of nodes (low-discrepancy, drawn by that evidence) then add these main effects; interactions between weak points
are left out, which tests compare with sweeps of whole combinations.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.stats import qmc

from riskapi.domain.costing import Basis, Counting, Transforms, spender_of, unplanned
from riskapi.domain.lattice import Complex, Lattice
from riskapi.domain.outlook import Outlook
from riskapi.domain.spending import Spender
from riskapi.domain.sweep_levels import Array
from riskapi.domain.timeline import Floats

COMBINATIONS = 512
POINTS = 256
STEADY = 1e-6  # a score that its nodes move less than this is not drawn
SEED = 20260101  # the same case gives the same band


@dataclass(frozen=True, slots=True)
class NodeScores:
    """Per weak point and node (W, K): chance of exceeding the budget given the node, and posterior chance of the node.

    `mean` is the chance of exceeding the budget by itself.
    """

    score: Floats
    weight: Floats
    mean: float


def node_scores(basis: Basis, transforms: Transforms, budget: float) -> NodeScores:
    """Exact main effects of every doubt node on the chance of exceeding the budget [money]."""
    outlook = basis.outlook
    shape = (len(outlook.lanes.weak_points), outlook.doubt.size)
    within, evidence, mean_within = np.zeros(shape), np.zeros(shape), 0.0
    for one in basis.counting:
        scale = one.group.observed.constant[0] * basis.posterior.root_factor[one.roots]
        slopes = _Slopes(one, spender_of(outlook, transforms, one.uses), scale)
        mean_within += slopes.add_within(_within(transforms.lattice, budget), within)
        slopes.add_evidence(outlook, evidence)
    mean = 1.0 - mean_within
    score = np.where(evidence > 0.0, 1.0 - within / np.where(evidence > 0.0, evidence, 1.0), mean)
    weight = evidence / np.maximum(evidence.sum(axis=1, keepdims=True), 1e-300)
    return NodeScores(np.clip(score, 0.0, 1.0), weight, mean)


@dataclass(frozen=True, slots=True)
class _Slopes:
    """One candidate engine's share of the sums over nodes; `scale` (R,) weighs its root combinations."""

    one: Counting
    spender: Spender
    scale: Floats

    def add_within(self, wave: Complex, within: Floats) -> float:
        """Add P(cost <= budget and node) to `within` (W, K); returns P(cost <= budget). `wave` (F,): see `_within`."""
        uses, weights = self.one.uses, self.scale[:, None] * wave
        z, slopes = self.one.group.observed.gradients(uses.by_root(self.spender.rows([unplanned(-1)])[:, 0]))
        slopes = slopes * weights
        self._add(self.spender.per_node(uses.to_uses(slopes)), slopes, within)
        return float((weights * z).sum().real)

    def add_evidence(self, outlook: Outlook, evidence: Floats) -> None:
        """Add P(node and findings) to `evidence` (W, K)."""
        masses = outlook.table.masses[..., self.one.roots, None]
        slopes = self.one.group.observed.gradients(masses)[1] * self.scale[:, None]
        states = np.array([spend.state for spend in self.spender.spends])
        mine = np.einsum("uks,us->uk", states, self.one.uses.to_uses(slopes)[..., 0])
        self._add(mine, slopes, evidence)

    def _add(self, nodes: Floats, slopes: Array, total: Floats) -> None:
        """Add to `total` (W, K) what the lanes contribute per node (uses, K), and the absent ones by their slopes
        (W, 3, R, F)."""
        uses = self.one.uses
        np.add.at(total, uses.weak_points, nodes)
        total += (uses.absent * slopes[:, 0].sum(axis=2).real).sum(axis=1)[:, None]


def _within(lattice: Lattice, budget: float) -> Complex:
    """Weights c with P(cost <= budget) = Re sum_f c[f] Z[f], from the inverse real transform."""
    points = int(np.floor(budget / lattice.step - 0.5 + 1e-9)) + 1
    k = np.arange(points)
    f = np.arange(lattice.size // 2 + 1)
    wave = np.exp(2j * np.pi * np.outer(f, k) / lattice.size) / lattice.tilt[:points]
    double = np.where((f == 0) | (f == lattice.size // 2), 1.0, 2.0)
    return np.asarray(double * wave.sum(axis=1) / lattice.size)


def band_of(scores: NodeScores, combinations: int = COMBINATIONS) -> tuple[float, float]:
    """10th and 90th percentile of the score [0..1] over combinations of nodes, each drawn by its posterior chance."""
    moving = np.flatnonzero(np.ptp(scores.score, axis=1) > STEADY)
    if not moving.size:
        return scores.mean, scores.mean
    draws = _draws(moving.size, combinations)
    steps = np.cumsum(scores.weight[moving], axis=1)
    nodes = np.minimum((draws[:, :, None] > steps[None]).sum(axis=2), scores.score.shape[1] - 1)
    effects = scores.score[moving, nodes] - scores.mean
    total = np.clip(scores.mean + effects.sum(axis=1), 0.0, 1.0)
    low, high = np.quantile(total, [0.1, 0.9])
    return float(low), float(high)


@lru_cache(maxsize=64)
def _draws(dimensions: int, combinations: int) -> Floats:
    """Low-discrepancy points in the unit cube, (combinations, dimensions); always the same."""
    rng = np.random.default_rng(SEED)
    return np.asarray(qmc.Sobol(dimensions, scramble=True, rng=rng).random(combinations))
