"""How far the score would move if the doubtful lifetimes were known: its 10th to 90th percentile.

The cost transform is linear in the masses of each single weak point, so one forward and backward sweep gives the
score with any weak point set to any of its doubt nodes, exactly, with the evidence for that node. Combinations
of nodes (low-discrepancy, drawn by that evidence) then add these main effects; interactions between weak points
are left out, which tests compare with sweeps of whole combinations.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.stats import qmc

from riskapi.domain.costing import ROOT_FLOOR, Transforms, node_transform, root_transforms, unplanned
from riskapi.domain.lattice import Complex, Lattice
from riskapi.domain.outlook import Outlook, mass_table
from riskapi.domain.posterior import Posterior
from riskapi.domain.sweep import Sweep
from riskapi.domain.timeline import Floats

COMBINATIONS = 512
POINTS = 256


@dataclass(frozen=True, slots=True)
class NodeScores:
    """Per weak point and node (W, K): chance of exceeding the budget, and posterior chance of the node; `mean`: the score."""

    score: Floats
    weight: Floats
    mean: float


def node_scores(outlook: Outlook, posterior: Posterior, transforms: Transforms, budget: float) -> NodeScores:
    """Exact main effects of every doubt node on the chance of exceeding the budget."""
    lattice = transforms.lattice
    within = _within(lattice, budget)
    whole = np.zeros(lattice.size // 2 + 1, dtype=complex)
    nodes = outlook.spends[0].state.shape[0] if outlook.spends else 1
    count = len(outlook.lanes.weak_points)
    low, evidence, total_low = np.zeros((count, nodes)), np.zeros((count, nodes)), 0.0
    spend = unplanned(len(outlook.horizons) - 1)
    for candidate, group in enumerate(posterior.groups):
        roots = [r for r in group.roots if posterior.root_chance[r] > ROOT_FLOOR]
        if not roots:
            continue
        masses = root_transforms(outlook, transforms, spend, roots, candidate, ())
        factors = group.observed.factors[:, :, :, None]
        sweep = Sweep(group.observed.plan, group.observed.weights)
        shape = (count, 3, len(roots), whole.size)
        z, slopes = sweep.gradients((masses * factors).reshape(count, 3, -1))
        scale = group.observed.constant[0] * posterior.root_factor[roots]
        slopes = slopes.reshape(shape) * factors * (scale[:, None] * within)[None, None]
        total_low += float(((scale[:, None] * within) * z.reshape(len(roots), -1)).sum().real)
        per_lane = _node_rows(outlook, transforms, candidate, roots)
        chance = _state_slopes(outlook, group.observed.factors, sweep, roots) * scale
        for w in range(count):
            for k, r in enumerate(roots):
                mix = outlook.lanes.mixes[r][w]
                absent = max(1.0 - sum(weight for _, weight in mix.lanes), 0.0)
                low[w] += absent * slopes[w, 0, k].sum().real
                evidence[w] += absent * chance[w, 0, k]
                for lane, weight in mix.lanes:
                    rows = per_lane[lane, w]
                    low[w] += weight * np.einsum("ksf,sf->k", rows, slopes[w, :, k]).real
                    evidence[w] += weight * outlook.spends[lane].state @ chance[w, :, k]
    safe = np.where(evidence > 0.0, evidence, 1.0)
    mean = 1.0 - total_low
    score = np.where(evidence > 0.0, 1.0 - low / safe, mean)
    weights = evidence / np.maximum(evidence.sum(axis=1, keepdims=True), 1e-300)
    return NodeScores(np.clip(score, 0.0, 1.0), weights, mean)


def _within(lattice: Lattice, budget: float) -> Complex:
    """Weights c with P(cost <= budget) = Re sum_f c[f] Z[f], from the inverse real transform."""
    points = int(np.floor(budget / lattice.step - 0.5 + 1e-9)) + 1
    k = np.arange(points)
    f = np.arange(lattice.size // 2 + 1)
    wave = np.exp(2j * np.pi * np.outer(f, k) / lattice.size) / lattice.tilt[:points]
    double = np.where((f == 0) | (f == lattice.size // 2), 1.0, 2.0)
    return np.asarray(double * wave.sum(axis=1) / lattice.size)


def _node_rows(
    outlook: Outlook, transforms: Transforms, candidate: int, roots: Sequence[int]
) -> dict[tuple[int, int], Complex]:
    """Masses times transforms per node, (K, 3, F), of every lane in use."""
    last = len(outlook.horizons) - 1
    rows: dict[tuple[int, int], Complex] = {}
    for r in roots:
        for w, mix in enumerate(outlook.lanes.mixes[r]):
            for lane, _ in mix.lanes:
                if (lane, w) not in rows:
                    rows[lane, w] = node_transform(outlook.spends[lane], last, transforms.table[w, candidate])
    return rows


def _state_slopes(outlook: Outlook, factors: Floats, sweep: Sweep, roots: Sequence[int]) -> Floats:
    """Derivative of the evidence by each state's mass, (W, 3, R)."""
    masses = mass_table(outlook, roots).masses
    return np.asarray(sweep.gradients(factors * masses)[1] * factors)


def band_of(scores: NodeScores, combinations: int = COMBINATIONS) -> tuple[float, float]:
    """10th and 90th percentile of the score [0..1] over combinations of nodes, each drawn by its posterior chance."""
    moved = np.ptp(scores.score, axis=1) > 1e-6
    if not moved.any():
        return scores.mean, scores.mean
    draws = qmc.Sobol(int(moved.sum()), scramble=True, rng=np.random.default_rng(20260101)).random(combinations)
    steps = np.cumsum(scores.weight[moved], axis=1)
    nodes = np.minimum((draws[:, :, None] > steps[None]).sum(axis=2), scores.score.shape[1] - 1)
    effects = scores.score[moved][np.arange(int(moved.sum())), nodes] - scores.mean
    total = np.clip(scores.mean + effects.sum(axis=1), 0.0, 1.0)
    low, high = np.quantile(total, [0.1, 0.9])
    return float(low), float(high)
