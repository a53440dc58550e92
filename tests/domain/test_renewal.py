"""States of today after an unknown past: limits with a closed form, and histories played event by event.

The simulation is in tests/domain/lives.py; played and computed masses may differ by 4.5 standard errors and by the
error of the grid, which is measured here against a fine one.
"""

from __future__ import annotations

from dataclasses import replace
from math import exp

import numpy as np
import pytest

from riskapi.domain.future import future_edges
from riskapi.domain.knowledge import PartRevision, PlannedInterval
from riskapi.domain.lane import Lane, PastLook, ToldRenewal
from riskapi.domain.lifetime import doubt_nodes
from riskapi.domain.renewal import CELLS, past
from tests.domain.builders import NO_DOUBT, lane, mode, part
from tests.domain.lives import play

CARS, RATE, GRID_ERROR = 120_000, 15_000.0, 4e-4


def states(one: Lane, cells: int = CELLS, nodes: np.ndarray = NO_DOUBT) -> np.ndarray:
    return past([one], nodes, future_edges(one.timeline.now, 3.0), cells).state[0].mean(axis=0)


def belt(kept: float, **more: float) -> Lane:
    """Renewed at 60,000 km or 5 years, whichever comes first (4 years here)."""
    interval = PlannedInterval(60_000.0, 5.0, (kept, kept, kept), "renew")
    wear = mode((4.0, 110_000.0), (4.0, 12.0))
    return lane(10.0, RATE, parts=(part(wear, planned=interval),), kept=kept, delay=0.05, **more)


FLAWED = part(mode((3.0, 250_000.0), (3.5, 20.0)), mode((1.8, 70_000.0), None), 0.4)
LANES: dict[str, Lane] = {
    "plain": lane(10.0, RATE),
    "flawed": lane(10.0, RATE, parts=(FLAWED,)),
    "slow repair": lane(10.0, RATE, delay=1.5),
    "often left unrepaired": lane(10.0, RATE, left=0.4),
    "told renewal": lane(10.0, RATE, told=ToldRenewal(6.0, 0.4, 0)),
    "told renewal of what is left unrepaired": lane(10.0, RATE, told=ToldRenewal(6.0, 0.7, 0), left=0.5, delay=0.8),
    "past look": lane(10.0, RATE, looks=(PastLook(7.0, (1.0, 0.4, 0.05)),)),
    "past look and slow repair": lane(10.0, RATE, looks=(PastLook(7.0, (0.9, 0.4, 0.05)),), delay=1.0),
    "past look and left unrepaired": lane(10.0, RATE, looks=(PastLook(7.0, (0.9, 0.4, 0.05)),), left=0.4, delay=0.5),
    "told renewal before a look": lane(
        10.0, RATE, told=ToldRenewal(5.0, 0.5, 0), looks=(PastLook(7.0, (1.0, 0.4, 0.1)),)
    ),
    "told renewal after a look": lane(
        10.0, RATE, told=ToldRenewal(8.0, 0.5, 0), looks=(PastLook(6.0, (1.0, 0.4, 0.1)),)
    ),
    "two looks": lane(10.0, RATE, looks=(PastLook(5.0, (0.9, 0.5, 0.1)), PastLook(7.5, (0.3, 1.0, 0.4)))),
    "two looks within the delay": lane(
        10.0, RATE, looks=(PastLook(6.0, (0.9, 0.5, 0.3)), PastLook(6.8, (0.5, 1.0, 0.6))), delay=1.5, left=0.2
    ),
    "three looks after a start": lane(
        10.0,
        RATE,
        start=2.0,
        looks=(PastLook(3.0, (1.0, 0.4, 0.2)), PastLook(6.0, (0.2, 0.9, 0.5)), PastLook(9.0, (0.8, 0.6, 0.1))),
        delay=0.6,
        left=0.3,
    ),
    "told renewal between two looks": lane(
        10.0,
        RATE,
        told=ToldRenewal(6.0, 0.5, 0),
        looks=(PastLook(5.0, (0.6, 1.0, 0.3)), PastLook(8.0, (1.0, 0.4, 0.1))),
        delay=0.4,
        left=0.3,
    ),
    "two looks, never renewed": lane(
        8.0, RATE, never_renewed=True, looks=(PastLook(4.0, (1.0, 0.5, 0.1)), PastLook(6.0, (0.5, 1.0, 0.3)))
    ),
    "never renewed": lane(8.0, RATE, never_renewed=True),
    "planned, always kept": belt(1.0),
    "planned, sometimes kept": belt(0.6),
    "planned, never kept": belt(0.0),
    "planned and told": belt(0.7, told=ToldRenewal(5.5, 0.5, 0)),
    "planned and looked at three times": belt(
        0.7, looks=(PastLook(3.0, (0.9, 0.5, 0.2)), PastLook(5.0, (0.4, 1.0, 0.6)), PastLook(7.0, (1.0, 0.4, 0.05)))
    ),
    "planned and looked at": belt(0.7, looks=(PastLook(7.0, (1.0, 0.4, 0.05)),)),
}


@pytest.mark.parametrize("name", LANES)
def test_computed_masses_agree_with_played_histories(name: str) -> None:
    one = LANES[name]
    played = play(one, RATE, CARS, np.random.default_rng(20260101))
    computed = states(one)
    for state in range(3):
        mass, error = played.mass(state)
        assert computed[state] == pytest.approx(mass, abs=4.5 * error + GRID_ERROR), state


@pytest.mark.parametrize("name", LANES)
def test_the_grid_is_fine_enough(name: str) -> None:
    """Source of the figure: the same recursion on 16 times as many cells."""
    assert states(LANES[name]) == pytest.approx(states(LANES[name], 16 * CELLS), abs=GRID_ERROR)


@pytest.mark.parametrize("name", [name for name in LANES if "look" not in name and "never renewed" not in name])
def test_without_evidence_the_states_sum_to_one(name: str) -> None:
    assert states(LANES[name]).sum() == pytest.approx(1.0, abs=GRID_ERROR)


def test_an_exponential_life_forgets() -> None:
    """Closed form: with a constant rate h and P-F interval f the part is sound with chance exp(-h f) whatever its age,
    and faulty as long as repair takes."""
    wear = mode(None, (1.0, 5.0))
    one = lane(12.0, RATE, parts=(part(wear),), delay=0.02, pf_y=0.0, pf_z=0.6)
    sound, degraded, faulty = states(one)
    running = sound + degraded
    assert sound / running == pytest.approx(exp(-0.6 / 5.0), rel=1e-9)
    assert faulty / running == pytest.approx(0.02 / 5.0, abs=2e-5)  # 8e-6 off on this grid


def test_never_renewed_is_the_survival_of_the_first_part() -> None:
    """The model: likelihood S(0; at a0 - w)."""
    one = LANES["never renewed"]
    alive = exp(-((8.0 * RATE / 160_000.0) ** 2.5) - (8.0 / 14.0) ** 3.0)
    before = exp(-((7.9 * RATE / 160_000.0) ** 2.5) - (7.9 / 14.0) ** 3.0)
    sound, degraded, faulty = states(one)
    assert sound + degraded == pytest.approx(alive, rel=1e-9)
    assert faulty == pytest.approx(before - alive, rel=1e-9)


def test_the_masses_of_a_certain_look_are_a_likelihood() -> None:
    """A look that anything answers alike changes nothing; one half as likely halves every mass."""
    plain = states(LANES["plain"])
    for likelihood in (1.0, 0.5):
        look = PastLook(7.0, (likelihood, likelihood, likelihood))
        assert states(replace(LANES["plain"], looks=(look,)), 80) == pytest.approx(likelihood * plain, abs=GRID_ERROR)


def test_a_told_renewal_lies_between_none_and_a_certain_one() -> None:
    never, half, always = (states(lane(10.0, RATE, told=ToldRenewal(8.0, chance, 0))) for chance in (0.0, 0.5, 1.0))
    assert half == pytest.approx(0.5 * (never + always), abs=2e-3)
    assert always[0] > half[0] > never[0]


def test_a_certain_told_renewal_is_a_start_then() -> None:
    told = states(lane(10.0, RATE, told=ToldRenewal(8.0, 1.0, 0)))
    started = states(lane(10.0, RATE, start=8.0))
    assert told == pytest.approx(started, abs=GRID_ERROR)


def test_kept_intervals_prevent_failures() -> None:
    """The model: failures before the planned date are unplanned, the renewal is planned, nothing is both."""
    degraded = [states(belt(kept))[1] for kept in (0.0, 0.5, 1.0)]
    assert degraded[0] > degraded[1] > degraded[2]


def test_doubt_is_averaged_as_joint_masses() -> None:
    """The model: the nodes' joint masses are averaged, never S before the recursion (wrong by far here)."""
    doubtful: PartRevision = part(mode((3.0, 120_000.0), None, 2.2))
    one = lane(10.0, RATE, parts=(doubtful,))
    nodes = doubt_nodes(8)
    together = states(one, nodes=nodes)
    single = np.mean([states(one, nodes=nodes[[k]]) for k in range(8)], axis=0)
    assert together == pytest.approx(single, abs=1e-12)


def test_lanes_do_not_touch_each_other() -> None:
    """Side by side or alone; the grids differ only by what the busiest lane needs."""
    names = ("plain", "told renewal", "past look", "planned, sometimes kept")
    together = past([LANES[n] for n in names], NO_DOUBT, future_edges(10.0, 3.0), 40).state[:, 0]
    for row, name in zip(together, names, strict=True):
        assert row == pytest.approx(states(LANES[name], 40), abs=GRID_ERROR)
