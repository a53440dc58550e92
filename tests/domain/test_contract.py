"""A repair contract: closed forms of one claim, laws, and whole cars played claim by claim."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import beta

from riskapi.domain.assessment import ContractFigures
from riskapi.domain.case import Case, Contract
from riskapi.domain.contract import (
    cost_beyond,
    left_to_owner,
    paid_for,
    payout_mean,
    running_years,
    waiting_years,
)
from riskapi.domain.jobs import Outcome, Severity
from riskapi.domain.lifetime import doubt_nodes
from riskapi.domain.outlook import late_failures, look_apart
from riskapi.domain.terms import terms_of
from riskapi.service import assess
from tests.domain.builders import job
from tests.domain.weighed import full
from tests.simulator import pools, tiny, tiny_cases
from tests.simulator.play import FOUND, IN_SERVICE
from tests.simulator.scene import car_of
from tests.simulator.simulate import Cars, Effort, repeat

PACK, CASE = tiny.pack(), tiny_cases.full_case()
ALL = tuple(wp.id for wp in PACK.weak_points)
PERT = Severity((Outcome(1.0, job(200.0, 500.0, 1_400.0), ""),), (), None)
FIXED = Severity((Outcome(0.25, job(300.0, 300.0, 300.0), ""), Outcome(0.75, job(900.0, 900.0, 900.0), "")), (), None)


def figures(contract: Contract, case: Case = CASE) -> ContractFigures:
    found = assess(replace(case, market=replace(case.market, contract=contract)), PACK).contract
    assert found is not None
    return found


# ---- one claim -------------------------------------------------------------------------------------------


def test_without_excess_and_limit_everything_is_paid() -> None:
    assert payout_mean(PERT, Contract(0.0)) == pytest.approx(PERT.mean, rel=1e-12)


def test_an_excess_on_fixed_costs() -> None:
    assert payout_mean(FIXED, Contract(0.0, excess=400.0)) == pytest.approx(0.75 * 500.0, rel=1e-9)
    both = Contract(0.0, excess=100.0, limit_per_claim=250.0)
    assert payout_mean(FIXED, both) == pytest.approx(0.25 * 200.0 + 0.75 * 250.0, rel=1e-9)
    assert payout_mean(FIXED, Contract(0.0, excess=900.0)) == 0.0


def test_the_mean_payout_against_a_general_library() -> None:
    """E[min((c - 350)+, 400)] of a beta-PERT from 200 over 500 to 1,400 by scipy's beta distribution (a general-purpose
    reference: `expect` integrates numerically)."""
    rise = 1.0 + 4.0 * 300.0 / 1_200.0
    law = beta(rise, 6.0 - rise, loc=200.0, scale=1_200.0)
    wanted = law.expect(lambda c: min(max(c - 350.0, 0.0), 400.0), epsabs=1e-10, limit=500)
    assert payout_mean(PERT, Contract(0.0, excess=350.0, limit_per_claim=400.0)) == pytest.approx(wanted, rel=1e-7)


amounts = st.floats(0.0, 2_000.0)


@given(excess=amounts, limit=st.none() | amounts)
def test_both_shares_make_up_the_cost(excess: float, limit: float | None) -> None:
    contract = Contract(0.0, excess=excess, limit_per_claim=limit)
    x = np.linspace(0.0, 1_500.0, 6_001)
    paid, left, cost = (
        float(np.trapezoid(beyond(x), x))
        for beyond in (paid_for(PERT, contract), left_to_owner(PERT, contract), lambda y: cost_beyond(PERT, y))
    )
    assert paid + left == pytest.approx(cost, abs=0.5)
    assert payout_mean(PERT, contract) == pytest.approx(paid, abs=0.5)


# ---- whole cars ------------------------------------------------------------------------------------------


def test_a_contract_for_everything_leaves_nothing() -> None:
    found = figures(Contract(500.0, ALL, existing_faults=True))
    answer = assess(CASE, PACK)
    assert found.expected_payout == pytest.approx(answer.cost.unplanned.mean, rel=1e-9)
    assert found.expected_left == pytest.approx(0.0, abs=1e-9)
    assert (found.exceeds_with.low, found.exceeds_with.high) == (pytest.approx(0.0, abs=1e-6),) * 2
    assert found.exceeds_without == pytest.approx(answer.risk.score / 100.0, abs=1e-12)


def test_a_contract_for_nothing_pays_nothing() -> None:
    found = figures(Contract(100.0, ("chain",), excess=1e6))
    assert found.expected_payout == 0.0
    assert found.exceeds_with.low == found.exceeds_with.high == pytest.approx(found.exceeds_without, abs=1e-9)
    assert found.exceeds_with_price.low >= found.exceeds_with.low


def test_what_is_there_already_is_left_out_unless_stated() -> None:
    without, with_it = figures(Contract(0.0, ALL)), figures(Contract(0.0, ALL, existing_faults=True))
    immediate = assess(CASE, PACK).cost.immediate.mean
    assert with_it.expected_payout - without.expected_payout == pytest.approx(immediate, rel=1e-9)


def test_systems_cover_their_weak_points() -> None:
    systems = tuple({wp.system for wp in PACK.weak_points})
    assert figures(Contract(0.0, (), systems)) == figures(Contract(0.0, ALL))


def test_a_price_above_the_budget_is_above_it_for_certain() -> None:
    assert figures(Contract(1e5, ALL)).exceeds_with_price.low == 1.0


@pytest.mark.parametrize(("years", "distance", "runs"), [(None, None, 3.0), (2.0, None, 2.0), (9.0, 7_000.0, 0.5)])
def test_it_runs_until_the_first_end(years: float | None, distance: float | None, runs: float) -> None:
    contract = Contract(0.0, ALL, years=years, distance_km=distance)
    assert running_years(contract, terms_of(CASE, PACK)) == pytest.approx(runs)


def test_a_shorter_contract_is_reckoned_over_its_own_time() -> None:
    short = replace(CASE, ownership=replace(CASE.ownership, years=1.25))
    found, whole = figures(Contract(0.0, ALL, years=1.25)), figures(Contract(0.0, ALL), short)
    assert found.years == 1.25
    assert found.expected_payout == pytest.approx(whole.expected_payout, rel=1e-9)
    assert found.expected_repairs == pytest.approx(whole.expected_repairs, rel=1e-9)
    assert found.exceeds_with.low == pytest.approx(whole.exceeds_with.low, abs=2e-3)  # lattices differ


@pytest.mark.parametrize(
    ("time", "distance", "runs", "waits"),
    [(0.25, 0.0, None, 0.25), (0.25, 7_000.0, None, 0.5), (0.0, 1_400.0, None, 0.1), (2.0, 0.0, 1.0, 1.0)],
)
def test_it_waits_until_both_have_passed(time: float, distance: float, runs: float | None, waits: float) -> None:
    contract = Contract(0.0, ALL, years=runs, waiting_years=time, waiting_km=distance)
    assert waiting_years(contract, terms_of(CASE, PACK)) == pytest.approx(waits)
    parked = replace(terms_of(CASE, PACK), annual=0.0)
    assert waiting_years(replace(contract, waiting_km=1.0), parked) == running_years(contract, parked)


@pytest.mark.parametrize("wait", [0.1, 0.5, 1.0, 1.7])
def test_what_a_waiting_period_takes_away_is_what_a_contract_that_ends_with_it_pays(wait: float) -> None:
    """E[paid from w to the end] = E[paid to the end] - E[paid up to w]; the grids of the three differ."""
    whole, ends, waits = (
        figures(Contract(0.0, ALL, excess=100.0, **more))
        for more in ({"years": 3.0}, {"years": wait}, {"waiting_years": wait})
    )
    assert waits.waiting == wait
    assert waits.expected_payout == pytest.approx(whole.expected_payout - ends.expected_payout, rel=2e-4)
    assert waits.covered_repairs == pytest.approx(whole.covered_repairs - ends.covered_repairs, rel=2e-4)
    assert waits.expected_repairs == pytest.approx(whole.expected_repairs, rel=1e-4)
    assert waits.exceeds_without == pytest.approx(whole.exceeds_without, abs=1e-4)
    assert whole.exceeds_with.low < waits.exceeds_with.low < waits.exceeds_without


def test_a_waiting_period_as_long_as_the_contract_leaves_nothing_to_pay() -> None:
    found = figures(Contract(0.0, ALL, years=1.0, waiting_years=1.0))
    assert (found.expected_payout, found.covered_repairs) == (0.0, 0.0)
    assert found.exceeds_with.low == pytest.approx(found.exceeds_without, abs=1e-9)


def test_pairs_of_early_and_late_failures_add_up() -> None:
    """To the masses of the states, and to the expected number of failures that is summed by itself (`worth`, here
    without discount) on the same grid; what is left out are counts of less mass than 1e-10."""
    lanes = full().basis.outlook.lanes
    apart = look_apart(lanes, 3.0, 0.7, 0.0, 8)
    for spend, events in zip(apart.spends, apart.mean_events, strict=True):
        assert events[0, :3].sum(axis=(1, 2)) == pytest.approx(spend.state.mean(axis=0), rel=1e-7, abs=1e-10)
    assert apart.table.failures == pytest.approx(apart.table.present, rel=1e-6, abs=1e-8)
    late = late_failures(apart)
    assert (late >= -1e-12).all()
    assert (late <= apart.table.failures + 1e-9).all()


def test_late_failures_of_a_wait_for_the_whole_time_are_none() -> None:
    assert late_failures(look_apart(full().basis.outlook.lanes, 3.0, 3.0, 0.0, 8)).max() == 0.0


@pytest.mark.parametrize("limit", [60.0, 700.0, 2_500.0, 30_000.0])
def test_a_limit_on_the_total_only_takes_away(limit: float) -> None:
    free, held = unlimited(), figures(Contract(400.0, ALL, excess=100.0, limit_total=limit))
    assert held.expected_payout <= min(free.expected_payout, limit) + 1e-9
    for name in ("exceeds_with", "exceeds_with_price"):
        bounds, without = getattr(held, name), getattr(free, name)
        assert without.low - 1e-9 <= bounds.low <= bounds.high <= 1.0
    assert held.exceeds_with.high <= held.exceeds_without + 1e-9


def unlimited() -> ContractFigures:
    return figures(Contract(400.0, ALL, excess=100.0))


# ---- against cars played claim by claim ------------------------------------------------------------------

EFFORT = Effort(20_000, 5_000, 12_000)
PACKED = 1e7  # left of a claim, and its payout in whole units times this, in one number


def claims(contract: Contract, played: Callable[..., Any]) -> Callable[..., Any]:
    """What the simulator's events cost, told apart into what is left and what is paid."""

    def price(life: Any, car: Any, traits: Any, events: Any, rng: Any) -> Any:
        cost = played(life, car, traits, events, rng)
        if life.weak_point.id not in contract.weak_points:
            return cost
        claim = (events.kind == IN_SERVICE) | (contract.existing_faults & (events.kind == FOUND))
        claim &= events.time >= waiting_years(contract, terms_of(CASE, PACK))
        limit = np.inf if contract.limit_per_claim is None else contract.limit_per_claim
        paid = np.where(claim, np.rint(np.minimum(np.maximum(cost - contract.excess, 0.0), limit)), 0.0)
        return cost - paid + PACKED * paid

    return price


@pytest.mark.parametrize(
    "contract",
    [
        Contract(300.0, ("chain", "turbo"), excess=150.0, limit_per_claim=900.0, limit_total=1_500.0),
        Contract(300.0, ALL, excess=200.0, limit_total=1_000.0, existing_faults=True),
        Contract(300.0, ALL, excess=50.0, limit_total=1_000.0, waiting_years=0.8),
        Contract(300.0, ("chain", "coil"), excess=50.0, limit_total=1_000.0, waiting_years=0.3, waiting_km=5_000.0),
    ],
    ids=["two of them", "all and existing faults", "all after a time", "two after a distance"],
)
def test_played_claim_by_claim(contract: Contract, monkeypatch: pytest.MonkeyPatch) -> None:
    """Cars of an independent simulator; five standard errors of six repetitions."""
    monkeypatch.setattr(pools, "price", claims(contract, pools.price))
    found, free = figures(contract), figures(replace(contract, limit_total=None))
    budget, limit = terms_of(CASE, PACK).budget, contract.limit_total
    assert limit is not None

    def split(cars: Cars) -> tuple[Any, Any]:
        paid = np.floor(cars.spent / PACKED)
        return cars.spent - PACKED * paid, paid

    def mean(cars: Cars, amounts: Any) -> float:
        return cars.mean(amounts.mean(axis=1))

    def owner(cars: Cars) -> Any:
        left, paid = split(cars)
        return left + np.maximum(paid - limit, 0.0)

    told = {
        "unlimited payout": lambda cars: mean(cars, split(cars)[1]),
        "payout": lambda cars: mean(cars, np.minimum(split(cars)[1], limit)),
        "left": lambda cars: mean(cars, split(cars)[0]),
        "exceeds, no limit": lambda cars: cars.share(split(cars)[0] > budget),
        "exceeds": lambda cars: cars.share(owner(cars) > budget),
    }
    played = repeat(car_of(CASE, PACK, tuple(doubt_nodes())), told, EFFORT, 6, seed=11)
    for name, value in (
        ("unlimited payout", free.expected_payout),
        ("payout", found.expected_payout),
        ("left", free.expected_left),
        ("exceeds, no limit", free.exceeds_with.low),
    ):
        assert played[name].agrees(value, errors=5.0, slack=0.005 * value + 2e-4), (name, played[name], value)
    seen, error = played["exceeds"].value, played["exceeds"].error
    assert found.exceeds_with.low - 5.0 * error - 1e-3 <= seen <= found.exceeds_with.high + 5.0 * error + 1e-3
