"""Calibration on a few dozen simulated cars, and what the tests of calibration are worth: they reject wrong models.

`python -m tests.calibration --cars 2000 --jobs 2` is the long run; its figures are in tests/calibration/results/.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest
from scipy import stats

from riskapi.domain.knowledge import LifeMode, Pack, PartRevision, Weibull
from riskapi.service import assess
from tests.calibration import cars as made
from tests.calibration import judge
from tests.calibration.answer import answer_to
from tests.calibration.cars import Record

CARS, SEED = 40, 2018


@pytest.fixture(scope="module")
def cars() -> Sequence[Record]:
    return tuple(made.records(CARS, SEED))


def test_the_model_is_not_rejected(cars: Sequence[Record]) -> None:
    tests = judge.tests_of(cars)
    assert len(tests) > 40
    assert judge.rejected(tests) == []


def test_a_model_in_which_everything_lasts_four_times_as_long_is_rejected() -> None:
    wrong = judge.tests_of(tuple(made.records(CARS, SEED, wrong=lasting)))
    assert judge.rejected(wrong)


def test_answers_are_those_of_the_assessment() -> None:
    car = made.simulated(3, SEED, made.packs())
    assert car is not None
    pack = made.packs().folded
    short, whole = answer_to(car[0], pack), assess(car[0], pack)
    assert 100 * short.score == pytest.approx(whole.risk.score, rel=1e-9)
    assert short.mean == pytest.approx(whole.cost.unplanned.mean, rel=1e-9)
    assert short.care == pytest.approx((whole.care.careful, whole.care.average, whole.care.neglected), rel=1e-9)
    for point in whole.weak_points:
        assert short.states[point.id] == pytest.approx((point.state.sound, point.state.degraded, point.state.faulty))
    for chances in short.counts.values():
        assert chances.sum() == pytest.approx(1.0)
    expected = sum(1 - chances[0] for chances in short.states.values())
    everything = short.counts["all systems"]
    assert everything @ np.arange(everything.size) == pytest.approx(expected)


def lasting(pack: Pack, factor: float = 4.0) -> Pack:
    """A deliberately wrong pack: lives stretched."""

    def law(old: Weibull | None) -> Weibull | None:
        return None if old is None else replace(old, scale=factor * old.scale)

    def mode(old: LifeMode | None) -> LifeMode | None:
        return None if old is None else replace(old, distance=law(old.distance), age=law(old.age))

    def part(old: PartRevision) -> PartRevision:
        return replace(old, flaw=mode(old.flaw), wear=mode(old.wear))

    points = tuple(replace(p, parts=tuple(part(one) for one in p.parts)) for p in pack.weak_points)
    return replace(pack, weak_points=points)


# ---- the tests themselves ------------------------------------------------------------------------------------


def test_poisson_binomial_of_equal_chances_is_binomial() -> None:
    expected = stats.binom.pmf(np.arange(13), 12, 0.3)
    assert judge.poisson_binomial(np.full(12, 0.3)) == pytest.approx(expected, abs=1e-14)


def test_holm_by_hand() -> None:
    """0.01, 0.04, 0.03 of three: 3 x 0.01, then max(0.03, 2 x 0.03), then max(0.06, 0.04)."""
    tests = [judge.Test("", 1, 0.0, 0.0, p) for p in (0.01, 0.04, 0.03)]
    assert judge.holm(tests) == pytest.approx([0.03, 0.06, 0.06])


def test_brier_score_of_sharpened_chances_is_rejected() -> None:
    rng = np.random.default_rng(1)
    true = rng.uniform(0.05, 0.95, 4000)
    happened = rng.random(4000) < true
    sharp = true**2 / (true**2 + (1 - true) ** 2)
    assert judge.brier("right", true, happened).p > 0.01
    assert judge.brier("sharpened", sharp, happened).p < 1e-6


def test_ranks_of_a_right_distribution_with_an_atom_are_uniform() -> None:
    rng = np.random.default_rng(2)
    chances = np.array([0.6, 0.1, 0.2, 0.1])
    ranks = [made.rank(chances, int(value), rng) for value in rng.choice(4, 3000, p=chances)]
    assert judge.uniform("", ranks).p > 0.01
    assert judge.uniform("", [made.rank(chances, 0, rng) for _ in range(200)]).p < 1e-6
