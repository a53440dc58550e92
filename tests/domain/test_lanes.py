"""From a case to lanes: which parts, history and stress each weak point has lived with."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from riskapi.domain.case import Case, Engine
from riskapi.domain.identify import identify
from riskapi.domain.knowledge import CARES, Pack, PlannedService, ServiceInterval, Traits
from riskapi.domain.lanes import LaneSet, lane_set
from tests.simulator import tiny, tiny_cases

PACK = tiny.pack()
NAMES = [wp.id for wp in PACK.weak_points]
PLAIN = tiny_cases.plain_case()
GENERIC = replace(PLAIN, vehicle=replace(PLAIN.vehicle, engine=Engine(None, None, None, Traits())))


def lanes(case: Case = PLAIN, pack: Pack = PACK) -> LaneSet:
    return lane_set(case, pack, identify(case, pack), 14_000.0, 3.0)


def mix(of: LaneSet, name: str, care: str = "average", tuned: bool = False) -> list[tuple[int, float]]:
    root = next(i for i, r in enumerate(of.roots) if CARES[r.care] == care and r.tuned == tuned)
    return list(of.mixes[root][[wp.id for wp in of.weak_points].index(name)].lanes)


def test_every_root_has_a_mixture_of_every_weak_point() -> None:
    found = lanes()
    assert [len(row) for row in found.mixes] == [5] * len(found.roots)
    for row in found.mixes:
        for one in row:
            assert sum(weight for _, weight in one.lanes) == pytest.approx(1.0)


def test_equal_lanes_are_built_once() -> None:
    """The coil feels neither care nor tune: one lane for all roots of a revision."""
    found = lanes()
    coil = NAMES.index("coil")
    assert len({row[coil].lanes for row in found.mixes}) == 1


def test_care_and_tune_have_lanes_of_their_own_where_they_are_felt() -> None:
    found = lanes()
    chains = {mix(found, "chain", care)[0][0] for care in CARES}
    assert len(chains) == 3
    assert mix(found, "turbo", tuned=True) != mix(found, "turbo", tuned=False)
    neglected, careful = (found.lanes[mix(found, "chain", care)[0][0]] for care in ("neglected", "careful"))
    assert neglected.clocks.at(neglected.timeline.now)[0] > careful.clocks.at(careful.timeline.now)[0]


def test_the_familys_fit_says_what_left_the_works_and_what_is_on_sale() -> None:
    first = replace(PLAIN, vehicle=replace(PLAIN.vehicle, build_date=date(2012, 1, 1)))
    found = lanes(first)
    chain = found.lanes[mix(found, "chain")[0][0]]
    assert chain.parts[chain.start_part].id == "early"
    assert [chain.parts[chain.part_at(t)].id for t in (0.0, 2.9, 3.1)] == ["early", "early", "mended"]


def test_an_unstated_trait_decides_whether_there_is_such_a_weak_point() -> None:
    """Turbocharged are 40 of 100 engines of which nothing is known."""
    found = lanes(GENERIC)
    assert sum(weight for _, weight in mix(found, "turbo")) == pytest.approx(0.4)


def test_an_unstated_trait_decides_the_part() -> None:
    turbo = PACK.weak_point("turbo").applies
    chain = PACK.weak_point("chain")
    parts = (replace(chain.parts[0], when=turbo), chain.parts[1])
    pack = replace(PACK, weak_points=(replace(chain, parts=parts), *PACK.weak_points[1:]))
    found = lane_set(GENERIC, pack, identify(GENERIC, pack), 14_000.0, 3.0)
    weights = {found.lanes[i].parts[0].id: weight for i, weight in found.mixes[0][0].lanes}
    assert weights == pytest.approx({"early": 0.4, "mended": 0.6})


def test_a_weak_point_that_cannot_be_there_is_left_out() -> None:
    natural = Engine(None, None, None, Traits((("induction", "natural"),)))
    found = lanes(replace(GENERIC, vehicle=replace(GENERIC.vehicle, engine=natural)))
    assert "turbo" not in [wp.id for wp in found.weak_points]


@pytest.mark.parametrize(("cylinders", "copies"), [(3, 3), (None, 4)])
def test_copies_go_by_cylinders(cylinders: int | None, copies: int) -> None:
    traits = Traits((("cylinders", cylinders),) if cylinders else ())
    found = lanes(replace(GENERIC, vehicle=replace(GENERIC.vehicle, engine=Engine(None, None, None, traits))))
    assert {row[NAMES.index("coil")].copies for row in found.mixes} == {copies}


def test_a_kept_interval_goes_by_care() -> None:
    found = lanes()
    assert [found.lanes[mix(found, "belt", care)[0][0]].kept for care in CARES] == [0.9, 0.7, 0.4]


def test_the_seals_clocks_bend_where_its_stress_begins() -> None:
    found = lanes(replace(PLAIN, usage=replace(PLAIN.usage, planned=("short_trips",))))
    seal = found.lanes[mix(found, "seal")[0][0]]
    now = seal.timeline.now
    _, z = seal.clocks.at(now + 1.0)
    assert float(z) == pytest.approx(now + 1.3)
    assert seal.kinks == ()


def test_the_oil_history_is_held_against_the_familys_careful_interval() -> None:
    """Served every 12,000 km and year: in time by the pack's 15,000 km, stretched by a family's 9,000 km."""
    built = identify(PLAIN, PACK).built
    years = range(1, PLAIN.as_of.year - built.year + 1)
    days = [date(built.year + n, built.month, built.day) for n in years]
    served = tuple(tiny_cases.entry(day, "oil_service") for day in days if day < PLAIN.as_of)
    vehicle = replace(PLAIN.vehicle, odometer_km=12_000.0 * (PLAIN.as_of - built).days / 365.25)
    case = replace(PLAIN, vehicle=vehicle, history=served)
    careful = ServiceInterval(9_000.0, 1.0, "test")
    oil = PlannedService("oil", "Oil service", "oil", 15_000.0, 1.0, "test", careful, True)
    strict = replace(PACK, families=(replace(PACK.family("tiny"), services=(oil,)),))

    def run(pack: Pack, care: str) -> float:
        found = lanes(case, pack)
        lane = found.lanes[mix(found, "chain", care)[0][0]]
        return float(lane.clocks.at(lane.timeline.now)[0])

    assert run(PACK, "neglected") == pytest.approx(vehicle.odometer_km)
    assert run(strict, "careful") == pytest.approx(vehicle.odometer_km)  # a careful owner stretches nothing
    last = 12_000.0 * (served[-1].on - built).days / 365.25  # the months since then are in time
    assert run(strict, "neglected") == pytest.approx(vehicle.odometer_km + 0.9 * (1.6 - 1.0) * last)
