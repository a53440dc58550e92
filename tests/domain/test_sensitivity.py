"""Every bar against the assessment of the case it stands for."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from riskapi.domain.costing import Basis
from riskapi.domain.means import expected
from riskapi.domain.outlook import Outlook, Spend
from riskapi.domain.posterior import group_roots, infer, without_each
from riskapi.domain.sensitivity import Bar, Sensitivity, node_costs, sensitivity
from riskapi.domain.what_if import Base, Changes, base_of, what_if
from riskapi.service import assess
from tests.simulator import tiny, tiny_cases

PACK, CASE = tiny.pack(), tiny_cases.full_case()


@cache
def base() -> Base:
    return base_of(CASE, PACK)


@cache
def found() -> Sensitivity:
    return sensitivity(base())


def basis() -> Basis:
    return Basis(base().car.outlook, base().car.posterior, base().prices)


def bars(what: str) -> dict[str, Bar]:
    return {bar.id: bar for bar in found().bars if bar.what == what}


def test_the_widest_comes_first_and_low_is_low() -> None:
    widths = [bar.width for bar in found().bars]
    assert widths == sorted(widths, reverse=True)
    assert min(widths) >= 0.0
    assert found().mean == pytest.approx(assess(CASE, PACK).cost.unplanned.mean, rel=1e-12)


def test_a_finding_left_out_is_an_assessment_without_it() -> None:
    counted = base().readings.counted
    seen = bars("left_out")
    assert len(seen) == len({finding.check.id for finding in counted}) > 0
    for name, bar in seen.items():
        rest = tuple(finding for finding in CASE.findings if finding.check != name)
        wanted = assess(replace(CASE, findings=rest), PACK).cost.unplanned.mean
        [left_out] = [side.cost for side in (bar.low, bar.high) if side.value == ""]
        assert left_out == pytest.approx(wanted, rel=1e-9), name


@pytest.mark.parametrize("what", ["annual_distance", "years", "labour_rate", "parts_index"])
def test_a_plan_or_price_is_its_what_if(what: str) -> None:
    names = {"annual_distance": "annual_distance_km"}
    [bar] = bars(what).values()
    for side in (bar.low, bar.high):
        wanted = what_if(base(), Changes(**{names.get(what, what): float(side.value)}))
        assert side.cost == pytest.approx(wanted.unplanned.mean, rel=1e-9)


def test_roots_average_to_the_mean() -> None:
    """The law of total expectation over care: the mean lies between the ends."""
    [care] = bars("care").values()
    assert care.low.cost < found().mean < care.high.cost
    assert {care.low.value, care.high.value} <= {"careful", "average", "neglected"}


def at_node(outlook: Outlook, weak_point: int, node: int) -> Outlook:
    """The outlook of a car of which this weak point's node is known: its arrays are those of the node throughout."""
    mine = {lane for row in outlook.lanes.mixes for lane, _ in row[weak_point].lanes}

    def known(rows: np.ndarray) -> np.ndarray:
        return np.repeat(rows[node : node + 1], rows.shape[0], axis=0)

    spends = tuple(
        Spend(*(known(rows) for rows in (s.state, s.events, s.planned, s.worth))) if lane in mine else s
        for lane, s in enumerate(outlook.spends)
    )
    return replace(outlook, spends=spends)


@pytest.mark.parametrize("node", [0, 5, 7])
def test_a_lifetime_at_a_node_is_inference_with_it_known(node: int) -> None:
    """The second way: set every lane of the weak point to the node and infer anew."""
    costs, counted = node_costs(basis()), base().readings.counted
    for w, wp in enumerate(base().car.outlook.lanes.weak_points):
        outlook = at_node(base().car.outlook, w, node)
        groups = group_roots(PACK, outlook.lanes, counted)
        posterior = infer(outlook.lanes, groups, counted, outlook.table.masses)
        wanted = float(expected(Basis(outlook, posterior, base().prices)).unplanned.sum())
        assert costs[w, node] == pytest.approx(wanted, rel=1e-9), wp.id


def test_states_without_a_finding_sum_to_one() -> None:
    car = base().car
    left = without_each(car.outlook.lanes, car.posterior.groups, base().readings.counted, car.outlook.table.masses)
    assert left.sum(axis=(2, 3)) == pytest.approx(1.0)


def test_without_findings_and_doubt_there_is_less_to_tell() -> None:
    plain = sensitivity(base_of(tiny_cases.plain_case(), PACK, nodes=1))
    assert {bar.kind for bar in plain.bars} == {"assumption"}
