"""What raises what, which clocks count, and which findings spoil others.

Source of every test here: common practice, no source.
"""

from __future__ import annotations

import pytest

from riskapi.domain.knowledge import LifeMode, Pack
from tests.knowledge.cars import assess, by_traits, of, point, speaks

CAUSES = {
    "ventilation": ("crankcase_ventilation", "rear_crank_seal turbo_bearing intake_deposits"),
    "misfire of a coil": ("ignition_coils", "catalytic_converter"),
    "misfire of a plug": ("spark_plugs", "catalytic_converter ignition_coils"),
    "misfire of a port injector": ("port_injectors", "catalytic_converter"),
    "misfire of a valve": ("valve_seats", "catalytic_converter"),
    "misfire of a piston": ("ring_lands", "catalytic_converter"),
    "oil burnt by rings": ("ring_sticking", "catalytic_converter intake_deposits soot_filter"),
    "oil burnt by stem seals": ("valve_stem_seals", "catalytic_converter intake_deposits soot_filter"),
    "oil burnt by the turbocharger": ("turbo_bearing", "catalytic_converter intake_deposits soot_filter"),
    "injector": ("injectors", "bearings catalytic_converter"),
    "diesel injector": ("diesel_injectors", "bearings soot_filter"),
    "fuel pump": ("high_pressure_pump", "bearings"),
    "broken burn-offs": ("soot_filter", "bearings"),
    "pump": ("coolant_pump", "head_joint pump_drive_belt cam_belt"),
    "impeller": ("pump_impeller", "head_joint"),
    "belt of the pump": ("pump_drive_belt", "head_joint"),
    "thrown belt": ("accessory_drive", "head_joint"),
    "hose": ("coolant_hoses", "head_joint"),
    "thermostat": ("thermostat_shut", "head_joint"),
    "oil leak above": ("valve_cover_joint", "engine_mounts accessory_drive"),
    "oil leak at the front": ("front_cover_seal", "engine_mounts accessory_drive"),
    "oil leak at the pulley": ("front_crank_seal", "cam_belt accessory_drive"),
    "oil leak at the housing": ("oil_filter_housing", "engine_mounts accessory_drive"),
    "debris of guides": ("chain_guides", "cam_adjuster cam_control_valve bearings turbo_oil_screen"),
    "debris of a belt in oil": ("cam_belt_in_oil", "bearings oil_pump_valve vacuum_pump"),
    "debris of bearings": ("bearings", "cam_adjuster turbo_bearing"),
    "debris of a follower": ("pump_follower", "bearings turbo_bearing high_pressure_pump"),
}


@pytest.mark.parametrize(("cause", "raised"), CAUSES.values(), ids=CAUSES.keys())
def test_a_cause_names_what_it_raises(cause: str, raised: str, shipped: Pack) -> None:
    """Common practice, no source."""
    told = {entry.weak_point: entry.why for entry in shipped.weak_point(cause).raises}
    assert set(raised.split()) <= set(told)
    assert all(told.values())


def test_no_weak_point_raises_itself_or_another_twice(shipped: Pack) -> None:
    for weak_point in shipped.weak_points:
        raised = [entry.weak_point for entry in weak_point.raises]
        assert weak_point.id not in raised
        assert len(set(raised)) == len(raised), weak_point.id


@pytest.mark.parametrize("condition", ["software_tune", "stretched_oil_service"])
def test_wrong_oil_or_a_tune_raises_ring_lands_while_it_lasts(condition: str, shipped: Pack) -> None:
    """Common practice, no source."""
    assert condition in {stress.condition for stress in shipped.weak_point("ring_lands").stresses}


# ---- clocks ----------------------------------------------------------------------------------------

WHY = ("distance", "years", "running", "turning", "driving", "moving", "run hot", "starts", "injecting", "sliding")


def test_a_life_on_one_clock_says_why(shipped: Pack) -> None:
    """Common practice, no source: most parts wear by both; where one counts, the text says why."""
    for weak_point in shipped.weak_points:
        wear = [part.wear for part in weak_point.parts if part.wear is not None]
        if any((mode.distance is None) != (mode.age is None) for mode in wear):
            assert any(word in weak_point.mechanism.lower() for word in WHY), weak_point.id


@pytest.mark.parametrize("name", ["coolant_hoses", "expansion_tank", "high_pressure_pump", "vacuum_pump", "cam_belt"])
def test_rubber_and_polymer_age_and_wear(name: str, shipped: Pack) -> None:
    """Common practice, no source: years harden, distance strains."""

    def both(mode: LifeMode) -> bool:
        return mode.distance is not None and mode.age is not None

    assert all(both(part.wear) for part in shipped.weak_point(name).parts if part.wear is not None)


# ---- what spoils a check ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("condition", "check", "seen"),
    [
        ("engine_cold", "cold_start_sound", "long"),
        ("codes_not_cleared", "stored_codes", {"codes": ["P0302"]}),
        ("bay_not_washed", "look_valve_cover", "wet"),
        ("engine_warm", "watch_smoke_load", "cloud"),
        ("tank_cold", "test_combustion_gas", "negative"),
        ("misfire_present", "swap_coils", "moves"),
    ],
)
def test_a_check_under_wrong_conditions_weighs_nothing(condition: str, check: str, seen: object, shipped: Pack) -> None:
    """Common practice, no source."""
    plain = assess(shipped, of("lapwing_1b"), "2012-01-10")
    void = assess(shipped, of("lapwing_1b"), "2012-01-10", findings={check: seen}, conditions={condition: False})
    assert check in {entry.check for entry in void.coverage.void}
    assert void.risk.score == pytest.approx(plain.risk.score)


@pytest.mark.parametrize(
    ("check", "seen", "name"),
    [
        ("feel_engine_warm", "warm", "chain_tensioner"),
        ("read_monitors", "unset", "catalytic_converter"),
        ("look_bay_washed", "washed", "valve_cover_joint"),
    ],
)
def test_what_spoils_a_check_is_a_mild_sign_itself(check: str, seen: str, name: str, shipped: Pack) -> None:
    """Common practice, no source: it speaks for what it could hide, but far from proves it."""
    car = assess(shipped, by_traits(), "2014-01-10", findings={check: seen})
    assert 0.2 < speaks(car, name, check) < 6.0
    assert point(car, name).state.sound > 0.7
