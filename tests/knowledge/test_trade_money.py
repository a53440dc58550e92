"""What repairs cost, and why: blocks, labour traps, fitting, plausible ranges.

Source of every test here: common practice, no source.
"""

from __future__ import annotations

import numpy as np
import pytest

from riskapi.domain.assessment import Assessment, WeakPointInputs
from riskapi.domain.jobs import PriceLevel, Severity, capped_survival, make_job
from riskapi.domain.knowledge import Pack
from tests.knowledge.cars import assess, by_traits, not_sound, of, point

BUILT = "2014-01-10"


def money(assessment: Assessment, identifier: str) -> WeakPointInputs:
    assert assessment.inputs is not None
    return next(item for item in assessment.inputs.weak_points if item.weak_point == identifier)


def p90(severity: Severity) -> float:
    """The cost [money] that one failure in ten exceeds."""
    x = np.linspace(0.0, 30_000.0, 30_001)
    exceeds = sum(o.chance * capped_survival(o.job, severity.engines, severity.write_off, x) for o in severity.outcomes)
    return float(x[np.argmax(exceeds <= 0.1)])


def hours(pack: Pack, *operations: str, fitting: str = "transverse") -> float:
    level = PriceLevel("EUR", pack.defaults.labour_rate, 1.0, pack.defaults.tax, fitting, None)
    return make_job(operations, pack, level).hours


# ---- the block -----------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["bearings", "ring_lands"])
@pytest.mark.parametrize("induction", ["turbocharged", "supercharged"])
def test_an_iron_block_that_survives_makes_the_worst_case_cheaper(name: str, induction: str, shipped: Pack) -> None:
    """Common practice, no source: by the mean of a failure, by its worst tenth, and by the dearest thing that follows.

    Iron is bored, honed and takes a ground or exchange shaft for less than another engine; aluminium often does not.
    """
    cars = [assess(shipped, by_traits(block_material=m, induction=induction), BUILT) for m in ("iron", "aluminium")]
    for table in ("in_service", "found_faulty"):
        iron, alloy = (getattr(money(car, name), table) for car in cars)
        assert iron.mean < 0.93 * alloy.mean
        assert p90(iron) < 0.87 * p90(alloy)
        assert max(o.job.mean for o in iron.outcomes) < 0.8 * max(o.job.mean for o in alloy.outcomes)
    assert point(cars[0], name).expected_cost < 0.95 * point(cars[1], name).expected_cost


def test_with_an_iron_block_most_repairs_of_the_bottom_end_cost_less_than_another_engine(shipped: Pack) -> None:
    """Common practice, no source: with aluminium half of them or more do not."""
    share = {}
    for material in ("iron", "aluminium"):
        severity = money(assess(shipped, by_traits(block_material=material), BUILT), "bearings").in_service
        engine = min(job.mean for job in severity.engines)
        share[material] = sum(o.chance for o in severity.outcomes if o.job.mean < engine)
    assert share["iron"] > 0.9
    assert share["aluminium"] < 0.5


def test_an_unknown_block_lies_between(shipped: Pack) -> None:
    """Common practice, no source."""
    unknown = by_traits()
    del unknown["traits"]["block_material"]
    iron, between, alloy = (
        money(assess(shipped, engine, BUILT), "bearings").in_service.mean
        for engine in (by_traits(block_material="iron"), unknown, by_traits(block_material="aluminium"))
    )
    assert iron < between < alloy


# ---- labour traps --------------------------------------------------------------------------------


def test_a_seep_of_what_holds_the_cam_bearings_is_four_to_six_hours(shipped: Pack) -> None:
    """Common practice, no source: against some two for a plain cover; opening it can cost the timing."""
    ladder = hours(shipped, "reseal_bearing_ladder")
    assert 4.0 < ladder - shipped.operation("oil_service").hours - 0.4 < 6.0
    assert ladder > 2 * hours(shipped, "reseal_valve_cover")
    assert "timing" in " ".join(shipped.operation("reseal_bearing_ladder").cautions)
    holds = assess(shipped, by_traits(cam_bearings="in_cover"), BUILT)
    assert {w.id for w in holds.weak_points} & {"valve_cover_joint", "bearing_ladder_joint"} == {"bearing_ladder_joint"}


def test_a_tensioner_on_the_filter_housing_costs_hours_for_one_bolt(shipped: Pack) -> None:
    """Common practice, no source."""
    trap = hours(shipped, "renew_accessory_drive", "free_tensioner_bolt")
    assert trap > 3 * hours(shipped, "renew_accessory_drive")
    there, elsewhere = (
        money(assess(shipped, by_traits(oil_cooler=place), BUILT), "accessory_drive").in_service
        for place in ("on_filter_housing", "separate")
    )
    assert there.mean > 1.1 * elsewhere.mean
    assert not [o for o in elsewhere.outcomes if "free_tensioner_bolt" in o.job.operations]


def test_longitudinal_fitting_eases_the_chain_end_and_worsens_the_gearbox_end(shipped: Pack) -> None:
    """Common practice, no source."""
    for chain_end in ("renew_chain_set", "renew_chain_set_pressed", "renew_accessory_drive", "renew_crank_damper"):
        assert hours(shipped, chain_end, fitting="longitudinal") < hours(shipped, chain_end)
    for gearbox_end in ("renew_chain_set_gearbox_end", "renew_rear_crank_seal", "reseal_gearbox_end_cover"):
        assert hours(shipped, gearbox_end, fitting="longitudinal") > hours(shipped, gearbox_end)


@pytest.mark.parametrize(
    ("trait", "easy", "hard", "name"),
    [
        ("cam_drive_side", "front", "gearbox_end", "chain_elongation"),
        ("coolant_pump_access", "front", "under_manifold", "coolant_pump"),
        ("injector_position", "central", "side", "injectors"),
    ],
)
def test_traits_decide_the_labour(trait: str, easy: str, hard: str, name: str, shipped: Pack) -> None:
    """Common practice, no source."""
    cheap, dear = (money(assess(shipped, by_traits(**{trait: v}), BUILT), name).in_service for v in (easy, hard))
    assert dear.mean > 1.15 * cheap.mean


# ---- prices of checks ----------------------------------------------------------------------------


def test_every_check_that_a_workshop_does_has_its_price(shipped: Pack) -> None:
    """Common practice, no source: near the minutes at the workshop's rate; paid once where one act has more results."""
    minute = shipped.defaults.labour_rate * (1.0 + shipped.defaults.tax) / 60.0
    for check in shipped.checks:
        at_workshop = check.tier == "workshop" or check.equipment in {"workshop", "maker_scan_tool"}
        if check.part_of is not None:
            assert check.price == 0.0, check.id
        elif at_workshop:
            assert 0.5 * check.minutes * minute < check.price < 80.0 + 3.0 * check.minutes * minute, check.id


# ---- plausible figures ---------------------------------------------------------------------------

# per 30,000 km from 120,000 km on at 8 years, in %; wide, since only a figure that makes one laugh should fail
PLAUSIBLE = {
    "chain_tensioner": (1, 6),
    "chain_elongation": (0.5, 4),
    "coolant_pump": (2, 12),
    "thermostat_unit": (2, 10),
    "ignition_coils": (3, 15),
    "turbo_bearing": (1, 6),
    "head_joint": (0.2, 2),
    "bearings": (0.2, 2),
    "ring_lands": (0.1, 1.5),
    "valve_cover_joint": (3, 12),
    "crankcase_ventilation": (3, 12),
    "catalytic_converter": (0.5, 5),
    "high_pressure_pump": (1, 6),
    "injectors": (1, 8),
    "intake_deposits": (3, 15),
    "accessory_drive": (3, 15),
    "crank_sensor": (0.5, 4),
    "low_pressure_pump": (0.5, 5),
}


def test_chances_of_a_plain_turbocharged_petrol_engine_are_what_a_workshop_sees(shipped: Pack) -> None:
    """Common practice, no source."""
    car = assess(shipped, by_traits(), "2018-03-01", 120_000)
    for name, (low, high) in PLAUSIBLE.items():
        per_cent = 100.0 * point(car, name).failure_probability * 30_000 / 45_000
        assert low < per_cent < high, (name, per_cent)


def test_a_cam_belt_seldom_fails_within_its_interval_and_is_in_doubt_far_beyond(shipped: Pack) -> None:
    """Common practice, no source: below 2 in 100 over 45,000 km inside it; a first belt at 200,000 km is another thing.

    What is overdue is renewed at once by the new owner, so its state today says more than the failures ahead.
    """

    def first(km: float, built: str) -> Assessment:
        entry = {"date": "2026-02-20", "odometer": {"value": km, "unit": "km"}, "evidence": "invoice"}
        never = [{**entry, "work": "never_renewed", "item": "cam_belt"}]
        return assess(shipped, of("dunlin_2b"), built, km, history=never)

    young, old = first(60_000, "2021-06-10"), first(200_000, "2014-06-10")
    assert point(young, "cam_belt").failure_probability < 0.02
    assert not_sound(old, "cam_belt") > max(0.03, 20 * not_sound(young, "cam_belt"))
