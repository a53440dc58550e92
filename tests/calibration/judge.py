"""Whether the figures of many cars can be what the model says they are: tests at one family-wise level.

Ranks are tested for uniformity (Talts, Betancourt, Simpson, Vehtari, Gelman, Validating Bayesian inference algorithms
with simulation-based calibration, 2018; randomised for atoms as in Czado, Gneiting, Held, Biometrics 65, 2009). Numbers
of events of known chances are Poisson binomial, tested exactly. Brier scores are compared with their own expectation
(Spiegelhalter, Statistics in Medicine 5, 1986). All tests of a run share one level (Holm, Scandinavian Journal of
Statistics 6, 1979).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from tests.calibration.cars import Record

LEVEL = 0.01
ENOUGH = 20  # cars: fewer are not tested by themselves
MANY = 25.0  # expected events: with fewer a Brier score is not near enough to a normal distribution
Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Test:
    """One test: what was expected and seen (as a number, where there is one), and its two-sided p-value."""

    name: str
    cars: int
    expected: float
    seen: float
    p: float


def tests_of(cars: Sequence[Record]) -> list[Test]:
    """Every test of a run."""
    found = [*cost_tests(cars), *score_tests(cars), *state_tests(cars), *root_tests(cars)]
    return [test for test in found if np.isfinite(test.p)]


def holm(tests: Sequence[Test]) -> list[float]:
    """Adjusted p-values (Holm 1979), in the order of the tests: below the level, the model is rejected."""
    order = np.argsort([test.p for test in tests])
    adjusted, worst = [1.0] * len(tests), 0.0
    for place, index in enumerate(order):
        worst = max(worst, min(1.0, (len(tests) - place) * tests[index].p))
        adjusted[index] = worst
    return adjusted


def rejected(tests: Sequence[Test], level: float = LEVEL) -> list[Test]:
    """The tests that reject the model at this family-wise level."""
    return [test for test, p in zip(tests, holm(tests), strict=True) if p < level]


# ---- single tests --------------------------------------------------------------------------------------------


def uniform(name: str, ranks: Iterable[float]) -> Test:
    """Kolmogorov and Smirnov: are the ranks uniform? Shown are their means."""
    values = np.array(list(ranks))
    return Test(name, values.size, 0.5, float(values.mean()), float(stats.kstest(values, "uniform").pvalue))


def number(name: str, chances: Iterable[float], events: Iterable[bool]) -> Test:
    """Do as many events happen as their chances say? Exact."""
    p, seen = np.array(list(chances)), sum(map(bool, events))
    pmf = poisson_binomial(p)
    low, high = float(pmf[: seen + 1].sum()), float(pmf[seen:].sum())
    return Test(name, p.size, float(p.sum()), float(seen), min(1.0, 2 * min(low, high)))


def poisson_binomial(chances: Floats) -> Floats:
    """Chances of 0, 1, .. events, each of its own chance and independent of the others."""
    pmf = np.ones(1)
    for p in np.clip(chances, 0.0, 1.0):
        pmf = np.append(pmf * (1 - p), 0.0) + np.append(0.0, pmf * p)
    return pmf


def brier(name: str, chances: Iterable[float], events: Iterable[bool]) -> Test:
    """Spiegelhalter's z of the Brier score, cars being independent. Shown is the mean Brier score."""
    p, x = np.array(list(chances)), np.array(list(events), dtype=float)
    spread = np.sqrt(((1 - 2 * p) ** 2 * p * (1 - p)).sum())
    z = ((x - p) * (1 - 2 * p)).sum() / spread if spread > 0 else np.nan
    return Test(name, p.size, float((p * (1 - p)).mean()), float(((x - p) ** 2).mean()), two_sided(z))


def clustered(name: str, expected: Iterable[float], seen: Iterable[float]) -> Test:
    """Sums per car against their expectation; cars are independent, what is summed within one need not be."""
    e, s = np.array(list(expected)), np.array(list(seen))
    spread = np.sqrt(((s - e) ** 2).sum())
    z = (s - e).sum() / spread if spread > 0 else np.nan
    return Test(name, e.size, float(e.mean()), float(s.mean()), two_sided(z))


def two_sided(z: float) -> float:
    return float(2 * stats.norm.sf(abs(z)))


# ---- the tests of a run --------------------------------------------------------------------------------------


def cost_tests(cars: Sequence[Record]) -> Iterator[Test]:
    """Surprise cost over the term: ranks, and the mean."""
    yield uniform("surprise cost: ranks", (c.ranks["surprise cost"] for c in cars))
    yield clustered("surprise cost: mean", (c.expected for c in cars), (c.spent for c in cars))


def score_tests(cars: Sequence[Record]) -> Iterator[Test]:
    """Cars over budget: in every tenth of the cars by score, and the Brier score."""
    yield brier("score: Brier score", (c.score for c in cars), (c.exceeds for c in cars))
    ordered = sorted(cars, key=lambda c: c.score)
    for k, tenth in enumerate(np.array_split(np.arange(len(ordered)), 10), start=1):
        mine = [ordered[i] for i in tenth]
        yield number(f"score: over budget, tenth {k}", (c.score for c in mine), (c.exceeds for c in mine))


def state_tests(cars: Sequence[Record]) -> Iterator[Test]:
    """Numbers not sound per car by system and pooled, pooled Brier scores, and every weak point by itself."""
    for name in cars[0].ranks if cars else ():
        if name.startswith("number"):
            mine = [c.ranks[name] for c in cars if name in c.ranks]
            yield uniform(f"{name}: ranks", mine)
    for words, least in (("not sound", 1), ("faulty", 2)):
        pairs = [[(chance(s, least), s.truth >= least) for s in c.states] for c in cars]
        yield clustered(
            f"{words}: number per car",
            (sum(p for p, _ in one) for one in pairs),
            (sum(x for _, x in one) for one in pairs),
        )
        yield clustered(
            f"{words}: Brier score, summed per car",
            (sum(p * (1 - p) for p, _ in one) for one in pairs),
            (sum((x - p) ** 2 for p, x in one) for one in pairs),
        )
    yield from _weak_points(cars)


def _weak_points(cars: Sequence[Record]) -> Iterator[Test]:
    mine: dict[str, list[tuple[float, bool]]] = {}
    for car in cars:
        for state in car.states:
            mine.setdefault(state.weak_point, []).append((chance(state, 1), state.truth > 0))
    for name, pairs in sorted(mine.items()):
        if len(pairs) >= ENOUGH:
            chances, events = zip(*pairs, strict=True)
            yield number(f"{name}: not sound", chances, events)
            if sum(chances) >= MANY:
                yield brier(f"{name}: Brier score", chances, events)


def chance(state: object, least: int) -> float:
    """Chance that a weak point is at least degraded (1) or faulty (2)."""
    return state.faulty + (state.degraded if least == 1 else 0.0)  # type: ignore[attr-defined,no-any-return]


def root_tests(cars: Sequence[Record]) -> Iterator[Test]:
    """Care, revision and tune: the chance given to each value, and of care to what is true."""
    for name, values in (("care", ("careful", "average", "neglected")), ("tune", ("no", "yes"))):
        mine = [c.roots[name] for c in cars if name in c.roots]
        for k, value in enumerate(values):
            if len(mine) >= ENOUGH and (name != "tune" or k == 1):
                chances, events = [r.chances[k] for r in mine], [r.truth == k for r in mine]
                yield number(f"{name}: {value}", chances, events)
                yield brier(f"{name}: {value}, Brier score", chances, events)
    revisions = [c.roots["revision"] for c in cars if "revision" in c.roots]
    if len(revisions) >= ENOUGH:
        best = [int(np.argmax(r.chances)) for r in revisions]
        chances = [r.chances[k] for r, k in zip(revisions, best, strict=True)]
        events = [r.truth == k for r, k in zip(revisions, best, strict=True)]
        yield number("revision: the likeliest is true", chances, events)
        yield brier("revision: Brier score of the likeliest", chances, events)
        first = [r.chances[0] for r in revisions], [r.truth == 0 for r in revisions]
        yield number("revision: the oldest possible is true", *first)
