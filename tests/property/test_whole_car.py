"""Whole assessments against cars played part by part: chances, cost, and the score.

By default the small invented pack that uses every mechanism is played, with and without heavy tails, and three sample
requests on the shipped knowledge. RISKAPI_LONG=1 plays many more cars, and those of tests/simulator/proof_cases.py: the
mean then has to be within 0.5 % (and the simulation good to a third of that), the chance to exceed the budget within
3 standard errors, and P50, P80 and P90 within the simulation's error around one step of the lattice.
"""

from __future__ import annotations

import os
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from riskapi.domain.case import Case
from riskapi.domain.identify import identify
from riskapi.domain.knowledge import Pack, PlannedService, ServiceInterval
from riskapi.domain.lanes import lane_set
from riskapi.intake import read_case
from riskapi.service import assess
from tests.simulator import tiny, tiny_cases
from tests.simulator.compare import QUANTILES, Comparison, compare, computed
from tests.simulator.proof import as_demanded, proved
from tests.simulator.proof_cases import SAMPLES, heavy_tails, proof_cases, worth_nothing_stated
from tests.simulator.simulate import Effort

LONG = bool(os.environ.get("RISKAPI_LONG"))
SHORT = [path for path in SAMPLES if path.stem in {"plain_and_clean", "swollen_belt", "traits_only"}]
FEW = Effort(3_000, 1_500, 4_000)
TINY = Effort(200_000, 40_000, 100_000) if LONG else Effort(20_000, 5_000, 12_000)
SOME = Effort(5_000, 2_000, 5_000)
SEED = 20


def off(found: Comparison, errors: float) -> list[str]:
    """Everything that lies too far from what was played, in so many standard errors."""
    wrong = found.far(errors)
    return wrong + [name for name in QUANTILES if found.quantile_off(name) > errors]


def looked_at() -> Case:
    """A noise heard by two checks on one day and, in the long run, not heard later; the rest as in the full case."""
    case = tiny_cases.full_case()
    checks = (("listen", "r1", 2018), ("told_noise", "r1", 2018), ("listen", "r0", 2021))[: 3 if LONG else 2]
    past = (tiny_cases.entry(date(year, 6, 1), "checked", item=name, result=result) for name, result, year in checks)
    vehicle = replace(case.vehicle, build_date=date(2014, 3, 1), software_tune="no")
    return replace(case, vehicle=vehicle, history=(*case.history, *past))


SMALL = {
    "nothing known": (tiny_cases.plain_case(), tiny.pack()),
    "history and findings": (tiny_cases.full_case(), tiny.pack()),
    "traits only": (tiny_cases.traits_only_case(), tiny.pack()),
    "never renewed": (tiny_cases.never_renewed_case(), tiny.pack()),
    "heavy tails": (worth_nothing_stated(tiny_cases.full_case()), heavy_tails(tiny.pack())),
}


@pytest.mark.parametrize(("case", "pack"), SMALL.values(), ids=SMALL.keys())
def test_small_pack_with_every_mechanism(case: Case, pack: Pack) -> None:
    runs = 12 if LONG else 8
    assert off(compare(case, pack, TINY, runs, runs, SEED), errors=5.0) == []


def test_past_results() -> None:
    """Every row of states of that day is played, so fewer cars of each are."""
    runs = 12 if LONG else 8
    assert off(compare(looked_at(), tiny.pack(), TINY if LONG else SOME, runs, runs, SEED), errors=5.0) == []


@pytest.mark.parametrize("case", [tiny_cases.failed_case(), tiny_cases.failed_traits_case()], ids=["family", "traits"])
def test_recorded_failures(case: Case) -> None:
    """Every earlier life is played too, so fewer cars are."""
    runs = 12 if LONG else 8
    assert off(compare(case, tiny.pack(), TINY if LONG else SOME, runs, runs, SEED), errors=5.0) == []


def test_a_family_with_an_oil_interval_of_its_own() -> None:
    """The 14,000 km between the two services of this car are in time by the pack and stretched by the family."""
    small = tiny.pack()
    careful = ServiceInterval(8_000.0, 1.0, tiny.TEST)
    oil = PlannedService("oil", "Oil service", "oil", 15_000.0, 1.0, tiny.TEST, careful, True)
    pack = replace(small, families=(replace(small.family("tiny"), services=(oil,)),))
    case, runs = tiny_cases.full_case(), 12 if LONG else 8
    assert score(case, pack) > score(case, small) + 0.01
    assert off(compare(case, pack, TINY, runs, runs, SEED), errors=5.0) == []


def score(case: Case, pack: Pack) -> float:
    return assess(case, pack).risk.score


@pytest.mark.parametrize("path", SHORT, ids=lambda p: p.stem)
def test_sample_requests_in_short(path: Path, shipped: Pack) -> None:
    """A few cars only: six standard errors, since hundreds of figures are compared and errors are known roughly."""
    assert off(compare(read_case(path.read_bytes(), shipped), shipped, FEW, 8, 8, SEED), errors=6.0) == []


@pytest.mark.skipif(not LONG, reason="many minutes; set RISKAPI_LONG=1")
@pytest.mark.parametrize("name", proof_cases())
def test_cost_as_demanded(name: str) -> None:
    """Every sample request, random cars, and some of both with heavy tails."""
    found = proved(name)
    print(name, found.line())
    assert found.mean_error <= 0.0017
    assert as_demanded(found) == []
    assert off(found, errors=5.0) == []


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
