"""Whole assessments against cars played part by part: chances, cost, and the score.

The default runs a small invented pack that uses every mechanism; RISKAPI_LONG=1 plays more cars, and every sample
request on the shipped knowledge.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from riskapi.catalogue import default_directory, load_pack
from riskapi.domain.assessment import Assessment
from riskapi.domain.case import Case
from riskapi.domain.identify import identify
from riskapi.domain.knowledge import Pack, PlannedService, ServiceInterval
from riskapi.domain.lanes import lane_set
from riskapi.domain.lifetime import doubt_nodes
from riskapi.intake import read_case
from riskapi.service import assess
from tests.simulator import tiny, tiny_cases
from tests.simulator.scene import car_of
from tests.simulator.simulate import Car, Cars, balanced, repeat

LONG = bool(os.environ.get("RISKAPI_LONG"))
SAMPLES = sorted((Path(__file__).parents[2] / "sample_requests").glob("*.json"))
Figures = dict[str, Callable[[Cars], float]]


def figures(car: Car, budget: float) -> Figures:
    """What is compared, as functions of the played cars."""
    found: Figures = {
        "mean": lambda cars: cars.mean(cars.spent[:, -1]),
        "score": lambda cars: 100 * cars.share(cars.spent[:, -1] > budget),
        "nothing": lambda cars: cars.share(cars.spent[:, -1] == 0),
        "immediate": lambda cars: cars.mean(cars.immediate),
        "p50": lambda cars: cars.quantile(cars.spent[:, -1], 0.5),
        "p80": lambda cars: cars.quantile(cars.spent[:, -1], 0.8),
        "p90": lambda cars: cars.quantile(cars.spent[:, -1], 0.9),
    }
    for column, _ in enumerate(car.ends[1:], start=1):
        found[f"year {column}"] = lambda cars, k=column: cars.mean(cars.spent[:, k])  # type: ignore[misc]
    for care in ("careful", "average", "neglected"):
        found[care] = lambda cars, c=care: _root_share(car, cars, c)  # type: ignore[misc]
    for revision in {roots.name[0] for roots in car.roots}:
        found[f"revision {revision}"] = lambda cars, r=revision: _root_share(car, cars, r)  # type: ignore[misc]
    for slot in car.roots[0].slots:
        name = slot.weak_point.id
        found[f"{name} degraded"] = lambda cars, n=name: cars.share(cars.states[n] == 1)  # type: ignore[misc]
        found[f"{name} faulty"] = lambda cars, n=name: cars.share(cars.states[n] == 2)  # type: ignore[misc]
        found[f"{name} cost"] = lambda cars, n=name: cars.mean(cars.costs[n])  # type: ignore[misc]
        found[f"{name} fails"] = lambda cars, n=name: cars.share(cars.fails[n])  # type: ignore[misc]
    return found


def _root_share(car: Car, cars: Cars, name: str) -> float:
    """Chance of the roots with this name."""
    return cars.share(np.isin(cars.roots, [i for i, roots in enumerate(car.roots) if name in roots.name]))


def computed(answer: Assessment) -> dict[str, float]:
    """The same figures of the assessment."""
    cost = answer.cost.unplanned
    found = {
        "mean": cost.mean, "score": answer.risk.score, "nothing": cost.p_zero, "immediate": answer.cost.immediate.mean,
        "p50": cost.p50, "p80": cost.p80, "p90": cost.p90,
    }  # fmt: skip
    found |= {f"year {k}": year.mean for k, year in enumerate(answer.cost.by_year, start=1)}
    found |= {care: getattr(answer.care, care) for care in ("careful", "average", "neglected")}
    found |= {f"revision {c.revision or ''}": c.probability for c in answer.identification.candidates}
    for point in answer.weak_points:
        found[f"{point.id} degraded"], found[f"{point.id} faulty"] = point.state.degraded, point.state.faulty
        found[f"{point.id} cost"], found[f"{point.id} fails"] = point.expected_cost, point.failure_probability
    return found


def disagreements(case: Case, pack: Pack, count: int, times: int) -> list[str]:
    """Figures off by more than 5 standard errors and 0.5 % of themselves (quantiles: one lattice step).

    Six errors over 16 repetitions for the samples, where some hundred figures are compared at once.
    """
    answer = assess(case, pack)
    car = car_of(case, pack, tuple(doubt_nodes()))
    car = balanced(car, 5 * count, np.random.default_rng(19))
    played, wrong = repeat(car, figures(car, answer.risk.repair_budget), count, times, seed=20), []
    for name, value in computed(answer).items():
        estimate = played[name]
        slack = answer.cost.step if name in ("p50", "p80", "p90") else 0.005 * abs(value) + 2e-4
        if not estimate.agrees(value, errors=5.0 if times < 16 else 6.0, slack=slack):
            wrong.append(f"{name}: played {estimate.value:.5g} +- {estimate.error:.2g}, computed {value:.5g}")
    return wrong


@pytest.mark.parametrize(
    "case",
    [
        tiny_cases.plain_case(),
        tiny_cases.full_case(),
        tiny_cases.traits_only_case(),
        tiny_cases.failed_case(),
        tiny_cases.failed_traits_case(),
    ],
    ids=["nothing known", "history and findings", "traits only", "failures", "failures and traits only"],
)
def test_small_pack_with_every_mechanism(case: Case) -> None:
    count, times = (60_000, 12) if LONG else (3_000, 6)
    assert disagreements(case, tiny.pack(), count, times) == []


def test_a_family_with_an_oil_interval_of_its_own() -> None:
    """The 14,000 km between the two services of this car are in time by the pack and stretched by the family."""
    small = tiny.pack()
    careful = ServiceInterval(8_000.0, 1.0, tiny.TEST)
    oil = PlannedService("oil", "Oil service", "oil", 15_000.0, 1.0, tiny.TEST, careful, True)
    pack = replace(small, families=(replace(small.family("tiny"), services=(oil,)),))
    case = tiny_cases.full_case()
    assert score(case, pack) > score(case, small) + 0.01
    assert disagreements(case, pack, *((60_000, 12) if LONG else (3_000, 6))) == []


def score(case: Case, pack: Pack) -> float:
    return assess(case, pack).risk.score


@pytest.mark.skipif(not LONG, reason="minutes per case; set RISKAPI_LONG=1")
@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.stem)
def test_sample_requests_on_the_shipped_knowledge(path: Path) -> None:
    pack = load_pack(default_directory())
    assert disagreements(read_case(path.read_bytes(), pack), pack, 6_000, 16) == []


def test_parts_that_exclude_each_other_leave_no_gap_between_them() -> None:
    """An unstated trait decides which of two seals is fitted, not whether there is one."""
    case, pack = tiny_cases.traits_only_case(), tiny.pack()
    lanes = lane_set(case, pack, identify(case, pack), 14_000.0, 3.0)
    for mixes in lanes.mixes:
        shares = {wp.id: sum(w for _, w in mix.lanes) for wp, mix in zip(lanes.weak_points, mixes, strict=True)}
        assert shares == pytest.approx({"chain": 1.0, "coil": 1.0, "seal": 1.0, "belt": 1.0, "turbo": 0.4})


@pytest.mark.parametrize("years", [1.0, 6.0])
def test_what_the_buyer_plans_moves_no_state(years: float) -> None:
    case, pack = tiny_cases.full_case(), tiny.pack()
    plans = replace(case, ownership=replace(case.ownership, years=years, annual_distance_km=40_000.0))
    first, second = (
        {w.id: (w.state.sound, w.state.degraded, w.state.faulty) for w in assess(c, pack).weak_points}
        for c in (case, plans)
    )
    assert first.keys() == second.keys()
    for name, chances in first.items():
        assert second[name] == pytest.approx(chances, abs=1e-9)


def test_the_order_of_findings_and_history_does_not_matter() -> None:
    case, pack = tiny_cases.full_case(), tiny.pack()
    turned = replace(case, findings=case.findings[::-1], history=case.history[::-1])
    assert computed(assess(turned, pack)) == pytest.approx(computed(assess(case, pack)), rel=1e-9, abs=1e-12)
    assert np.isfinite(list(computed(assess(case, pack)).values())).all()
