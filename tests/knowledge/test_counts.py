"""How much the shipped pack knows, and that every figure of it says what it is and where it comes from."""

from __future__ import annotations

import re

from riskapi.domain.knowledge import LifeMode, Pack, PartRevision, WeakPoint

EASILY_FORGOTTEN = {
    "cam drive": "chain_tensioner tensioner_ratchet chain_elongation chain_guides cam_belt cam_belt_in_oil "
    "cam_adjuster cam_control_valve oil_pump_drive balance_shaft_drive crank_damper accessory_drive engine_mounts",
    "head": "lash_adjusters roller_rockers bearing_ladder_joint plug_well_seals head_joint head_joint_seep valve_seats "
    "valve_stem_seals intake_deposits intake_flaps exhaust_manifold exhaust_manifold_studs",
    "oil": "upper_timing_cover front_cover_seal sump_joint upper_sump_joint front_crank_seal rear_crank_seal "
    "oil_filter_housing oil_cooler_core filter_return_valve crankcase_ventilation oil_pump_valve oil_pickup "
    "turbo_oil_screen turbo_oil_lines",
    "bottom end": "ring_lands ring_sticking bearings",
    "cooling": "coolant_pump pump_impeller pump_drive_belt after_run_pump coolant_hoses expansion_tank radiator "
    "thermostat_unit thermostat_shut",
    "fuel and ignition": "high_pressure_pump pump_follower low_pressure_pump fuel_line_joint injectors port_injectors "
    "diesel_injectors diesel_pump ignition_coils spark_plugs glow_plugs crank_sensor lambda_sensor air_sensor "
    "throttle_body purge_valve",
    "air and exhaust": "turbo_bearing boost_flap boost_recirculation_valve charge_air_leak catalytic_converter "
    "soot_filter egr_valve egr_cooler urea_module vacuum_pump",
}


def parts(pack: Pack) -> list[tuple[WeakPoint, PartRevision]]:
    return [(point, part) for point in pack.weak_points for part in point.parts]


def modes(part: PartRevision) -> list[LifeMode]:
    return [mode for mode in (part.flaw, part.wear) if mode is not None]


def test_the_pack_is_wide_enough(shipped: Pack) -> None:
    assert len(shipped.weak_points) >= 45
    assert len(shipped.checks) >= 60
    assert len(shipped.operations) >= 82
    assert len(shipped.families) >= 4
    assert {zone.zone for zone in shipped.symptoms if zone.zone} == {"oil", "coolant", "fuel", "soot"}


def test_no_system_is_forgotten(shipped: Pack) -> None:
    named = {name for names in EASILY_FORGOTTEN.values() for name in names.split()}
    assert named <= {point.id for point in shipped.weak_points}


def test_every_family_has_generations_revisions_services_and_a_strength(shipped: Pack) -> None:
    for family in shipped.families:
        assert 2 <= len(family.generations) <= 3
        assert 4 <= len(family.revisions) <= 7
        assert family.maker == "Tarnbeck"
        assert family.services
        assert all("Strong:" in generation.note for generation in family.generations)
        for earlier, later in zip(family.revisions, family.revisions[1:], strict=False):
            assert earlier.until is not None
            assert 0 < (later.since - earlier.until).days <= 31


def test_every_family_has_features_that_tell_every_revision_apart(shipped: Pack) -> None:
    looks = [check.features for check in shipped.checks if check.root == "revision"]
    for family in shipped.families:
        seen = {
            revision.id: tuple(
                next((i for i, named in enumerate(features) if revision.id in named), None) for features in looks
            )
            for revision in family.revisions
        }
        assert len(set(seen.values())) == len(seen)


def test_corrected_parts_supersede_flawed_ones(shipped: Pack) -> None:
    """In each family some part that left the works is no longer the one on sale, and the later has the smaller flaw."""
    for family in shipped.families:
        mended = [fit for fit in family.fits if len(fit.supplies) > 1]
        assert mended
        for fit in mended:
            by_id = {part.id: part for part in shipped.weak_point(fit.weak_point).parts}
            shares = [by_id[supply.part].flaw_share for supply in fit.supplies]
            assert shares == sorted(shares, reverse=True)
            assert shares[0] > shares[-1]


def test_every_number_has_a_unit_and_a_source_that_exists(shipped: Pack) -> None:
    known = {source.id for source in shipped.sources}
    assert len(shipped.figures) > 3000
    assert [figure.path for figure in shipped.figures if not figure.unit or figure.source not in known] == []


def test_every_lifetime_is_a_judgement_and_says_how_sure_it_is(shipped: Pack) -> None:
    """No life distributions without a brand are published for these parts, so none may claim to be."""
    kinds = {source.id: source.kind for source in shipped.sources}
    for point, part in parts(shipped):
        assert kinds[part.source] == "judgement", (point.id, part.id)
        assert all(1.2 <= mode.spread <= 3.0 for mode in modes(part)), (point.id, part.id)
        assert part.wear is not None or part.no_wear_because, (point.id, part.id)


def test_every_weak_point_is_described_in_full(shipped: Pack) -> None:
    for point in shipped.weak_points:
        assert all((point.name, point.mechanism, point.degraded_means, point.failed_means)), point.id
        assert point.effects, point.id
        assert point.in_service.otherwise.text, point.id
        assert point.found_faulty.otherwise.text, point.id
        assert point.pf_km > 0, point.id
        assert point.pf_years > 0, point.id
        assert point.hazard == "none" or point.cautions or point.warning == "none", point.id


def test_a_weak_point_without_warning_can_hardly_be_seen_before_it_fails(shipped: Pack) -> None:
    for point in shipped.weak_points:
        if point.warning == "none":
            assert point.pf_km <= 1000
            assert point.pf_years <= 0.1


def test_access_steps_are_nested_shared_and_know_the_fitting(shipped: Pack) -> None:
    used = {step.id: [op.id for op in shipped.operations if step.id in op.access] for step in shipped.access_steps}
    assert sum(step.under is not None for step in shipped.access_steps) >= 10
    assert all(used[step] or _carries(step, shipped) for step in used)
    for shared in ("inlet_manifold_off", "front_cover_off", "sump_off", "coolant_drained", "cams_out"):
        assert len(used[shared]) >= 3 or _carries(shared, shipped), shared
    assert any(step.longitudinal < 1 for step in shipped.access_steps)
    assert any(step.longitudinal > step.transverse > 1 for step in shipped.access_steps)
    assert sum(bool(step.one_use) for step in shipped.access_steps) >= 10
    assert sum(bool(operation.follow_on) for operation in shipped.operations) >= 20


def _carries(step: str, pack: Pack) -> bool:
    return any(other.under == step for other in pack.access_steps)


def test_every_check_of_a_danger_carries_a_caution(shipped: Pack) -> None:
    dangerous = {
        effect.symptom
        for point in shipped.weak_points
        if point.hazard in {"fire", "burns"}
        for effect in point.effects
        if point.hazard == "fire" and max(effect.faulty) > 0.7
    }
    for check in shipped.checks:
        if check.symptom in dangerous:
            assert check.cautions, check.id


ORDINARY = {  # common practice, no source: nothing beyond ordinary tools
    "recover_car",
    "renew_air_filter",
    "renew_air_sensor",
    "renew_upper_cover",
    "renew_turbo_oil_lines",
    "reseal_plug_wells",
    "reseal_valve_cover",
    "clean_oil_screens",
}


def test_operations_name_their_special_tools(shipped: Pack) -> None:
    assert {operation.id for operation in shipped.operations if not operation.special_tools} == ORDINARY
    named = {tool for operation in shipped.operations for tool in operation.special_tools}
    assert named == {tool.id for tool in shipped.special_tools}
    sources = {source.id: source.kind for source in shipped.sources}
    assert {sources[tool.source] for tool in shipped.special_tools} == {"common_practice"}
    for operation in shipped.operations:
        assert not [text for text in operation.cautions if "special tool" in text.lower()], operation.id


def test_tools_follow_the_work(shipped: Pack) -> None:
    """Common practice, no source: what opens the timing needs the locks, what opens the coolant a pressure test."""
    for operation in shipped.operations:
        tools, access = set(operation.special_tools), set(operation.access)
        if access & {"cams_out", "head_off"}:
            assert "cam_locking_tools" in tools, operation.id
        if "gearbox_off" in access or "gearbox_end_cover_off" in access:
            assert "gearbox_jack" in tools, operation.id
        if "coolant_drained" in access:
            assert "coolant_vacuum_filler" in tools, operation.id
        if operation.kind == "another_engine":
            assert "engine_hoist" in tools, operation.id


def test_dangerous_work_carries_its_caution(shipped: Pack) -> None:
    """Common practice, no source."""
    for operation in shipped.operations:
        words = " ".join(operation.cautions)
        if "coolant_drained" in operation.access:
            assert "hot cooling system" in words, operation.id
        if {"engine_hoist", "gearbox_jack"} & set(operation.special_tools):
            assert "Nobody under" in words, operation.id
        if "fuel_union_wrench" in operation.special_tools:
            assert "high-pressure pipe" in words, operation.id


def test_every_family_states_the_oil_interval_of_careful_practice(shipped: Pack) -> None:
    for family in shipped.families:
        (oil,) = (service for service in family.services if service.oil)
        assert oil.careful is not None
        assert oil.distance_km is not None
        assert oil.careful.distance_km <= oil.distance_km
        assert shipped.source(oil.careful.source).kind == "judgement"


def test_every_check_says_in_two_or_three_sentences_how_it_is_done(shipped: Pack) -> None:
    for check in shipped.checks:
        sentences = [part for part in re.split(r"(?<=[.!?])\s+", check.how) if part]
        assert 2 <= len(sentences) <= 3, check.id
