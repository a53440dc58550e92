"""Recorded failures and looks before a documented renewal: computed masses against played cars that fit the papers."""

from __future__ import annotations

from dataclasses import replace
from functools import reduce

import numpy as np
import pytest

from riskapi.domain import future, renewal
from riskapi.domain.earlier_lives import likelihoods
from riskapi.domain.knowledge import PartRevision
from riskapi.domain.lane import EarlierLife, Lane
from riskapi.domain.lanes import LaneSet, Mix
from riskapi.domain.roots import Root
from riskapi.domain.timeline import Floats
from tests.simulator.build import weak_point
from tests.simulator.lanes import nodes_for, random_pair
from tests.simulator.parts import Ended, Life
from tests.simulator.play import play_past, play_recorded, states_today

CARS, RUNS = 15_000, 6
SLACK = 2e-3  # of the likelihood: the grids' own error, relative


def ended_at(lane: Lane, when: float, part: int, failed: bool) -> Lane:
    """The lane of a part fitted then, after a life like that of `lane`."""
    timeline, told = lane.timeline, lane.told
    before = replace(
        lane,
        timeline=replace(timeline, now=when),
        kinks=tuple(t for t in lane.kinks if t < when),
        looks=tuple(look for look in lane.looks if look.t < when),
        told=told if told and told.t < when else None,
    )
    return replace(
        lane,
        start=when,
        start_part=part,
        run_y=0.0,
        run_z=0.0,
        kinks=tuple(t for t in lane.kinks if t > when),
        looks=tuple(look for look in lane.looks if look.t > when),
        told=told if told and told.t > when else None,
        before=EarlierLife(before, failed, False, ""),
    )


def one_lane(lane: Lane) -> LaneSet:
    point = weak_point(lane.parts)
    return LaneSet((lane,), (), (Root(0, 1, False, 1.0),), (point,), ((Mix(((0, 1.0),), 1),),), lane.timeline)


def computed(lane: Lane, nodes: Floats) -> tuple[float, Floats]:
    """Likelihood of the papers, and the states today given them."""
    before = renewal.past([lane], nodes, future.future_edges(lane.timeline.now, 3.0))
    masses = (before.state[0] * likelihoods(one_lane(lane), nodes)[id(lane)][:, None]).mean(axis=0)
    return float(masses.sum()), masses / masses.sum()


def played(life: Life, nodes: Floats, seed: int) -> tuple[float, Floats]:
    rng = np.random.default_rng(seed)
    since, doubt, chance = play_recorded(life, rng.choice(nodes, CARS), rng)
    past = play_past(since, doubt, rng)
    masses = chance * np.bincount(states_today(since, past), past.weight, 3) / CARS
    return float(masses.sum()), masses / masses.sum()


CASES = {
    "one failure": ((), ((0.6, True),)),
    "failed twice": (("flaw", "spread"), ((0.4, True), (0.7, True))),
    "looked at, then failed": (("look", "spread"), ((0.9, True),)),
    "looked at, then renewed": (("look",), ((0.9, False),)),
    "failed, looked at since": (("look", "spread"), ((0.6, True),)),
    "failed, then renewed": (("spread",), ((0.5, True), (0.8, False))),
    "told of, then failed": (("told",), ((0.85, True),)),
    "planned work": (("planned", "spread"), ((0.6, True),)),
    "never renewed until it failed": (("never",), ((0.6, True),)),
    "often left as it is": (("left", "spread"), ((0.7, True),)),
    "used engine": (("used", "stress"), ((0.7, True),)),
    "supplies": (("supply", "stress", "flaw", "spread"), ((0.45, True), (0.75, True))),
}


@pytest.mark.parametrize(("features", "ends"), CASES.values(), ids=CASES)
def test_what_the_papers_say_of_earlier_lives(features: tuple[str, ...], ends: tuple[tuple[float, bool], ...]) -> None:
    """A likelihood and the states: within 4.5 standard errors of independent runs, and the grids' own error."""
    lane, life = random_pair(np.random.default_rng(len(features)), features)
    now, nodes = lane.timeline.now, nodes_for(features)
    parts: tuple[PartRevision, ...] = lane.parts
    papers = [(share * now, failed) for share, failed in ends]
    lane = reduce(lambda found, end: ended_at(found, end[0], 1, end[1]), papers, lane)
    told, first = life.told, papers[0][0]
    assert told is None or told.when < first
    ended = tuple(
        Ended(t, parts[1], failed, never=life.never_renewed, told=told if t == first else None) for t, failed in papers
    )
    life = replace(life, ended=ended, told=None)
    likelihood, states = computed(lane, nodes)
    runs = [played(life, nodes, seed) for seed in range(RUNS)]
    chances, shares = np.array([c for c, _ in runs]), np.array([s for _, s in runs])
    error = chances.std(ddof=1) / np.sqrt(RUNS)
    assert abs(chances.mean() - likelihood) <= 4.5 * error + SLACK * likelihood
    wrong = abs(shares.mean(axis=0) - states) - 4.5 * shares.std(axis=0, ddof=1) / np.sqrt(RUNS)
    assert (wrong <= 5e-4).all(), (states, shares.mean(axis=0))
