"""The kept past under other plans against the whole recursion under them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from riskapi.domain.future import future_edges
from riskapi.domain.identify import identify
from riskapi.domain.knowledge import PlannedInterval
from riskapi.domain.lane import PastLook, ToldRenewal
from riskapi.domain.lanes import LaneSet, lane_set
from riskapi.domain.lifetime import doubt_nodes
from riskapi.domain.renewal import past
from riskapi.domain.renewal_ahead import known_past, with_future
from riskapi.domain.retimed import retimed
from tests.domain.builders import lane
from tests.simulator import tiny, tiny_cases

PACK, CASE = tiny.pack(), tiny_cases.full_case()
PLANS = [(14_000.0, 5.0), (60_000.0, 3.0), (0.0, 0.25), (500.0, 9.5)]
NODES = doubt_nodes(4)


def lanes_for(annual: float, years: float) -> LaneSet:
    return lane_set(CASE, PACK, identify(CASE, PACK), annual, years)


@pytest.mark.parametrize(("annual", "years"), PLANS)
def test_clocks_run_on_as_if_built_for_these_plans(annual: float, years: float) -> None:
    found, built = retimed(lanes_for(14_000.0, 3.0), annual, years), lanes_for(annual, years)
    assert found is not None
    assert (found.roots, found.mixes, found.timeline.horizon) == (built.roots, built.mixes, built.timeline.horizon)
    for one, other in zip(found.lanes, built.lanes, strict=True):
        for name in ("t", "y", "z"):
            assert getattr(one.clocks, name) == pytest.approx(getattr(other.clocks, name), rel=1e-12)
        assert one.timeline.x == pytest.approx(other.timeline.x, rel=1e-12)
        assert (one.start, one.told, one.kept, one.kinks) == (other.start, other.told, other.kept, other.kinks)


def test_a_car_that_stands_tells_nothing_of_its_stress() -> None:
    assert retimed(lanes_for(0.0, 3.0), 9_000.0, 3.0) is None
    assert retimed(lanes_for(0.0, 3.0), 0.0, 5.0) is not None


@pytest.mark.parametrize(("annual", "years"), PLANS)
def test_it_is_the_past_computed_under_these_plans(annual: float, years: float) -> None:
    before = lanes_for(14_000.0, 3.0)
    known, at_first = known_past(before.lanes, NODES, future_edges(before.timeline.now, 3.0))
    whole = past(before.lanes, NODES, future_edges(before.timeline.now, 3.0))
    after = retimed(before, annual, years)
    assert after is not None
    edges = future_edges(after.timeline.now, years)
    found, wanted = with_future(known, after.lanes, NODES, edges), past(lanes_for(annual, years).lanes, NODES, edges)
    for one, other in ((at_first, whole), (found, wanted)):
        for name in ("state", "fails", "planned", "just_failed"):
            assert getattr(one, name) == pytest.approx(getattr(other, name), rel=1e-10, abs=1e-14)


LOOKS = (PastLook(3.0, (0.8, 0.3, 0.4)), PastLook(6.0, (0.9, 0.5, 0.1)))
PLANNED = replace(lane().parts[0], planned=PlannedInterval(None, 2.5, (0.6, 0.6, 0.6), "work"))


@pytest.mark.parametrize("years", [0.5, 2.0, 6.0])
def test_lanes_with_past_looks_among_others(years: float) -> None:
    """Also where a planned date lies before today, between the looks, or ahead; two looks, one, or none."""
    some = [
        lane(),
        lane(looks=LOOKS),
        lane(looks=LOOKS[1:]),
        lane(looks=LOOKS, parts=(PLANNED,), kept=0.6),
        lane(looks=LOOKS[:1], parts=(PLANNED,), kept=0.6, told=ToldRenewal(4.0, 0.7, 0)),
        lane(parts=(PLANNED,), kept=0.6),
    ]
    known, first = known_past(some, NODES, future_edges(10.0, 3.0))
    edges = future_edges(10.0, years)
    at_first, whole = past(some, NODES, future_edges(10.0, 3.0)), past(some, NODES, edges)
    for one, other in ((first, at_first), (with_future(known, some, NODES, edges), whole)):
        for name in ("state", "fails", "planned", "just_failed"):
            assert getattr(one, name) == pytest.approx(getattr(other, name), rel=1e-12, abs=1e-15)
