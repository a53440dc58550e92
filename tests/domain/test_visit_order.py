"""The order of a visit: cold before warm, and whatever `before` and `after` say, for any choice of acts."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from riskapi.catalogue.load import load_pack
from riskapi.domain.acts import acts_of
from riskapi.domain.visit_order import in_visit_order
from tests.conftest import ROOT

PACK = load_pack(ROOT / "knowledge")
ACTS = acts_of(PACK.checks)


def ordered(names: set[str]) -> list[str]:
    return [act.id for act in in_visit_order([act for act in ACTS if act.id in names], PACK.conditions)]


@given(st.sets(st.sampled_from([act.id for act in ACTS]), min_size=1))
@settings(max_examples=100)
def test_nothing_spoils_what_comes_after(names: set[str]) -> None:
    """Common practice, no source: what needs a cold engine comes before what needs a warm one."""
    order = ordered(names)
    assert set(order) == names
    checks = [PACK.check(name) for name in order]
    cold = [k for k, check in enumerate(checks) if "engine_cold" in check.needs]
    warm = [k for k, check in enumerate(checks) if "engine_warm" in check.needs]
    assert not cold or not warm or max(cold) < min(warm)
    for place, check in enumerate(checks):
        for other in checks[:place]:
            names_of_other = {other.id, other.set_up, *other.needs} - {None}
            assert not set(check.before) & names_of_other
        for other in checks[place + 1 :]:
            assert not set(check.after) & ({other.id, other.set_up, *other.needs} - {None})


def test_a_whole_visit_in_the_order_of_the_trade() -> None:
    """Common practice, no source: cold looks, key on, cold start, drive; the oil is drained last."""
    order = ordered({act.id for act in ACTS})
    stages = ["feel_engine_warm", "coolant_level", "stored_codes", "cold_start_sound", "feel_boost", "cut_oil_filter"]
    assert [order.index(name) for name in stages] == sorted(order.index(name) for name in stages)
    assert order.index("test_combustion_gas") < order.index("cold_start_sound")
    assert order.index("test_cooling_pressure") < order.index("cold_start_sound")


def test_a_set_up_is_not_left_and_made_again_without_need() -> None:
    order = ordered({"look_sump", "look_crank_front", "look_gearbox_joint", "press_brake_pedal"})
    at = [order.index(name) for name in ("look_sump", "look_crank_front", "look_gearbox_joint")]
    assert max(at) - min(at) == 2


def test_what_cannot_be_ordered_is_refused() -> None:
    first, second = ACTS[0], ACTS[1]
    one = replace(first, checks=(replace(first.checks[0], after=(second.id,)),))
    other = replace(second, checks=(replace(second.checks[0], after=(first.id,)),))
    with pytest.raises(ValueError, match="no order"):
        in_visit_order([one, other], PACK.conditions)
