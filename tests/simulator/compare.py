"""An assessment beside the same car played part by part: which figures, how far apart, and by what limits."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from riskapi.domain.assessment import Assessment
from riskapi.domain.case import Case
from riskapi.domain.knowledge import CARES, Pack
from riskapi.domain.lifetime import doubt_nodes
from riskapi.service import assess
from tests.simulator.scene import car_of
from tests.simulator.simulate import Car, Cars, Effort, Estimate, play
from tests.simulator.tales import balanced

Figures = dict[str, Callable[[Cars], float]]
QUANTILES = {"p50": 0.5, "p80": 0.8, "p90": 0.9}


@dataclass(frozen=True)
class Comparison:
    """One car: what was computed, and what was played, with standard errors; `runs` independent repetitions."""

    answer: Assessment
    computed: dict[str, float]
    played: dict[str, Estimate]
    runs: int
    roots: int = 0  # combinations that were played

    @property
    def mean_off(self) -> float:
        """Relative difference of the mean surprise cost."""
        return self.computed["mean"] / self.played["mean"].value - 1

    @property
    def mean_error(self) -> float:
        """Relative standard error of the played mean."""
        return self.played["mean"].error / self.played["mean"].value

    @property
    def score_off(self) -> float:
        """Difference of the chance to exceed the budget [standard errors]; a chance that never fails has none."""
        played, computed = self.played["score"], self.computed["score"]
        return (computed - played.value) / played.error if played.error > 0 else 100 * (computed - played.value)

    def quantile_off(self, name: str) -> float:
        """By how many standard errors the level lies outside what was played one lattice step around the quantile."""
        level = QUANTILES[name]
        below, above = self.played[f"{name} below"], self.played[f"{name} above"]
        return max(0.0, _errors(below.value - level, below.error), _errors(level - above.value, above.error))

    def far(self, errors: float, share: float = 0.005, atom: float = 2e-4) -> list[str]:
        """All figures but quantiles off by more than these standard errors and this share of themselves."""
        return [
            f"{name}: played {self.played[name].value:.5g} +- {self.played[name].error:.2g}, computed {value:.5g}"
            for name, value in self.computed.items()
            if not self.played[name].agrees(value, errors, share * abs(value) + atom)
        ]

    def line(self) -> str:
        """The main figures in one line."""
        quantiles = ", ".join(f"{name} {self.quantile_off(name):.1f}" for name in QUANTILES)
        return (
            f"{self.runs} runs; mean {self.computed['mean']:.1f}, off by {self.mean_off:+.3%} "
            f"(+- {self.mean_error:.3%}); score {self.computed['score']:.2f}, off by "
            f"{self.score_off:+.2f} standard errors (of {self.played['score'].error:.3f}); "
            f"outside by [standard errors]: {quantiles}"
        )


def _errors(difference: float, error: float) -> float:
    if difference <= 0:
        return 0.0
    return difference / error if error > 0 else float("inf")


def compare(
    case: Case, pack: Pack, effort: Effort, least: int, most: int, seed: int, wanted: float = 0.0
) -> Comparison:
    """Play at least `least` and at most `most` times, until the mean's relative standard error is as wanted."""
    answer = assess(case, pack)
    car = car_of(case, pack, tuple(doubt_nodes()))
    ask = figures(car, answer)
    rows: list[list[float]] = []
    while len(rows) < most:
        rng = np.random.default_rng((seed, len(rows)))
        cars = play(balanced(car, effort.pasts, rng), effort, rng)
        rows.append([figure(cars) for figure in ask.values()])
        means = np.array(rows)[:, 0]
        if len(rows) >= least and means.std(ddof=1) / np.sqrt(len(rows)) <= wanted * means.mean():
            break
    table = np.array(rows)
    errors = table.std(axis=0, ddof=1) / np.sqrt(len(rows))
    played = {n: Estimate(float(v), float(e)) for n, v, e in zip(ask, table.mean(axis=0), errors, strict=True)}
    return Comparison(answer, computed(answer), played, len(rows), len(car.roots))


def figures(car: Car, answer: Assessment) -> Figures:
    """What is compared, as functions of the played cars; the mean comes first."""
    budget, cost = answer.risk.repair_budget, answer.cost
    found: Figures = {
        "mean": lambda cars: cars.over(cars.expected[:, -1]),
        "score": lambda cars: 100 * cars.share(cars.spent > budget),
        "nothing": lambda cars: cars.share(cars.spent == 0),
        "immediate": lambda cars: cars.over(cars.immediate),
    }
    for name in QUANTILES:
        at, step = getattr(cost.unplanned, name), cost.step
        found[f"{name} below"] = lambda cars, x=at - step: cars.share(cars.spent <= x)  # type: ignore[misc]
        found[f"{name} above"] = lambda cars, x=at + step: cars.share(cars.spent <= x)  # type: ignore[misc]
    for column, _ in enumerate(car.terms.ends[1:], start=1):
        found[f"year {column}"] = lambda cars, k=column: cars.over(cars.expected[:, k])  # type: ignore[misc]
    traits = [f"{trait.trait} {value.value}" for trait in answer.traits for value in trait.values]
    for name in (*CARES, *dict.fromkeys(roots.name[0] for roots in car.roots), *traits):
        mine = [index for index, roots in enumerate(car.roots) if name in roots.name]
        found[name] = lambda cars, m=mine: cars.over(np.isin(np.arange(len(cars.evidence)), m))  # type: ignore[misc]
    for slot in car.roots[0].slots:
        name = slot.weak_point.id
        found[f"{name} degraded"] = lambda cars, n=name: cars.over(cars.states[n][:, 1])  # type: ignore[misc]
        found[f"{name} faulty"] = lambda cars, n=name: cars.over(cars.states[n][:, 2])  # type: ignore[misc]
        found[f"{name} cost"] = lambda cars, n=name: cars.over(cars.costs[n])  # type: ignore[misc]
        found[f"{name} fails"] = lambda cars, n=name: cars.over(cars.fails[n])  # type: ignore[misc]
    return found


def computed(answer: Assessment) -> dict[str, float]:
    """The same figures of the assessment, without the quantiles."""
    cost = answer.cost.unplanned
    found = {
        "mean": cost.mean, "score": answer.risk.score, "nothing": cost.p_zero, "immediate": answer.cost.immediate.mean,
    }  # fmt: skip
    found |= {f"year {k}": year.mean for k, year in enumerate(answer.cost.by_year, start=1)}
    found |= {care: getattr(answer.care, care) for care in CARES}
    found |= {c.revision or "": c.probability for c in answer.identification.candidates}
    found |= {f"{trait.trait} {value.value}": value.probability for trait in answer.traits for value in trait.values}
    for point in answer.weak_points:
        found[f"{point.id} degraded"], found[f"{point.id} faulty"] = point.state.degraded, point.state.faulty
        found[f"{point.id} cost"], found[f"{point.id} fails"] = point.expected_cost, point.failure_probability
    return found
