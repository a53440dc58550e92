"""Cases as they come to a workshop, on the four families and on engines known by traits alone.

Source of every test here: common practice, no source. Each asserts an ordering or a factor between results of the
program, never a figure of the pack.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest

from riskapi.domain.assessment import Assessment
from riskapi.domain.knowledge import Pack
from tests.knowledge.cars import assess, by_suspicion, by_traits, names, not_sound, of, point, speaks

DIESEL = by_traits(
    fuel="diesel", cam_drive="belt", vvt="none", exhaust_gas_recirculation="yes", particulate_filter="yes"
)
NATURAL = by_traits(induction="natural", fuel_injection="port")
SIX = by_traits(cylinders=6)
THREE = by_traits(cylinders=3)
KNOWN_BY_THREE_TRAITS = {"traits": {"fuel": "petrol", "cylinders": 4, "induction": "turbocharged"}}

Engine = tuple[dict[str, Any], str]
CHAIN_TURBO: Engine = (of("lapwing_2a"), "2014-01-10")
BELT_NATURAL: Engine = (of("dunlin_2b"), "2014-06-10")
BELT_DIESEL: Engine = (of("fieldfare_2a"), "2014-11-10")
BELT_IN_OIL: Engine = (of("whinchat_1b"), "2015-06-10")
TURBOS = {
    "lapwing_2a": CHAIN_TURBO,
    "lapwing_1b": (of("lapwing_1b"), "2012-01-10"),
    "fieldfare_2a": BELT_DIESEL,
    "whinchat_1b": BELT_IN_OIL,
    "six cylinders": (SIX, "2014-01-10"),
    "diesel": (DIESEL, "2014-01-10"),
    "three traits": (KNOWN_BY_THREE_TRAITS, "2014-01-10"),
}
ALL = {
    **TURBOS,
    "dunlin_2b": BELT_NATURAL,
    "natural": (NATURAL, "2014-01-10"),
    "three cylinders": (THREE, "2014-01-10"),
}


def look(pack: Pack, engine: Engine, km: float = 120_000, **findings: object) -> Assessment:
    return assess(pack, engine[0], engine[1], km, findings=dict(findings))


def even(engine: Engine) -> dict[str, Any]:
    """Compression alike in all cylinders of this engine."""
    cylinders = engine[0].get("traits", {}).get("cylinders", 3 if engine is BELT_IN_OIL else 4)
    return {"values": [12.0 + 0.1 * (n % 2) for n in range(cylinders)], "unit": "bar"}


# ---- oil burnt -----------------------------------------------------------------------------------


@pytest.mark.parametrize("engine", TURBOS.values(), ids=TURBOS.keys())
def test_blue_under_load_with_normal_compression_is_the_turbocharger_first(engine: Engine, shipped: Pack) -> None:
    """Common practice, no source; twice as much as any rival when it is a cloud, and never the stem seals."""
    for smoke, factor in (("trace", 1.2), ("cloud", 2.0)):
        car = look(shipped, engine, watch_smoke_load=smoke, watch_smoke_idle="clear", compression_test=even(engine))
        assert by_suspicion(car)[0] == "turbo_bearing"
        assert not_sound(car, "turbo_bearing") > factor * not_sound(car, "ring_sticking")
        assert speaks(car, "valve_stem_seals", "watch_smoke_load") == pytest.approx(0.0, abs=0.1)


@pytest.mark.parametrize("engine", [BELT_NATURAL, (NATURAL, "2014-01-10")], ids=["dunlin", "natural"])
def test_blue_under_load_without_a_turbocharger_is_the_rings(engine: Engine, shipped: Pack) -> None:
    """Common practice, no source."""
    car = look(shipped, engine, watch_smoke_load="cloud", compression_test=even(engine))
    assert by_suspicion(car)[0] == "ring_sticking"
    assert "turbo_bearing" not in names(car)


@pytest.mark.parametrize("engine", ALL.values(), ids=ALL.keys())
def test_blue_after_long_idle_is_the_stem_seals(engine: Engine, shipped: Pack) -> None:
    """Common practice, no source: far ahead of rings and turbocharger."""
    car = look(shipped, engine, watch_smoke_idle="cloud")
    assert by_suspicion(car)[0] == "valve_stem_seals"
    assert not_sound(car, "valve_stem_seals") > 10 * not_sound(car, "ring_sticking")


@pytest.mark.parametrize("engine", ALL.values(), ids=ALL.keys())
def test_much_oil_burnt_with_normal_compression_is_rings_or_stem_seals(engine: Engine, shipped: Pack) -> None:
    """Common practice, no source: both rise at least threefold and lead; a lost cylinder is ruled out."""
    before = look(shipped, engine)
    car = look(shipped, engine, oil_use_told="heavy", compression_test=even(engine))
    assert set(by_suspicion(car)[:2]) == {"ring_sticking", "valve_stem_seals"}
    for name in ("ring_sticking", "valve_stem_seals"):
        assert not_sound(car, name) > 3 * not_sound(before, name)
    if "ring_lands" in names(car):
        assert not_sound(car, "ring_lands") < 0.5 * not_sound(before, "ring_lands") + 0.001


@pytest.mark.parametrize("engine", ALL.values(), ids=ALL.keys())
def test_whistle_and_strong_suction_are_the_ventilation(engine: Engine, shipped: Pack) -> None:
    """Common practice, no source."""
    car = look(shipped, engine, feel_filler_suction="whistles")
    assert by_suspicion(car)[0] == "crankcase_ventilation"
    assert not_sound(car, "crankcase_ventilation") > 0.7


def test_pulses_speak_for_rings_against_the_ventilation(shipped: Pack) -> None:
    """Common practice, no source: a steady pressure is the ventilation's, pulses in step are not."""
    for engine in (CHAIN_TURBO, BELT_IN_OIL):
        steady, pulsing = (look(shipped, engine, watch_crankcase_pressure=seen) for seen in ("raised", "pulsing"))
        assert by_suspicion(steady)[0] == "crankcase_ventilation"
        assert by_suspicion(pulsing)[0] == "ring_lands"


def test_a_lost_cylinder_has_four_rivals_and_the_leak_down_tells_them(shipped: Pack) -> None:
    """Common practice, no source: ring land, valve, lash adjuster; head joint where the neighbour is low too."""
    low = {"values": [12.1, 12.0, 7.9, 12.2], "unit": "bar"}
    car = look(shipped, CHAIN_TURBO, compression_test=low)
    for name in ("ring_lands", "valve_seats", "lash_adjusters", "head_joint"):
        assert speaks(car, name, "compression_test") > 1.0
    for result, first in (
        ({"leak_down_filler": "strong"}, "ring_lands"),
        ({"leak_down_valves": "clear"}, "valve_seats"),
        ({"leak_down_coolant": "bubbles"}, "head_joint"),
    ):
        assert by_suspicion(look(shipped, CHAIN_TURBO, compression_test=low, **result))[0] == first


def test_scored_bores_speak_for_a_broken_ring_land_and_not_for_valves(shipped: Pack) -> None:
    """Common practice, no source."""
    car = look(shipped, BELT_IN_OIL, look_bores="scored")
    assert speaks(car, "ring_lands", "look_bores") > 10.0
    assert speaks(car, "valve_seats", "look_bores") == pytest.approx(0.0, abs=0.1)


# ---- oil pressure and bearings -------------------------------------------------------------------

LOW, FAILING, GOOD = ({"value": bar, "unit": "bar"} for bar in (0.7, 0.3, 1.8))


@pytest.mark.parametrize("engine", ALL.values(), ids=ALL.keys())
def test_low_hot_pressure_over_crusted_deposits_puts_pick_up_and_bearings_in_doubt(
    engine: Engine, shipped: Pack
) -> None:
    """Common practice, no source: each some twenty times as likely as before; failing pressure more, flakes most."""
    before = look(shipped, engine)
    low, failing, flakes = (
        look(shipped, engine, look_under_oil_cap="crusted", oil_pressure_gauge=bar, **more)
        for bar, more in ((LOW, {}), (FAILING, {}), (LOW, {"cut_oil_filter": "coarse"}))
    )
    for name in ("oil_pickup", "bearings"):
        assert not_sound(low, name) > 20 * not_sound(before, name)
        assert not_sound(failing, name) > not_sound(low, name)
    assert by_suspicion(flakes)[0] == "bearings"
    assert not_sound(flakes, "bearings") > 0.7
    assert not_sound(low, "bearings") > 0.05


@pytest.mark.parametrize("engine", ALL.values(), ids=ALL.keys())
def test_good_hot_pressure_under_clean_deposits_clears_the_bearings(engine: Engine, shipped: Pack) -> None:
    """Common practice, no source: half of what was feared, and below one in two hundred."""
    before = look(shipped, engine)
    good = look(shipped, engine, look_under_oil_cap="clean", oil_pressure_gauge=GOOD)
    assert not_sound(good, "bearings") < 0.5 * not_sound(before, "bearings")
    assert not_sound(good, "bearings") < 0.005


def test_what_shares_the_blame_for_low_pressure_depends_on_the_engine(shipped: Pack) -> None:
    """Common practice, no source: a controlled pump has its valve, a belt in oil its crumbs."""
    controlled = look(shipped, CHAIN_TURBO, oil_pressure_gauge=FAILING)
    assert by_suspicion(controlled)[0] == "oil_pump_valve"
    assert "oil_pump_valve" not in names(look(shipped, (of("dunlin_2a"), "2012-05-10"), oil_pressure_gauge=FAILING))
    assert by_suspicion(look(shipped, BELT_IN_OIL, oil_pressure_gauge=LOW))[0] == "cam_belt_in_oil"


# ---- coolant -------------------------------------------------------------------------------------

COOLED = {name: engine for name, engine in ALL.items() if name != "dunlin_2b"}  # that one has no oil cooler


@pytest.mark.parametrize("engine", COOLED.values(), ids=COOLED.keys())
def test_oil_in_water_is_cooler_or_joint_and_the_gas_test_decides(engine: Engine, shipped: Pack) -> None:
    """Common practice, no source: positive means the joint; negative clears nothing but puts the cooler ahead."""
    oil = {"look_oil_in_coolant": "emulsion"}
    before = look(shipped, engine, **oil)
    positive, negative = (look(shipped, engine, **oil, test_combustion_gas=gas) for gas in ("positive", "negative"))
    assert set(by_suspicion(before)[:2]) == {"oil_cooler_core", "head_joint"}
    assert by_suspicion(positive)[0] == "head_joint"
    assert by_suspicion(negative)[0] == "oil_cooler_core"
    assert 0.4 * not_sound(before, "head_joint") < not_sound(negative, "head_joint") < not_sound(before, "head_joint")


def test_without_an_oil_cooler_oil_in_water_is_the_joint(shipped: Pack) -> None:
    """Common practice, no source."""
    assert by_suspicion(look(shipped, BELT_NATURAL, look_oil_in_coolant="emulsion"))[0] == "head_joint"


def test_a_white_cloud_is_the_exhaust_gas_cooler_before_the_joint_in_a_diesel(shipped: Pack) -> None:
    """Common practice, no source."""
    assert by_suspicion(look(shipped, BELT_DIESEL, watch_white_steam="dense"))[:2] == ["egr_cooler", "head_joint"]
    assert by_suspicion(look(shipped, BELT_NATURAL, watch_white_steam="dense"))[0] == "head_joint"


def test_cream_after_short_winter_trips_counts_for_nothing(shipped: Pack) -> None:
    """Common practice, no source: a false alarm, and even without such trips a weak sign."""
    thick = look(shipped, CHAIN_TURBO, look_cream_under_cap="thick")
    assert 0.0 < speaks(thick, "head_joint", "look_cream_under_cap") < 10.0
    assert not_sound(thick, "head_joint") < 0.05
    void = assess(
        shipped, *CHAIN_TURBO, findings={"look_cream_under_cap": "thick"}, conditions={"short_trips_excluded": False}
    )
    assert speaks(void, "head_joint", "look_cream_under_cap") == pytest.approx(0.0)
    assert [entry.check for entry in void.coverage.void] == ["look_cream_under_cap"]


@pytest.mark.parametrize("engine", ALL.values(), ids=ALL.keys())
def test_the_wetter_the_pump_the_surer_its_leak(engine: Engine, shipped: Pack) -> None:
    """Common practice, no source: a dried rim says little, drops say most; the highest wet point names the source."""
    steps = [look(shipped, engine, look_coolant_pump=wet) for wet in ("dry", "damp", "wet", "dripping")]
    chances = [not_sound(car, "coolant_pump") for car in steps]
    assert all(b > 1.15 * a for a, b in pairwise(chances))
    below = look(shipped, engine, look_coolant_pump="dripping", look_thermostat_housing="dripping")
    assert not_sound(below, "thermostat_unit") > 2 * not_sound(steps[3], "thermostat_unit")
    assert not_sound(below, "coolant_pump") < 0.85 * chances[3]


def test_coolant_runs_down_and_is_found_below(shipped: Pack) -> None:
    """Common practice, no source: drops on the undertray under a dry pump come from the hoses, under a wet one not."""
    dry = look(shipped, CHAIN_TURBO, look_coolant_low="dripping", look_coolant_pump="dry")
    wet = look(shipped, CHAIN_TURBO, look_coolant_low="dripping", look_coolant_pump="dripping")
    assert not_sound(dry, "coolant_hoses") > 2 * not_sound(wet, "coolant_hoses")
    assert by_suspicion(wet)[0] == "coolant_pump"


@pytest.mark.parametrize("engine", ALL.values(), ids=ALL.keys())
def test_fuel_on_the_block_is_a_fire_hazard_however_wet(engine: Engine, shipped: Pack) -> None:
    """Common practice, no source: even a damp joint that smells forbids driving; drops leave no doubt."""
    damp, drips = (look(shipped, engine, look_fuel_leak=wet) for wet in ("damp", "dripping"))
    assert by_suspicion(damp)[0] == by_suspicion(drips)[0] == "fuel_line_joint"
    assert {damp.decision.advice, drips.decision.advice} == {"do_not_drive"}
    assert point(drips, "fuel_line_joint").state.faulty > 2 * point(damp, "fuel_line_joint").state.faulty


# ---- the rest of what is easily mistaken ---------------------------------------------------------


def test_oil_over_the_mark_that_smells_of_fuel(shipped: Pack) -> None:
    """Common practice, no source: injector before pump in a petrol engine, burn-offs and injectors in a diesel."""
    petrol, diesel = (look(shipped, engine, smell_oil_over_mark="far_over") for engine in (CHAIN_TURBO, BELT_DIESEL))
    assert by_suspicion(petrol)[:2] == ["injectors", "high_pressure_pump"]
    assert set(by_suspicion(diesel)[:2]) == {"soot_filter", "diesel_injectors"}


@pytest.mark.parametrize("engine", ALL.values(), ids=ALL.keys())
def test_a_cold_tick_with_soot_is_the_manifold(engine: Engine, shipped: Pack) -> None:
    """Common practice, no source: studs and manifold mimic lash adjusters, soot or none tells them apart."""
    soot = look(shipped, engine, listen_top_tick="fades", look_manifold_soot="traces")
    clean = look(shipped, engine, listen_top_tick="stays", look_manifold_soot="clean")
    assert by_suspicion(soot)[0] == "exhaust_manifold_studs"
    assert not_sound(soot, "exhaust_manifold_studs") > 5 * not_sound(clean, "exhaust_manifold_studs")
    hydraulic = "lash_adjusters" in names(clean)
    assert by_suspicion(clean)[0] == ("lash_adjusters" if hydraulic else "roller_rockers")


def test_a_belt_that_jumped_shows_where_crankshaft_and_camshaft_disagree(shipped: Pack) -> None:
    """Common practice, no source."""
    codes = {"codes": ["P0016"]}
    assert by_suspicion(look(shipped, BELT_IN_OIL, stored_codes=codes))[0] == "cam_belt_in_oil"
    assert by_suspicion(look(shipped, CHAIN_TURBO, stored_codes=codes))[0] == "chain_elongation"
    assert speaks(look(shipped, BELT_DIESEL, stored_codes=codes), "cam_belt", "codes_cam_timing") > 3.0


def test_a_hard_pedal_is_the_belt_where_one_runs_in_oil(shipped: Pack) -> None:
    """Common practice, no source: its crumbs block the pump's screen; elsewhere it is the vacuum pump."""
    belt, plain = (look(shipped, engine, press_brake_pedal="hard") for engine in (BELT_IN_OIL, CHAIN_TURBO))
    assert by_suspicion(belt)[:2] == ["cam_belt_in_oil", "vacuum_pump"]
    assert by_suspicion(plain)[0] == "vacuum_pump"
    assert {belt.decision.advice, plain.decision.advice} == {"do_not_drive"}


@pytest.mark.parametrize("name", ["tensioner_ratchet", "ring_lands", "ignition_coils", "crank_sensor"])
def test_no_look_can_see_what_gives_no_warning(name: str, shipped: Pack) -> None:
    """Common practice, no source: said so, and a visit without findings barely lowers what lies ahead."""
    before = look(shipped, CHAIN_TURBO)
    after = look(
        shipped,
        CHAIN_TURBO,
        stored_codes={"codes": []},
        cold_start_sound="quiet",
        feel_cold_idle="smooth",
        watch_smoke_load="clear",
        oil_level="in_range",
    )
    assert point(before, name).no_look_can_see
    assert point(after, name).failure_probability > 0.75 * point(before, name).failure_probability


def test_a_long_hard_life_of_a_belt_in_oil(shipped: Pack) -> None:
    """Common practice, no source: with the belt known to be the first, stretched oil intervals raise what is ahead.

    Of an old car whose past is unknown a belt that had a hard life has often been renewed already, and then they need
    not.
    """

    def fails(years: int, step: int, *, first: bool) -> float:
        done = [("oil_service", f"{2015 + n}-06-10", 10_000.0 * n) for n in range(step, years + 1, step)]
        entries = [
            {"work": work, "date": day, "odometer": {"value": km, "unit": "km"}, "evidence": "invoice"}
            for work, day, km in done
        ]
        if first:
            entries.append({**entries[-1], "work": "never_renewed", "item": "cam_belt_in_oil"})
        day = f"{2015 + years}-07-10"
        car = assess(shipped, of("whinchat_1b"), "2015-06-10", 10_000 * years + 1_000, history=entries, as_of=day)
        return point(car, "cam_belt_in_oil").failure_probability

    assert fails(4, 2, first=False) > 1.02 * fails(4, 1, first=False)
    for years in (4, 8, 10):
        assert fails(years, 2, first=True) > 1.01 * fails(years, 1, first=True)
