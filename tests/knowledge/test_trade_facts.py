"""What every engine technician expects of the shipped knowledge.

Source of every test here: common practice, no source. Each asserts an ordering or a factor between two results of
the program, never a figure of the pack.
"""

from __future__ import annotations

import pytest

from riskapi.domain.assessment import Assessment, WeakPointInputs
from riskapi.domain.jobs import default_level, make_job
from riskapi.domain.knowledge import Pack
from riskapi.intake import case_from_json
from tests.knowledge.cars import AS_OF, assess, by_suspicion, by_traits, names, not_sound, of, point, speaks

SECOND = ("lapwing_2a", "2014-01-10")
ONE_LOW = {"values": [12.1, 12.0, 7.9, 12.2], "unit": "bar"}
TWO_LOW = {"values": [12.1, 7.8, 7.9, 12.2], "unit": "bar"}
EVEN = {"values": [12.1, 12.0, 11.9, 12.2], "unit": "bar"}


def money(assessment: Assessment, identifier: str) -> WeakPointInputs:
    assert assessment.inputs is not None
    return next(item for item in assessment.inputs.weak_points if item.weak_point == identifier)


def operations(assessment: Assessment, identifier: str) -> set[str]:
    return {name for outcome in money(assessment, identifier).in_service.outcomes for name in outcome.job.operations}


def seen(pack: Pack, engine: tuple[str, str] = SECOND, km: float = 130_000, **findings: object) -> Assessment:
    return assess(pack, of(engine[0]), engine[1], km, findings=dict(findings))


# ---- cam drive -----------------------------------------------------------------------------------


def test_the_tensioner_flaw_weighs_on_the_early_generation_far_more_than_on_the_corrected_one(shipped: Pack) -> None:
    """Common practice, no source. Same age and distance, each as built."""
    early = assess(shipped, of("lapwing_1b"), "2012-01-10", as_of="2024-03-01")
    late = assess(shipped, of("lapwing_2a"), "2014-01-10", as_of="2026-03-01")
    assert point(early, "chain_tensioner").failure_probability > 2 * point(late, "chain_tensioner").failure_probability
    assert point(early, "chain_tensioner").expected_cost > 2 * point(late, "chain_tensioner").expected_cost


def test_a_ratchet_of_the_first_build_is_the_dangerous_one(shipped: Pack) -> None:
    """Common practice, no source."""
    first = assess(shipped, of("lapwing_1a"), "2010-01-10")
    mended = assess(shipped, of("lapwing_1b"), "2012-01-10")
    of_first, of_mended = (point(a, "tensioner_ratchet").failure_probability for a in (first, mended))
    assert of_first > 5 * of_mended


@pytest.mark.parametrize("name", ["chain_tensioner", "tensioner_ratchet", "chain_elongation", "chain_guides"])
def test_lost_timing_ends_in_bent_valves_only_in_an_interference_engine(name: str, shipped: Pack) -> None:
    """Common practice, no source. Even there not always: the chance is below 1."""
    bent = assess(shipped, by_traits(interference="yes"), "2014-01-10")
    clear = assess(shipped, by_traits(interference="no"), "2014-01-10")
    assert "rebuild_head" in operations(bent, name)
    assert "rebuild_head" not in operations(clear, name)
    chance = sum(o.chance for o in money(bent, name).in_service.outcomes if "rebuild_head" in o.job.operations)
    assert 0.0 < chance < 1.0
    assert money(bent, name).in_service.mean > money(clear, name).in_service.mean


def test_a_smooth_cam_deviation_speaks_against_a_long_chain_but_not_against_the_tensioner(shipped: Pack) -> None:
    """Common practice, no source."""
    steady = seen(shipped, ("lapwing_1b", "2012-01-10"), cold_start_sound="long", read_cam_deviation="steady")
    rattle = seen(shipped, ("lapwing_1b", "2012-01-10"), cold_start_sound="long")
    assert speaks(steady, "chain_elongation", "read_cam_deviation") < -2.0
    assert speaks(steady, "chain_tensioner", "read_cam_deviation") > -0.5
    assert not_sound(steady, "chain_elongation") < 0.7 * not_sound(rattle, "chain_elongation")
    assert not_sound(steady, "chain_tensioner") > 0.95 * not_sound(rattle, "chain_tensioner")


def test_a_start_rattle_has_rivals(shipped: Pack) -> None:
    """Common practice, no source: tensioner, adjuster pin, filter valve, guides and boost flap all rise."""
    rattle = seen(shipped, ("lapwing_1b", "2012-01-10"), cold_start_sound="short")
    for name in ("chain_tensioner", "cam_adjuster", "filter_return_valve", "chain_guides", "boost_flap"):
        assert speaks(rattle, name, "cold_start_sound") > 0.5


def test_a_long_rattle_points_to_the_tensioner_more_than_a_short_one(shipped: Pack) -> None:
    """Common practice, no source."""
    short, long = (seen(shipped, ("lapwing_1b", "2012-01-10"), cold_start_sound=sound) for sound in ("short", "long"))
    assert not_sound(long, "chain_tensioner") > 2 * not_sound(short, "chain_tensioner")
    assert by_suspicion(long)[0] == "chain_tensioner"


# ---- cooling -------------------------------------------------------------------------------------


def test_a_polymer_pump_unit_fails_earlier_than_its_metal_replacement(shipped: Pack) -> None:
    """Common practice, no source. Never renewed, then renewed with the metal unit in its place."""
    polymer, metal = (
        assess(
            shipped,
            of("lapwing_2a"),
            "2014-01-10",
            history=[
                {
                    "date": "2019-05-10",
                    "odometer": {"value": 60_000, "unit": "km"},
                    "work": "renewed",
                    "item": "coolant_pump",
                    "part_revision": part,
                    "evidence": "invoice",
                }
            ],
        )
        for part in ("polymer_unit", "metal_unit")
    )
    assert point(polymer, "coolant_pump").failure_probability > 1.5 * point(metal, "coolant_pump").failure_probability
    by_kind = [assess(shipped, by_traits(coolant_pump_housing=kind), "2014-01-10") for kind in ("polymer", "metal")]
    fails = [point(a, "coolant_pump").failure_probability for a in by_kind]
    assert fails[0] > 1.3 * fails[1]


def test_a_pump_renewed_without_its_belt_leaves_risk_behind(shipped: Pack) -> None:
    """Common practice, no source."""

    def after(*renewed: str) -> Assessment:
        entries = [
            {
                "date": "2025-12-01",
                "odometer": {"value": 147_000, "unit": "km"},
                "work": "renewed",
                "item": item,
                "evidence": "invoice",
            }
            for item in renewed
        ]
        return assess(shipped, of("fieldfare_2a"), "2014-11-10", 150_000, history=entries)

    pump, both = after("coolant_pump"), after("coolant_pump", "pump_drive_belt")
    assert point(pump, "pump_drive_belt").failure_probability > 3 * point(both, "pump_drive_belt").failure_probability
    assert point(pump, "coolant_pump").failure_probability == pytest.approx(
        point(both, "coolant_pump").failure_probability
    )


def test_a_pump_under_the_manifold_shares_its_access_with_valve_cleaning(shipped: Pack) -> None:
    """Common practice, no source."""
    level = default_level(case_from_json(plain_case(), shipped), shipped)

    def hours(*names_of: str) -> float:
        return make_job(names_of, shipped, level).hours

    manifold = shipped.access_step("inlet_manifold_off").hours
    for other in ("clean_inlet_ports", "renew_injector", "renew_oil_filter_housing"):
        saved = hours("renew_pump_unit") + hours(other) - hours("renew_pump_unit", other)
        assert saved >= manifold
    assert hours("renew_coolant_pump") + hours("clean_inlet_ports") == pytest.approx(
        hours("renew_coolant_pump", "clean_inlet_ports")
    )
    both = seen(shipped, look_coolant_pump="wet", look_inlet_ports="thick")
    assert both.cost.shared_access_saving > seen(shipped).cost.shared_access_saving


def plain_case() -> dict[str, object]:
    return {
        "as_of": AS_OF,
        "vehicle": {
            "engine": of("lapwing_2a"),
            "build_date": "2014-01-10",
            "odometer": {"value": 120_000, "unit": "km"},
            "installation": "transverse",
        },
    }


def test_water_lost_and_nothing_seen_means_the_pump_under_the_manifold_first(shipped: Pack) -> None:
    """Common practice, no source."""
    lost = seen(
        shipped,
        coolant_use_told="some",
        look_thermostat_housing="dry",
        look_coolant_hoses="dry",
        look_oil_in_coolant="clear",
        watch_white_steam="clears",
    )
    assert by_suspicion(lost)[0] == "coolant_pump"


# ---- deposits and ventilation --------------------------------------------------------------------


def test_direct_injection_alone_builds_intake_deposits(shipped: Pack) -> None:
    """Common practice, no source."""
    cars = {kind: assess(shipped, by_traits(fuel_injection=kind), "2014-01-10") for kind in INJECTIONS}
    assert {kind for kind, car in cars.items() if "intake_deposits" in names(car)} == {"direct"}


INJECTIONS = ("direct", "port", "port_and_direct")


def test_a_ventilation_fault_raises_oil_use_and_is_cheap_and_easy_to_reach(shipped: Pack) -> None:
    """Common practice, no source."""
    thirsty = seen(shipped, oil_use_told="raised")
    assert speaks(thirsty, "crankcase_ventilation", "oil_use_told") > 1.0
    mend = money(thirsty, "crankcase_ventilation").in_service
    for rival in ("ring_sticking", "valve_stem_seals", "turbo_bearing", "ring_lands"):
        assert mend.mean < 0.5 * money(thirsty, rival).in_service.mean
    assert shipped.operation("renew_ventilation").access == ("engine_cover",)


def test_leak_down_and_pulsing_pressure_tell_the_ventilation_from_rings(shipped: Pack) -> None:
    """Common practice, no source."""
    light = ("lapwing_2b", "2015-06-10")
    rings = seen(shipped, light, watch_crankcase_pressure="pulsing", leak_down_filler="strong")
    assert by_suspicion(rings)[0] == "ring_lands"
    assert not_sound(rings, "ring_lands") > 3 * not_sound(rings, "crankcase_ventilation")
    valve = seen(shipped, light, feel_filler_suction="whistles", leak_down_filler="faint")
    assert by_suspicion(valve)[0] == "crankcase_ventilation"
    for check in ("watch_crankcase_pressure", "leak_down_filler"):
        assert speaks(rings, "ring_lands", check) > speaks(rings, "crankcase_ventilation", check) + 5.0


# ---- oil burnt, compression lost -------------------------------------------------------------------


def test_stuck_rings_and_stem_seals_burn_oil_with_normal_compression(shipped: Pack) -> None:
    """Common practice, no source."""
    even = seen(shipped, oil_use_told="heavy", compression_test=EVEN)
    for name in ("ring_sticking", "valve_stem_seals"):
        assert speaks(even, name, "oil_use_told") > 1.0
        assert abs(speaks(even, name, "compression_test")) < 0.5
    assert speaks(even, "ring_lands", "compression_test") < -5.0
    seals = seen(shipped, oil_use_told="raised", watch_smoke_idle="puff", watch_smoke_load="clear")
    assert by_suspicion(seals)[0] == "valve_stem_seals"


def test_a_broken_ring_land_loses_one_cylinder(shipped: Pack) -> None:
    """Common practice, no source."""
    lost = seen(shipped, ("lapwing_2b", "2015-06-10"), compression_test=ONE_LOW, leak_down_filler="strong")
    assert by_suspicion(lost)[0] == "ring_lands"
    assert speaks(lost, "ring_lands", "compression_test") > 10.0
    assert speaks(lost, "ring_sticking", "compression_test") < 1.0


def test_air_at_the_valves_points_to_a_valve(shipped: Pack) -> None:
    """Common practice, no source."""
    valve = seen(shipped, compression_test=ONE_LOW, leak_down_valves="clear", leak_down_filler="faint")
    assert by_suspicion(valve)[0] == "valve_seats"


def test_two_low_neighbours_point_to_the_head_joint(shipped: Pack) -> None:
    """Common practice, no source."""
    together, apart = (seen(shipped, compression_test=values) for values in (TWO_LOW, ONE_LOW))
    assert by_suspicion(together)[0] == "head_joint"
    assert not_sound(together, "head_joint") > 5 * not_sound(apart, "head_joint")


# ---- misfire -------------------------------------------------------------------------------------


def test_a_coil_is_frequent_and_cheap(shipped: Pack) -> None:
    """Common practice, no source: in the upper quarter by how often it fails, in the lower quarter by what it costs."""
    car = seen(shipped)
    often = sorted(w.failure_probability for w in car.weak_points)
    dear = sorted(item.in_service.mean for item in car.inputs.weak_points) if car.inputs else []
    assert point(car, "ignition_coils").failure_probability >= often[3 * len(often) // 4]
    assert money(car, "ignition_coils").in_service.mean <= dear[len(dear) // 4]


def test_a_misfire_that_moves_with_the_coil_is_the_coil(shipped: Pack) -> None:
    """Common practice, no source."""
    moved = seen(shipped, stored_codes={"codes": ["P0302"]}, swap_coils="moves")
    stayed = seen(shipped, stored_codes={"codes": ["P0302"]}, swap_coils="stays")
    assert not_sound(moved, "ignition_coils") > 9 * (1.0 - not_sound(moved, "ignition_coils"))
    assert not_sound(stayed, "ignition_coils") < 0.5 * not_sound(seen(shipped, stored_codes=MISFIRE), "ignition_coils")
    assert by_suspicion(stayed)[0] != "ignition_coils"


MISFIRE = {"codes": ["P0302"]}


# ---- bearings and block --------------------------------------------------------------------------


def test_clean_deposits_good_pressure_and_a_good_oil_history_make_bearing_damage_unlikely(shipped: Pack) -> None:
    """Common practice, no source."""
    services = [
        {
            "date": f"{2014 + n}-12-01",
            "odometer": {"value": 10_000.0 * n + 5_000, "unit": "km"},
            "work": "oil_service",
            "evidence": "invoice",
        }
        for n in range(12)
    ]
    good = assess(
        shipped,
        of("lapwing_2a"),
        "2014-01-10",
        findings={"look_under_oil_cap": "clean", "oil_pressure_gauge": {"value": 1.8, "unit": "bar"}},
        history=services,
    )
    unknown = seen(shipped, km=120_000)
    bad = seen(shipped, km=120_000, look_under_oil_cap="crusted")
    assert not_sound(good, "bearings") < 0.4 * not_sound(unknown, "bearings")
    assert not_sound(bad, "bearings") > 1.1 * not_sound(unknown, "bearings")
    for worse, better in ((bad, unknown), (unknown, good)):
        assert point(worse, "bearings").failure_probability > point(better, "bearings").failure_probability


def serviced(shipped: Pack, every_km: float, family: str = "whinchat_1b", built: int = 2015) -> Assessment:
    """Eight years of one documented oil service a year, each after this distance."""
    services = [
        {
            "date": f"{built + n}-06-10",
            "odometer": {"value": every_km * n, "unit": "km"},
            "work": "oil_service",
            "evidence": "invoice",
        }
        for n in range(1, 9)
    ]
    as_of = f"{built + 8}-12-01"
    return assess(shipped, of(family), f"{built}-06-10", 8.4 * every_km, history=services, as_of=as_of)


@pytest.mark.parametrize("name", ["ring_sticking", "turbo_bearing", "bearings"])
def test_the_makers_interval_may_be_longer_than_careful_practice(name: str, shipped: Pack) -> None:
    """Common practice, no source: kept to the maker's word, yet the oil stays in too long; more than the distance adds.

    The same distance a year in a family whose careful practice allows it makes no such step.
    """
    far, near = (point(serviced(shipped, km), name).failure_probability for km in (14_000, 12_500))
    assert far > 1.15 * near * 14_000 / 12_500
    far, near = (point(serviced(shipped, km, "lapwing_2b"), name).failure_probability for km in (14_000, 12_500))
    assert far < 1.15 * near * 14_000 / 12_500


# ---- oil in water --------------------------------------------------------------------------------


def test_oil_in_water_points_to_the_cooler_or_the_head_joint(shipped: Pack) -> None:
    """Common practice, no source."""
    film = seen(shipped, look_oil_in_coolant="emulsion")
    assert set(by_suspicion(film)[:2]) == {"oil_cooler_core", "head_joint"}


def test_a_positive_gas_test_means_the_head_joint(shipped: Pack) -> None:
    """Common practice, no source."""
    positive = seen(shipped, look_oil_in_coolant="emulsion", test_combustion_gas="positive")
    assert by_suspicion(positive)[0] == "head_joint"
    assert not_sound(positive, "head_joint") > 5 * not_sound(positive, "oil_cooler_core")


def test_a_negative_gas_test_clears_nothing_but_puts_the_cooler_ahead(shipped: Pack) -> None:
    """Common practice, no source."""
    before = seen(shipped, look_oil_in_coolant="emulsion")
    negative = seen(shipped, look_oil_in_coolant="emulsion", test_combustion_gas="negative")
    assert not_sound(negative, "head_joint") > 0.4 * not_sound(before, "head_joint")
    assert not_sound(negative, "oil_cooler_core") > 3 * not_sound(negative, "head_joint")
    assert by_suspicion(negative)[0] == "oil_cooler_core"


# ---- context -------------------------------------------------------------------------------------


def test_the_same_engine_costs_more_to_keep_in_a_premium_car(shipped: Pack) -> None:
    """Common practice, no source."""
    cars = [assess(shipped, of("lapwing_2a"), "2014-01-10", parts_class=kind) for kind in ("economy", "mid", "premium")]
    means = [car.cost.unplanned.mean for car in cars]
    assert means[0] < means[1] < means[2]
    assert [car.weak_points[0].failure_probability for car in cars] == [cars[0].weak_points[0].failure_probability] * 3


@pytest.mark.parametrize("name", ["ring_lands", "ignition_coils", "turbo_bearing", "high_pressure_pump"])
def test_a_tune_hurts_rings_coils_turbocharger_and_fuel_pump(name: str, shipped: Pack) -> None:
    """Common practice, no source."""
    tuned, left = (assess(shipped, of("lapwing_2b"), "2015-06-10", tune=answer) for answer in ("yes", "no"))
    assert point(tuned, name).failure_probability > 1.1 * point(left, name).failure_probability


def test_a_recent_renewal_without_an_invoice_counts_little(shipped: Pack) -> None:
    """Common practice, no source: less than half of what the invoice does."""

    def fails(evidence: str | None) -> float:
        entry = {
            "date": "2025-10-01",
            "odometer": {"value": 115_000, "unit": "km"},
            "work": "renewed",
            "item": "coolant_pump",
            "evidence": evidence,
        }
        car = assess(shipped, of("lapwing_2a"), "2014-01-10", history=[entry] if evidence else [])
        return point(car, "coolant_pump").failure_probability

    unsaid, told, invoice = fails(None), fails("told"), fails("invoice")
    assert invoice < told < unsaid
    assert unsaid - told < 0.5 * (unsaid - invoice)


def test_a_mended_part_is_flawed_again_when_renewed_before_the_mend(shipped: Pack) -> None:
    """Common practice, no source."""

    def fails(date: str) -> float:
        entry = {
            "date": date,
            "odometer": {"value": 60_000, "unit": "km"},
            "work": "renewed",
            "item": "pump_drive_belt",
            "evidence": "invoice",
        }
        car = assess(shipped, of("fieldfare_2a"), "2013-12-10", 150_000, history=[entry])
        return point(car, "pump_drive_belt").failure_probability

    assert fails("2016-02-20") > 1.5 * fails("2016-06-20")


# ---- the whole car -------------------------------------------------------------------------------


def test_surprise_repairs_of_an_early_turbo_are_a_plausible_sum(shipped: Pack) -> None:
    """Common practice, no source: some 15 to 30 workshop hours in 3 years; a late build well below."""
    early = assess(shipped, of("lapwing_1b"), "2012-01-10").cost.unplanned.mean
    late = assess(shipped, of("lapwing_3b"), "2020-02-10", 80_000).cost.unplanned.mean
    hour = shipped.defaults.labour_rate * (1.0 + shipped.defaults.tax)
    assert 15 * hour < early < 30 * hour
    assert 5 * hour < late < 0.6 * early


def test_a_plain_engine_without_a_turbocharger_costs_less_than_any_other_of_its_age(shipped: Pack) -> None:
    """Common practice, no source."""
    plain = assess(shipped, of("dunlin_2b"), "2015-06-10").cost.unplanned.mean
    for rival in ("lapwing_2b", "fieldfare_2a", "whinchat_1b"):
        assert assess(shipped, of(rival), "2015-06-10").cost.unplanned.mean > 1.15 * plain


@pytest.mark.parametrize("family", ["lapwing", "dunlin", "fieldfare", "whinchat"])
def test_no_single_generation_carries_every_flaw(family: str, shipped: Pack) -> None:
    """Common practice, no source. A flaw counts where the works fitted a part with a larger share than another's."""
    engine = shipped.family(family)
    bad: dict[str, set[str]] = {generation.id: set() for generation in engine.generations}
    for fit in engine.fits:
        parts = {p.id: p for p in shipped.weak_point(fit.weak_point).parts}
        least = min(parts[other.works].flaw_share for other in engine.fits if other.weak_point == fit.weak_point)
        if parts[fit.works].flaw_share > least:
            for revision in fit.revisions:
                bad[engine.revision(revision).generation].add(fit.weak_point)
    every = set().union(*bad.values())
    assert len(every) >= 4
    assert all(flaws < every for flaws in bad.values())


# ---- one fact is one proof -----------------------------------------------------------------------

FACTS = [
    ("P0171", "read_mixture_correction", {"value": 24, "unit": "%"}, "inlet_joint"),
    ("P0016", "read_cam_deviation", {"value": 8, "unit": "deg"}, "chain_elongation"),
    ("P0299", "feel_boost", "missing", "boost_flap"),
    ("P0128", "watch_warm_up", "slow", "thermostat_unit"),
    ("P0217", "watch_temperature", "overheats", "pump_impeller"),
    ("P0524", "oil_pressure_gauge", {"value": 0.3, "unit": "bar"}, "oil_pump_valve"),
]


@pytest.mark.parametrize(("code", "check", "value", "name"), FACTS, ids=[fact[0] for fact in FACTS])
def test_a_code_and_a_measurement_of_one_fact_are_not_two_proofs(
    code: str, check: str, value: object, name: str, shipped: Pack
) -> None:
    """Common practice, no source: the second of the two adds less than a third of what it says alone."""
    codes = {"stored_codes": {"codes": [code]}}
    first = assess(shipped, of("lapwing_2a"), "2014-01-10", findings=codes)
    both = assess(shipped, of("lapwing_2a"), "2014-01-10", findings={**codes, check: value})
    alone, last = next((e.alone, e.last_in) for e in point(both, name).evidence if e.check == check)
    assert alone > 2.0
    assert last < alone / 3.0
    assert not_sound(both, name) > 0.9 * not_sound(first, name)


def test_the_highest_wet_point_names_the_source(shipped: Pack) -> None:
    """Common practice, no source: a wet sump under a wet valve cover is no sump joint."""
    below = seen(shipped, look_sump="wet", look_valve_cover="dry", look_front_cover="dry")
    above = seen(shipped, look_sump="wet", look_valve_cover="wet", look_front_cover="wet")
    assert not_sound(above, "sump_joint") < 0.5 * not_sound(below, "sump_joint")
    assert by_suspicion(above)[0] == "valve_cover_joint"
    assert by_suspicion(below)[0] == "sump_joint"


def test_a_swollen_belt_in_oil_is_the_belt(shipped: Pack) -> None:
    """Common practice, no source; and its hazard forbids driving."""
    wide = assess(shipped, of("whinchat_1b"), "2015-10-10", 90_000, findings={"gauge_oil_belt": "swollen"})
    assert by_suspicion(wide)[0] == "cam_belt_in_oil"
    assert wide.decision.advice == "do_not_drive"
