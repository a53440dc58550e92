"""Joint draws against exact joint chances by enumeration: every combination of states, not only the marginals.

Chi-square tests at level 1e-4 each with fixed seeds (0.4 % that one of about forty would fail by chance if seeds were
drawn anew); cells with few expected draws are pooled (at least 5 expected, common practice for the test).
"""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from scipy.stats import chi2

from riskapi.domain.draws import Draws, draw_cars, draw_states, raising
from riskapi.domain.evidence import observe
from riskapi.domain.sweep import OpenSymptom, Sweep, make_plan
from riskapi.domain.sweep_levels import raised
from tests.domain.networks import WEAK_POINTS, random_likelihoods, random_tables, read_by_states
from tests.domain.weighed import full
from tests.simulator.networks import open_symptoms, random_network

LEVEL, COUNT = 1e-4, 40_000


def fits(found: np.ndarray, chances: np.ndarray) -> bool:
    """Whether counts agree with chances by the chi-square test (Pearson 1900)."""
    count = found.sum()
    order = np.argsort(-chances.ravel())
    expected, seen = chances.ravel()[order] * count, found.ravel()[order]
    large = expected >= 5.0
    expected = np.append(expected[large], expected[~large].sum())
    seen = np.append(seen[large], seen[~large].sum())
    if expected[-1] < 5.0:  # too little left over for a cell of its own
        expected, seen = np.append(expected[:-2], expected[-2:].sum()), np.append(seen[:-2], seen[-2:].sum())
    statistic = ((seen - expected) ** 2 / expected).sum()
    return bool(statistic <= chi2.ppf(1.0 - LEVEL, max(len(expected) - 1, 1)))


def counted(states: np.ndarray) -> np.ndarray:
    """How often every combination of three states came, (3,) * columns."""
    found = np.zeros((3,) * states.shape[1])
    np.add.at(found, tuple(states.T), 1)
    return found


def drawn(seed: int, count: int = COUNT) -> tuple[Draws, np.ndarray]:
    """Draws for a random network with zones, and the exact joint chances of all its states."""
    rng = np.random.default_rng(seed)
    tables = random_tables(rng)
    seen = random_likelihoods(rng, tables)
    observed = observe(WEAK_POINTS, tables, {name: value[:, None] for name, value in seen.items()}, 1)
    masses = rng.dirichlet([3.0, 1.0, 1.0], WEAK_POINTS)
    sweep = Sweep(observed.plan, observed.weights)
    draws = draw_states(sweep, masses * observed.factors[..., 0], count, np.random.default_rng(seed + 100))
    joint = read_by_states(tables, seen, WEAK_POINTS)
    for i, row in enumerate(masses):
        joint = joint * row.reshape([-1 if axis == i else 1 for axis in range(WEAK_POINTS)])
    return draws, joint / joint.sum()


@pytest.mark.parametrize("seed", range(16))
def test_all_states_together_come_as_often_as_they_should(seed: int) -> None:
    draws, joint = drawn(seed)
    assert draws.states.shape == (COUNT, WEAK_POINTS)
    assert fits(counted(draws.states), joint)


@pytest.mark.parametrize("size", [1, 2, 3])
@pytest.mark.parametrize("seed", [3, 7])
def test_marginals_pairs_and_triples(seed: int, size: int) -> None:
    draws, joint = drawn(seed)
    for mine in combinations(range(WEAK_POINTS), size):
        others = tuple(k for k in range(WEAK_POINTS) if k not in mine)
        assert fits(counted(draws.states[:, mine]), joint.sum(axis=others))


@pytest.mark.parametrize("seed", range(6))
def test_levels_of_symptoms_with_the_states(seed: int) -> None:
    """State of a weak point and level of a symptom: by Bayes' rule from the evidence with that level made certain."""
    net = random_network(np.random.default_rng(seed), causes=5, symptoms=4)
    symptoms, weights = open_symptoms(net)
    plan = make_plan(5, symptoms)
    masses = np.array([w.chances[0] for w in net.weak_points])
    draws = draw_states(Sweep(plan, weights), masses, COUNT, np.random.default_rng(seed))
    for f, symptom in enumerate(symptoms):
        for w in range(5):
            chances = np.zeros((3, symptom.background.size))
            for level in range(symptom.background.size):
                only = [x if g != f else x * np.eye(len(x))[:, level : level + 1] for g, x in enumerate(weights)]
                chances[:, level] = Sweep(plan, only).marginals(masses[..., None])[1][w, :, 0]
            found = np.zeros_like(chances)
            np.add.at(found, (draws.states[:, w], draws.levels[:, f]), 1)
            assert (found[chances == 0.0] == 0).all()
            assert fits(found, chances / chances.sum())


def test_explaining_away_is_in_the_draws() -> None:
    """One sure symptom, two causes, no background: never both sound, and rarely both faulty."""
    table = np.array([[1.0, 1.0], [1.0, 1.0], [0.0, 1.0]])
    knock = OpenSymptom("knock", np.array([1.0, 1.0]), {0: table, 1: table}, {})
    masses = np.tile([0.9, 0.0, 0.1], (2, 1))
    sweep = Sweep(make_plan(2, [knock]), [np.array([[0.0], [1.0]])])
    draws = draw_states(sweep, masses, 20_000, np.random.default_rng(1))
    found = counted(draws.states)
    assert found[0, 0] == 0
    assert fits(found, np.array([[0, 0, 0.09], [0, 0, 0], [0.09, 0, 0.01]]) / 0.19)


def test_the_same_generator_gives_the_same_draws_and_another_gives_others() -> None:
    first, second = drawn(5, 500)[0], drawn(5, 500)[0]
    assert (first.states == second.states).all()
    rng = np.random.default_rng(0)
    sweep = Sweep(make_plan(3, []), [])
    masses = np.full((3, 3), 1 / 3)
    assert (draw_states(sweep, masses, 50, rng).states != draw_states(sweep, masses, 50, rng).states).any()


def test_many_draws_are_made_in_blocks(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("riskapi.domain.draws.CELLS", 3 * 18 * 1000)
    draws, joint = drawn(3)
    assert fits(counted(draws.states), joint)


def test_what_cannot_be_is_not_drawn() -> None:
    certain = OpenSymptom("never", np.array([1.0, 1.0]), {0: np.ones((3, 2))}, {})
    sweep = Sweep(make_plan(1, [certain]), [np.array([[0.0], [1.0]])])
    with pytest.raises(ValueError, match="cannot be together"):
        draw_states(sweep, np.array([[0.5, 0.3, 0.2]]), 10, np.random.default_rng(0))


def test_raising_is_the_matrix_of_the_maximum() -> None:
    cdf = np.array([0.2, 0.5, 1.0])
    maximum = raised(np.eye(3), 0, cdf).reshape(3, 3)
    assert np.allclose(raising(cdf).T, maximum, rtol=1e-14, atol=0.0)


# ---- whole cars -----------------------------------------------------------------------------------------------


def test_cars_are_drawn_with_their_roots() -> None:
    """The small pack's car with history and findings, against the sum over every state of every root combination."""
    found = full()
    posterior, masses = found.basis.posterior, found.basis.outlook.table.masses
    cars = draw_cars(posterior, masses, COUNT, np.random.default_rng(8))
    assert fits(np.bincount(cars.roots, minlength=posterior.root_chance.size).astype(float), posterior.root_chance)
    seen: dict[str, np.ndarray] = {}
    for finding in found.readings.counted:
        if finding.check.symptom is not None:
            seen[finding.check.symptom] = seen.get(finding.check.symptom, 1.0) * np.array(finding.likelihood)
    count = masses.shape[0]
    joint = np.zeros((3,) * count)
    for group in posterior.groups:
        read = read_by_states(group.tables, seen, count)
        for r in group.roots:
            one = read
            for i, row in enumerate(masses[..., r]):
                one = one * row.reshape([-1 if axis == i else 1 for axis in range(count)])
            joint += posterior.root_chance[r] * one / one.sum()
    assert fits(counted(cars.states), joint)
    for w in range(count):
        assert fits(counted(cars.states[:, [w]]), posterior.state[w].sum(axis=1))
