"""Laws of the unknown past: masses are chances, and nothing the buyer plans moves a state of today."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from riskapi.domain import future, renewal
from riskapi.domain.new_parts import new_parts
from riskapi.domain.timeline import build_timeline, effective_clocks
from tests.simulator.lanes import FEATURES, random_pair

SEEDS = st.integers(0, 2**32 - 1)
SHORT = settings(max_examples=25, deadline=None, derandomize=True)
WITHOUT_EVIDENCE = tuple(f for f in FEATURES if f not in ("look", "never", "used"))


def states(lane: renewal.Lane, years: float) -> np.ndarray:
    edges = future.future_edges(lane.timeline.now, years)
    return renewal.past([lane], np.zeros(1), edges).state[0, 0]


@SHORT
@given(SEEDS, st.sets(st.sampled_from(FEATURES)))
def test_the_buyers_plans_move_no_state_of_today(seed: int, features: set[str]) -> None:
    lane, _ = random_pair(np.random.default_rng(seed), tuple(sorted(features - {"stress"})))
    first = states(lane, 3.0)
    for annual, years in ((0.0, 1.0), (60_000.0, 8.0)):
        old = lane.timeline
        knots = slice(1, -2)
        timeline = build_timeline([], old.now, float(old.odometer(old.now)), annual, years)
        timeline = replace(
            timeline,
            t=np.concatenate([timeline.t[:1], old.t[knots], timeline.t[1:]]),
            x=np.concatenate([timeline.x[:1], old.x[knots], timeline.x[1:]]),
        )
        moved = replace(lane, timeline=timeline, clocks=effective_clocks(timeline, []))
        assert states(moved, years) == pytest.approx(first, abs=1e-12)


@SHORT
@given(SEEDS, st.sets(st.sampled_from(WITHOUT_EVIDENCE)))
def test_without_evidence_the_masses_sum_to_one(seed: int, features: set[str]) -> None:
    lane, _ = random_pair(np.random.default_rng(seed), tuple(sorted(features)))
    mass = states(lane, 3.0)
    assert mass.min() >= 0.0
    assert mass.sum() == pytest.approx(1.0, abs=2e-3)


@SHORT
@given(SEEDS, st.sets(st.sampled_from(FEATURES)))
def test_every_ending_of_the_ownership_period_adds_up(seed: int, features: set[str]) -> None:
    lane, _ = random_pair(np.random.default_rng(seed), tuple(sorted(features)))
    edges = future.future_edges(lane.timeline.now, 3.0)
    before = renewal.past([lane], np.zeros(1), edges)
    counts = future.counts(before, new_parts([lane], np.zeros(1), edges), edges, [2, len(edges) - 1], 0.02)
    for horizon in range(2):
        assert counts.pmf[0, 0, horizon, :3].sum(axis=1) == pytest.approx(before.state[0, 0], abs=1e-9)
    mean = counts.pmf[0, 0] @ np.arange(counts.pmf.shape[-1])
    assert (mean[1] >= mean[0] - 1e-12).all()
