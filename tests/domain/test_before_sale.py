"""Which work before a sale pays back."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from riskapi import service
from riskapi.domain.advice import dangerous
from riskapi.domain.assessment import Assessment
from riskapi.domain.plan_records import BeforeSale
from riskapi.intake import read_case
from tests.conftest import ROOT
from tests.domain.test_repair_plan import bought, pack

DEALERS = ("swollen_belt", "do_not_drive", "clean_late", "neglected")


@cache
def assessed(name: str, rate: float | None = 55.0) -> Assessment:
    case = read_case((ROOT / "sample_requests" / f"{name}.json").read_bytes(), pack())
    market = replace(case.market, workshop_rate=rate)
    return service.assess(replace(case, market=market), pack(), nodes=8)


def sale(name: str, rate: float = 55.0) -> BeforeSale:
    found = assessed(name, rate).decision.before_sale
    assert found is not None
    return found


def test_only_for_who_states_his_rate_and_a_value() -> None:
    assert assessed("swollen_belt", None).decision.before_sale is None
    assert assessed("port_injected").decision.before_sale is None  # no value stated


@pytest.mark.parametrize("name", DEALERS)
def test_the_figures_hang_together(name: str) -> None:
    found, done = assessed(name), sale(name)
    price = found.decision.price_for_findings
    assert price is not None
    assert done.price_after == pytest.approx(price + done.price_rise)
    assert done.pays_back == pytest.approx(done.price_rise - done.work.cost)
    assert done.cautious_price_after <= done.price_after
    assert done.score_after <= found.risk.score + 1e-6
    assert set(dangerous(found.weak_points)) <= set(done.work.weak_points)


@pytest.mark.parametrize("name", DEALERS)
def test_the_price_rises_by_what_the_buyer_no_longer_has_to_expect(name: str) -> None:
    """By hand from leaving and renewing; where immediate jobs share dismantling the rise is less by what falls away."""
    found, done, worth = assessed(name), sale(name), bought(name).worth
    mended = np.array([wp.id in done.work.weak_points for wp in worth.basis.outlook.lanes.weak_points])
    rise = float((worth.leave - worth.renewed)[mended].sum())
    most = found.cost.shared_access_saving
    assert rise - most - 1e-6 <= done.price_rise <= rise + 1e-6


def test_nothing_done_leaves_the_prices_as_they_are() -> None:
    found, done = assessed("clean_late"), sale("clean_late")
    assert done.work.jobs == ()
    assert (done.price_rise, done.work.cost) == (pytest.approx(0.0, abs=1e-6), 0.0)
    assert done.price_after == pytest.approx(found.decision.price_for_findings)
    assert done.cautious_price_after == pytest.approx(found.decision.cautious_price, abs=found.cost.step)


def test_a_dearer_workshop_does_less() -> None:
    """Law: the best net gain can only fall as the work gets dearer; at a hopeless rate only danger is left to mend."""
    gains = [sale("neglected", rate).pays_back for rate in (20.0, 55.0, 110.0)]
    assert gains == sorted(gains, reverse=True)
    hopeless = sale("do_not_drive", 5_000.0)
    assert {job.why for job in hopeless.work.jobs} == {"danger"}


def test_the_dealer_pays_his_own_rate_without_tax() -> None:
    """By hand for one line: hours x rate and the parts at their mean price."""
    row = next(row for row in sale("swollen_belt").work.operations if row.id == "renew_belt_in_oil")
    operation = pack().operation("renew_belt_in_oil")
    parts = sum((p.low + 4 * p.likely + p.high) / 6 for p in operation.parts)
    level = bought("swollen_belt").terms.level
    assert row.cost == pytest.approx(parts * level.parts_factor + operation.hours * 55.0)
