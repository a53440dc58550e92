"""What leaving a weak point costs, and what a part renewed on day 0 spends."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from riskapi.domain.account import weak_point_results
from riskapi.domain.costing import REPAIRS, distribution, make_transforms
from riskapi.domain.knowledge import FAULTY, LifeMode, Weibull
from riskapi.domain.lattice import Lattice
from riskapi.domain.outlook import look_ahead
from riskapi.domain.renewing import RENEWED, candidate_chances, worth_of
from riskapi.domain.spending import unplanned
from tests.domain.weighed import full, plain, weigh
from tests.simulator import tiny, tiny_cases

RATE = 0.02


@pytest.mark.parametrize("weighed", [full(), plain()], ids=["full", "plain"])
def test_leaving_everything_costs_what_the_policy_costs(weighed: object) -> None:
    means = weighed.means  # type: ignore[attr-defined]
    worth = worth_of(weighed.basis)  # type: ignore[attr-defined]
    assert worth.leave == pytest.approx(means.discounted + means.planned_discounted, rel=1e-12)
    assert candidate_chances(worth.basis).sum() == pytest.approx(1.0)


def test_a_part_found_faulty_spends_later_what_a_renewed_one_spends() -> None:
    """The policy renews it on day 0, so node by node its future is that of a new part (parts with one copy)."""
    outlook = full().basis.outlook
    copies = {lane: mix.copies for mixes in outlook.lanes.mixes for mix in mixes for lane, _ in mix.lanes}
    single = [i for i in range(len(outlook.spends)) if copies[i] == 1]
    assert single
    for i in single:
        spend = outlook.spends[i]
        assert spend.worth[:, FAULTY] == pytest.approx(spend.state[:, FAULTY, None] * spend.worth[:, RENEWED], abs=1e-9)


def test_a_memoryless_part_gains_nothing_by_renewal() -> None:
    """With a constant failure rate (exponential life, no doubt, no P-F interval to speak of) a new part fails as often
    as an old one that has not failed: lambda x km a year, discounted as an annuity (elementary renewal theory)."""
    scale = 60_000.0
    life = LifeMode(Weibull(1.0, scale), None, 1.0)
    pack = tiny.pack()
    turbo = next(wp for wp in pack.weak_points if wp.copies == 1 and wp.parts[0].planned is None)
    parts = tuple(replace(part, flaw=None, flaw_share=0.0, wear=life, when=turbo.parts[0].when) for part in turbo.parts)
    plain_one = replace(turbo, parts=parts, stresses=(), pf_km=1.0, pf_years=1e-4)
    points = tuple(plain_one if wp.id == turbo.id else wp for wp in pack.weak_points)
    found = weigh(tiny_cases.plain_case(), replace(pack, weak_points=points), nodes=1)
    worth = worth_of(found.basis)
    w = [wp.id for wp in found.basis.outlook.lanes.weak_points].index(turbo.id)
    force = np.log1p(RATE)
    annuity = (1.0 - np.exp(-force * 3.0)) / force
    each = float((worth.money.service[w] * found.basis.posterior.root_chance).sum())
    expected = each * 14_000.0 / scale * annuity
    assert worth.renewed[w] == pytest.approx(expected, rel=2e-3)
    now = float(worth.found[w] @ [found.basis.prices[w, c].found.mean for c in range(worth.found.shape[1])])
    assert worth.leave[w] - now == pytest.approx(expected, rel=4e-3)


def test_a_worn_part_gains_by_renewal_before_it_is_paid() -> None:
    """By linearity leave - renewed is what renewal is worth; for parts that wear it cannot be below zero here."""
    worth = worth_of(full().basis)
    wearing = [w for w, wp in enumerate(worth.basis.outlook.lanes.weak_points) if wp.id in ("chain", "belt", "turbo")]
    assert wearing
    assert (worth.leave[wearing] >= worth.renewed[wearing]).all()


def test_failing_in_service_and_being_faulty_now_make_the_chance_of_failure() -> None:
    """Against the chance of no repair that the results tell."""
    found = full()
    worth = worth_of(found.basis)
    told = {r.id: r for r in weak_point_results(found.basis, found.means, found.readings)}
    for w, wp in enumerate(found.basis.outlook.lanes.weak_points):
        result = told[wp.id]
        assert worth.fails_by[w, -1] + result.state.faulty == pytest.approx(result.failure_probability, abs=1e-9)
    assert (np.diff(worth.fails_by, axis=1) >= -1e-12).all()


def test_the_distribution_after_the_work_has_the_mean_of_renewing() -> None:
    """By another way: the lattice of costs with the chain renewed, without discount, against the moments."""
    found = full()
    outlook = found.basis.outlook
    undiscounted = replace(found.basis, outlook=look_ahead(outlook.lanes, outlook.horizons, 0.0, outlook.doubt.size))
    worth, names = worth_of(undiscounted), [wp.id for wp in outlook.lanes.weak_points]
    w, lattice = names.index("chain"), Lattice(20.0, 1024)
    transforms = make_transforms(undiscounted.prices, lattice, REPAIRS)
    points = np.arange(lattice.size) * lattice.step
    means = [float(distribution(undiscounted, transforms, unplanned(2, renewed)) @ points) for renewed in ((), (w,))]
    assert means[0] - means[1] == pytest.approx(worth.leave[w] - worth.renewed[w], abs=1.0)
