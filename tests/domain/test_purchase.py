"""The plan, what follows the purchase and the work before a sale hang together with the rest of the answer."""

from __future__ import annotations

from datetime import timedelta

import pytest

from riskapi import service
from riskapi.domain.assessment import Assessment
from riskapi.intake import read_case
from tests.conftest import ROOT
from tests.domain.test_repair_plan import NAMES, pack

ASKED = ("work_before_sale",)


def assessed(name: str) -> Assessment:
    case = read_case((ROOT / "sample_requests" / f"{name}.json").read_bytes(), pack())
    return service.assess(case, pack())


@pytest.mark.parametrize("name", NAMES)
def test_every_sample_has_a_plan(name: str) -> None:
    found = assessed(name)
    plan, after = found.decision.repair_plan, found.after_purchase
    assert plan is not None
    assert after is not None
    assert set(found.risk.work) <= set(plan.work.weak_points)
    assert not set(plan.work.weak_points) & {item.weak_point for item in plan.watch}
    assert not set(found.decision.hazards) & {item.weak_point for item in plan.watch}
    assert plan.score_after <= found.risk.score + 1e-6
    if set(found.risk.work) == set(plan.work.weak_points):
        assert plan.score_after == found.risk.after_work_score
    looked = {checked.check for checked in found.coverage.checked}
    at_once = [item for item in plan.watch if item.on == found.as_of]
    assert not looked & {item.check for item in at_once}
    assert {item.check for item in at_once} == {item.id for item in after.first_service if item.why == "watch"}
    assert plan.until - found.as_of > timedelta(days=200)
    assert (found.decision.before_sale is not None) == (name in ASKED)
