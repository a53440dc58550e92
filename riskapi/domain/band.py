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

from riskapi.domain.costing import ROOT_FLOOR, Transforms, node_transforms, root_transforms, unplanned, uses_of
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
        masses = root_transforms(outlook, transforms, spend, roots, candidate)
        factors = group.observed.factors[:, :, :, None]
        sweep = Sweep(group.observed.plan, group.observed.weights)
        shape = (count, 3, len(roots), whole.size)
        z, slopes = sweep.gradients((masses * factors).reshape(count, 3, -1))
        scale = group.observed.constant[0] * posterior.root_factor[roots]
        slopes = slopes.reshape(shape) * factors * (scale[:, None] * within)[None, None]
        total_low += float(((scale[:, None] * within) * z.reshape(len(roots), -1)).sum().real)
        uses = uses_of(outlook, roots)
        rows = node_transforms(outlook, transforms, uses, candidate)
        chance = _state_slopes(outlook, group.observed.factors, sweep, roots) * scale
        absent = np.ones((count, len(roots)))
        for w, k, use, weight in uses.mixes:
            low[w] += weight * np.einsum("ksf,sf->k", rows[use], slopes[w, :, k]).real
            evidence[w] += weight * outlook.spends[uses.lanes[use]].state @ chance[w, :, k]
            absent[w, k] -= weight
        absent = np.maximum(absent, 0.0)
        low += (absent * slopes[:, 0].sum(axis=2).real).sum(axis=1)[:, None]
        evidence += (absent * chance[:, 0]).sum(axis=1)[:, None]
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
