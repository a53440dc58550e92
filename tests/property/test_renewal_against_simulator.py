"""One part's past and future, computed against played part by part, over random histories with every feature."""

from __future__ import annotations

import os

import numpy as np
import pytest

from riskapi.domain import future, renewal
from riskapi.domain.new_parts import new_parts
from tests.simulator.lanes import FEATURES, nodes_for, random_pair
from tests.simulator.play import IN_SERVICE, PLANNED, play_future, play_past, states_today

LONG = bool(os.environ.get("RISKAPI_LONG"))
CARS, SEEDS = (1_000_000, 10) if LONG else (60_000, 1)
SLACK = 4e-4  # the grids' own error, far below any figure that is reported
PAIRS = [
    ("planned", "told", "spread"), ("planned", "look"), ("told", "look"), ("left", "told"), ("left", "look"),
    ("used", "planned"), ("never", "look"), ("never", "planned"),
    ("never", "planned", "left"), ("stress", "supply", "flaw", "spread"),
    tuple(f for f in FEATURES if f != "never"),
]  # fmt: skip
CASES = [(), *((f,) for f in FEATURES), *PAIRS]


@pytest.mark.parametrize("seed", range(SEEDS))
@pytest.mark.parametrize("features", CASES, ids="-".join)
def test_computed_and_played_histories_agree(features: tuple[str, ...], seed: int) -> None:
    rng, years = np.random.default_rng((seed, len(features))), 3.0
    lane, life = random_pair(rng, features, years)
    nodes, edges = nodes_for(features), future.future_edges(lane.timeline.now, years)
    before = renewal.past([lane], nodes, edges)
    counts = future.counts(before, new_parts([lane], nodes, edges), edges, [len(edges) - 1], 0.0)
    pmf, planned = counts.pmf[0, :, 0].mean(axis=0), counts.planned[0].mean(axis=0)

    doubt = rng.choice(nodes, CARS)
    past = play_past(life, doubt, rng)
    state, weight = states_today(life, past), past.weight.copy()
    events = play_future(life, past, years, doubt, rng)
    breaks, services = (np.bincount(events.car[events.kind == k], minlength=CARS) for k in (IN_SERVICE, PLANNED))

    wrong = []
    for today in range(3):
        here = weight * (state == today)
        figures = [(f"state {today}", here, before.state[0, :, today].mean())]
        figures += [
            (f"state {today}, {n} failures", here * (breaks == n), pmf[today, n]) for n in range(min(3, pmf.shape[1]))
        ]
        figures += [(f"state {today}, planned work", here * services, planned[today] @ np.arange(planned.shape[1]))]
        for name, played, computed in figures:
            error = played.std() / np.sqrt(CARS)
            if abs(played.mean() - computed) > 4.5 * error + SLACK:
                wrong.append(f"{name}: played {played.mean():.5f} +- {error:.5f}, computed {computed:.5f}")
    assert not wrong, "\n".join(wrong)
