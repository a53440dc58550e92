"""The lifetime law against published maximum likelihood fits: same likelihood, and no neighbour is likelier."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest

from riskapi.domain.knowledge import LifeMode, PartRevision, Weibull
from riskapi.domain.lifetime import life_arrays, survival
from tests.reference.data import table
from tests.simulator.build import part

# Kilometres to failure (True) or still running. O'Connor, Practical Reliability Engineering, 2nd ed. 1985, p. 85;
# Meeker & Escobar, Statistical Methods for Reliability Data, 1998, table C.2.
SHOCK_ABSORBER_FAILED = (6700, 9120, 12200, 13150, 14300, 17520, 20100, 20900, 22700, 26510, 27490)
SHOCK_ABSORBER_RUNNING = (
    6950, 7820, 8790, 9660, 9820, 11310, 11690, 11850, 11880, 12140, 12870, 13330, 13470, 14040, 17540, 17890, 18450,
    18960, 18980, 19410, 20100, 20150, 20320, 23490, 27410, 27890, 28100,
)  # fmt: skip


@dataclass(frozen=True)
class Lives:
    """Distances at failure and of units still running, with their counts."""

    failed: np.ndarray
    failed_count: np.ndarray
    running: np.ndarray
    running_count: np.ndarray


def lives(name: str) -> Lives:
    rows = table(name)
    column = next(c for c in rows[0] if c not in ("failed", "count"))
    at = np.array([float(r[column]) for r in rows])
    count = np.array([float(r.get("count", 1)) for r in rows])
    failed = np.array([r["failed"] == "1" for r in rows])
    return Lives(at[failed], count[failed], at[~failed], count[~failed])


def shock_absorber() -> Lives:
    failed, running = np.array(SHOCK_ABSORBER_FAILED, float), np.array(SHOCK_ABSORBER_RUNNING, float)
    return Lives(failed, np.ones(len(failed)), running, np.ones(len(running)))


def alive(revision: PartRevision, km: np.ndarray) -> np.ndarray:
    """Survival at these distances by the law under test."""
    arrays = life_arrays([revision]).take(np.zeros((1, 1), dtype=np.intp))
    return survival(arrays, km[None, None], np.zeros((1, 1, len(km))), np.zeros(1))[0, 0, 0]


def log_likelihood(revision: PartRevision, data: Lives) -> float:
    """Exact failure times (density by central difference of the survival) and right censoring."""
    step = 1e-5 * data.failed
    density = (alive(revision, data.failed - step) - alive(revision, data.failed + step)) / (2 * step)
    running = np.log(alive(revision, data.running)) @ data.running_count
    return float(np.log(density) @ data.failed_count + running)


def worn(shape: float, scale: float) -> PartRevision:
    return part(LifeMode(Weibull(shape, scale), None, 1.0))


def flawed(share: float, shape: float, scale: float) -> PartRevision:
    return part(None, LifeMode(Weibull(shape, scale), None, 1.0), share, no_wear_because="only the flaw is looked at")


@pytest.mark.parametrize(
    ("data", "shape", "scale", "published"),
    [
        pytest.param(lives("nist_8_4_1_3"), 1.720797, 606.5276, -75.134618, id="NIST 8.4.1.3"),
        pytest.param(lives("generator_fan"), 1.058446, 26296.846, -135.152720, id="generator fans"),
        pytest.param(shock_absorber(), 3.160470, 27718.718, -123.995361, id="shock absorbers"),
    ],
)
def test_published_weibull_fit(data: Lives, shape: float, scale: float, published: float) -> None:
    best = log_likelihood(worn(shape, scale), data)
    assert best == pytest.approx(published, abs=2e-6)
    for a, b in ((1.01, 1), (0.99, 1), (1, 1.01), (1, 0.99)):
        assert log_likelihood(worn(shape * a, scale * b), data) < best


def test_published_limited_failure_population_fit() -> None:
    """Meeker 1987: of 4156 circuits a share p of about 0.0067 can fail at all."""
    data, best = lives("ic_limited_failure_population"), (0.0067445, 0.495976, 28.3672)
    top = log_likelihood(flawed(*best), data)
    assert top == pytest.approx(-293.032888, abs=2e-5)
    for index in range(3):
        for factor in (0.97, 1.03):
            moved = [value * (factor if place == index else 1.0) for place, value in enumerate(best)]
            assert log_likelihood(flawed(*moved), data) < top


def test_without_a_limited_population_the_same_data_fit_worse() -> None:
    """The plain Weibull optimum is -303.0316, so the flaw share is worth a likelihood ratio of 20.0."""
    data = lives("ic_limited_failure_population")
    plain = max(
        log_likelihood(worn(b, e), data) for b in np.linspace(0.1, 0.3, 21) for e in np.geomspace(1e8, 1e16, 41)
    )
    assert 2 * (log_likelihood(flawed(0.0067445, 0.495976, 28.3672), data) - plain) == pytest.approx(20.0, abs=0.2)


def test_flaw_and_wear_multiply() -> None:
    """S = (1 - p + p exp(-H_flaw)) exp(-H_wear), written out by hand for one part."""
    both = part(LifeMode(Weibull(3.0, 2e5), None, 1.0), LifeMode(Weibull(1.5, 8e4), None, 1.0), 0.3)
    km = np.array([0.0, 5e4, 1e5, 2e5])
    by_hand = (0.7 + 0.3 * np.exp(-((km / 8e4) ** 1.5))) * np.exp(-((km / 2e5) ** 3))
    assert alive(both, km) == pytest.approx(by_hand, rel=1e-12)
