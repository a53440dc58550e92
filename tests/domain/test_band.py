"""How far the score would move if the doubtful lifetimes were known."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from riskapi.domain.band import NodeScores, band_of, node_scores
from riskapi.domain.costing import REPAIRS, Basis, distribution, make_transforms, unplanned
from riskapi.domain.lattice import beyond, make_lattice
from riskapi.domain.outlook import Outlook
from riskapi.domain.posterior import evidence_of, infer
from riskapi.domain.spends import Spend
from tests.domain.weighed import Weighed, full

FULL = full()
BUDGET = FULL.terms.budget
LATTICE = make_lattice(BUDGET, 9_000.0, 512, 1.0 / 128)
TRANSFORMS = make_transforms(FULL.basis.prices, LATTICE, REPAIRS)
SCORES = node_scores(FULL.basis, TRANSFORMS, BUDGET)
NODES = FULL.basis.outlook.doubt.size


def with_nodes(found: Weighed, nodes: dict[int, int]) -> tuple[float, float]:
    """Score and probability of the findings when these weak points are at these nodes, by a sweep of its own."""
    old = found.basis.outlook
    mine = {
        lane: nodes[w] for row in old.lanes.mixes for w, mix in enumerate(row) if w in nodes for lane, _ in mix.lanes
    }
    spends = tuple(_at(spend, mine[i]) if i in mine else spend for i, spend in enumerate(old.spends))
    outlook = Outlook(old.lanes, spends, old.horizons, old.doubt, old.discount_rate, old.kept, old.new)
    posterior = infer(old.lanes, found.basis.posterior.groups, found.readings.counted, outlook.table.masses)
    pmf = distribution(Basis(outlook, posterior, found.basis.prices), TRANSFORMS, unplanned(2))
    evidence = evidence_of(old.lanes, found.basis.posterior.groups, found.readings.counted, outlook.table.masses)
    return float(beyond(pmf, LATTICE, BUDGET)), evidence


def _at(spend: Spend, node: int) -> Spend:
    pick = slice(node, node + 1)
    return Spend(spend.state[pick], spend.events[pick], spend.planned[pick], spend.worth[pick])


def test_the_mean_is_the_score_itself() -> None:
    pmf = distribution(FULL.basis, TRANSFORMS, unplanned(2))
    assert SCORES.mean == pytest.approx(float(beyond(pmf, LATTICE, BUDGET)), abs=1e-9)


def test_the_score_is_the_weighted_mean_over_the_nodes_of_any_weak_point() -> None:
    """The model: the band shows parameter doubt only; the score is its weighted mean."""
    assert SCORES.weight.sum(axis=1) == pytest.approx(1.0)
    assert (SCORES.weight * SCORES.score).sum(axis=1) == pytest.approx(SCORES.mean, abs=1e-9)


@pytest.mark.parametrize("w", range(5))
def test_main_effects_are_exact(w: int) -> None:
    """Each against a sweep of its own with the weak point held at the node."""
    for node in (0, 3, NODES - 1):
        score, _ = with_nodes(FULL, {w: node})
        assert SCORES.score[w, node] == pytest.approx(score, abs=1e-8)


def test_node_weights_follow_the_evidence() -> None:
    """P(node | findings, history) is in proportion to the probability of the findings at the node."""
    evidence = np.array([with_nodes(FULL, {0: node})[1] for node in range(NODES)])
    assert SCORES.weight[0] == pytest.approx(evidence / evidence.sum(), rel=1e-8)


def test_adding_main_effects_stands_for_sweeps_of_whole_combinations() -> None:
    """The band leaves out interactions between weak points. Measured on 60 whole combinations of this sample: a score
    put together from main effects is off by 1.2 points of 100 on average and by 7.4 at most, the ends of the band by
    0.6 and 0.2. The limits below leave room for another sample of combinations, not for another method.
    """
    rng = np.random.default_rng(20260101)
    combinations = np.array([[rng.choice(NODES, p=SCORES.weight[w]) for w in range(5)] for _ in range(60)])
    whole = np.array([with_nodes(FULL, dict(enumerate(row)))[0] for row in combinations.tolist()])
    added = SCORES.mean + (SCORES.score[np.arange(5), combinations] - SCORES.mean).sum(axis=1)
    error = np.abs(np.clip(added, 0.0, 1.0) - whole)
    assert error.mean() < 0.015
    assert error.max() < 0.09
    assert np.quantile(added, [0.1, 0.9]) == pytest.approx(np.quantile(whole, [0.1, 0.9]), abs=0.015)


def test_the_band_encloses_the_score_and_is_drawn_the_same_every_time() -> None:
    low, high = band_of(SCORES)
    assert low < SCORES.mean < high
    assert band_of(SCORES) == (low, high)


def test_the_band_of_one_doubtful_weak_point_is_the_quantiles_of_its_nodes() -> None:
    score = np.array([[0.1, 0.2, 0.3, 0.4]])
    low, high = band_of(NodeScores(score, np.full((1, 4), 0.25), 0.25))
    assert (low, high) == pytest.approx((0.1, 0.4))


def test_without_doubt_there_is_no_band() -> None:
    flat = replace(SCORES, score=np.full_like(SCORES.score, SCORES.mean))
    assert band_of(flat) == (SCORES.mean, SCORES.mean)
