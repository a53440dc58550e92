"""The checklist before a visit: what is on it, in which order, within which limits."""

from __future__ import annotations

from typing import Any

import pytest

from riskapi.domain.checklist import Checklist, Tier
from riskapi.domain.knowledge import Pack
from tests.domain.listings import BY_FAMILY, BY_TRAITS, checklist

ENGINES = [BY_FAMILY, BY_TRAITS]
WORKSHOP: dict[str, Any] = {"equipment": "workshop", "minutes": 240, "consents": ["ask", "written"]}
DRIVE: dict[str, Any] = {"equipment": "generic_scan_tool", "minutes": 60, "consents": ["ask"]}


def minutes_of(listed: Checklist, pack: Pack, tiers: tuple[str, ...]) -> float:
    """Minutes of these tiers with every set-up once, added up from the pack itself."""
    looks = [look for look in listed.looks if look.tier in tiers]
    set_ups = {look.set_up for look in looks if look.set_up is not None}
    by_set_up = {item.id: item.minutes for item in pack.set_ups}
    reads = [pack.check(name).minutes for look in looks for name in look.reads]
    return sum(reads) + sum(by_set_up[name] for name in set_ups)


def last(listed: Checklist) -> Tier:
    return listed.tiers[-1]


@pytest.mark.parametrize("engine", ENGINES, ids=["family", "traits"])
@pytest.mark.parametrize(
    "visit", [DRIVE, WORKSHOP, {"minutes": 25}, {}], ids=["drive", "workshop", "short", "unstated"]
)
def test_every_tier_keeps_its_minutes_and_contains_the_one_before(
    shipped: Pack, engine: dict[str, Any], visit: dict[str, Any]
) -> None:
    listed = checklist(shipped, engine, **visit)
    so_far: tuple[str, ...] = ()
    before: Tier | None = None
    for tier in listed.tiers:
        so_far = (*so_far, tier.name)
        minutes = minutes_of(listed, shipped, so_far)
        assert tier.minutes == pytest.approx(minutes)
        assert tier.limit is None or minutes <= tier.limit
        assert tier.acts == sum(look.tier in so_far for look in listed.looks)
        assert before is None or (tier.value >= before.value and tier.minutes >= before.minutes)
        assert set(tier.added) == {look.check for look in listed.looks if look.tier == tier.name}
        before = tier
    assert last(listed).value <= listed.knowable * (1.0 + 1e-9)
    assert listed.looks


@pytest.mark.parametrize("engine", ENGINES, ids=["family", "traits"])
def test_ten_minutes_are_at_most_ten_checks(shipped: Pack, engine: dict[str, Any]) -> None:
    listed = checklist(shipped, engine, minutes=10, equipment="generic_scan_tool")
    assert [tier.name for tier in listed.tiers] == ["ten_minutes"]
    assert 0 < len(listed.looks) <= 10
    assert minutes_of(listed, shipped, ("ten_minutes",)) <= 10.0


def test_without_written_consent_nothing_is_opened(shipped: Pack) -> None:
    listed = checklist(shipped, equipment="workshop", minutes=240, consents=["ask"])
    consents = {shipped.check(name).consent for look in listed.looks for name in look.reads}
    assert "written" not in consents
    assert not {look.set_up for look in listed.looks} & {"lift", "plugs_out"}
    assert any(item.reason == "consent" for item in listed.barred)


def test_where_everything_is_refused_only_looks_from_outside_are_left(shipped: Pack) -> None:
    listed = checklist(shipped, minutes=60, consents=["none"])
    assert {shipped.check(look.check).consent for look in listed.looks} == {"none"}


def test_without_equipment_nothing_is_plugged_in(shipped: Pack) -> None:
    listed = checklist(shipped, minutes=60)
    assert {shipped.check(look.check).equipment for look in listed.looks} == {"none"}
    assert "scan_tool" not in {look.set_up for look in listed.looks}
    assert "scan_tool" not in {thing.id for thing in listed.bring}
    assert any("Equipment not stated" in item.text for item in listed.assumptions)


@pytest.mark.parametrize("visit", [DRIVE, WORKSHOP], ids=["drive", "workshop"])
def test_the_list_is_in_the_order_of_a_visit(shipped: Pack, visit: dict[str, Any]) -> None:
    """Common practice, no source: is it cold at all, cold looks, codes, cold start, then the drive."""
    order = [look.check for look in checklist(shipped, **visit).looks]
    needs = [set(shipped.check(name).needs) for name in order]
    cold = [k for k, need in enumerate(needs) if "engine_cold" in need]
    warm = [k for k, need in enumerate(needs) if "engine_warm" in need]
    assert cold
    assert warm
    assert max(cold) < min(warm)
    assert order.index("feel_engine_warm") < min(cold)
    assert order.index("stored_codes") < order.index("cold_start_sound") < order.index("watch_smoke_load")


def test_what_shows_whether_others_count_comes_along(shipped: Pack) -> None:
    """A cold start is listened to only where somebody has felt that the engine is cold."""
    for look in (listed := checklist(shipped, **DRIVE)).looks:
        for need in shipped.check(look.check).needs:
            shown_by = next(word.shown_by for word in shipped.conditions if word.id == need)
            assert shown_by is None or shown_by in {other.check for other in listed.looks}


def test_from_forty_five_minutes_on_the_core_checks_are_there(shipped: Pack) -> None:
    listed = checklist(shipped, **DRIVE)
    core = {check.id for check in shipped.checks if check.core and check.from_case is None}
    assert core <= {name for look in listed.looks for name in look.reads}


def test_a_set_up_is_opened_by_its_first_check_only(shipped: Pack) -> None:
    looks = checklist(shipped, **WORKSHOP).looks
    for name in {look.set_up for look in looks} - {None}:
        opens = [look.opens_set_up for look in looks if look.set_up == name]
        assert opens == [True] + [False] * (len(opens) - 1)


def test_each_look_says_what_it_speaks_to(shipped: Pack) -> None:
    """Trade: start rattle has rivals, among them the tensioner; oil at the valve cover is the cover's joint first."""
    looks = {look.check: look for look in checklist(shipped, **DRIVE).looks}
    assert "chain_tensioner" in {item.weak_point for item in looks["cold_start_sound"].speaks_to}
    assert looks["look_valve_cover"].speaks_to[0].weak_point == "valve_cover_joint"
    assert looks["look_under_oil_cap"].roots == ("care",)
    assert looks["feel_engine_warm"].proves == ("engine_cold",)


def test_questions_ask_first_for_the_cold_engine_and_value_what_is_told(shipped: Pack) -> None:
    questions = checklist(shipped, **DRIVE).questions
    requests = [item.id for item in questions if item.check is None]
    assert {"leave_it_cold", "do_not_wash", "send_invoices", "open_recalls"} <= set(requests)
    told = [item for item in questions if item.check is not None]
    assert "oil_use_told" in {item.check for item in told}
    values = [item.value for item in told]
    assert values == sorted(values, key=lambda value: -(value or 0.0))
    assert all(shipped.check(str(item.check)).ask == item.text for item in told)


def test_what_is_only_told_is_asked_and_not_on_the_list(shipped: Pack) -> None:
    assert not {look.check for look in checklist(shipped, **WORKSHOP).looks} & {"oil_use_told", "coolant_use_told"}


def test_papers_and_things_fit_the_engine_and_the_checks(shipped: Pack) -> None:
    chain, belt = checklist(shipped, **DRIVE), checklist(shipped, {"family": "dunlin"}, **WORKSHOP)
    assert "belt_invoice" not in {paper.id for paper in chain.papers}
    assert "belt_invoice" in {paper.id for paper in belt.papers}
    assert {"torch", "gloves", "scan_tool"} <= {thing.id for thing in chain.bring}
    assert "written_consent" not in {thing.id for thing in chain.bring}
    assert "written_consent" in {thing.id for thing in belt.bring}


def test_invoices_name_the_better_part_and_since_when(shipped: Pack) -> None:
    engine = {"family": "lapwing", "revision": "lapwing_1a"}
    found = {item.weak_point: item for item in checklist(shipped, engine, _early(), **DRIVE).invoices}
    family = shipped.family("lapwing")
    assert found
    for name, invoice in found.items():
        fit = family.fit(name, "lapwing_1a")
        if fit is not None and invoice.supplies:
            assert [since for _, since in invoice.supplies] == [s.since for s in fit.supplies if s.part != fit.works]
            assert invoice.fitted == shipped.weak_point(name).part(fit.works).name


def _early() -> dict[str, Any]:
    return {
        "vehicle": {
            "engine": {"family": "lapwing", "revision": "lapwing_1a"},
            "build_date": "2009-05-01",
            "odometer": {"value": 138_000, "unit": "km"},
        }
    }


def test_what_no_look_can_see_gives_no_warning(shipped: Pack) -> None:
    unseen = checklist(shipped, **DRIVE).unseen
    assert unseen
    assert all(shipped.weak_point(item.weak_point).warning == "none" for item in unseen)
    assert all(item.failure_probability >= 0.02 for item in unseen)


def test_findings_count_and_are_not_asked_for_again(shipped: Pack) -> None:
    heard = {"findings": [{"check": "cold_start_sound", "result": "long"}]}
    before, after = checklist(shipped, **DRIVE), checklist(shipped, more=heard, **DRIVE)
    assert "cold_start_sound" not in {look.check for look in after.looks}
    assert after.expected_cost > before.expected_cost


def test_with_a_price_the_list_says_what_it_is_worth_to_the_decision(shipped: Pack) -> None:
    """Near the price at which buying and walking away are alike, looking is worth most."""

    def market(asking: float) -> dict[str, Any]:
        return {"market": {"asking_price": {"value": asking, "unit": "EUR"},
                           "sound_value": {"value": 8_000, "unit": "EUR"}}}  # fmt: skip

    even = checklist(shipped, more=market(7_950), **DRIVE)
    cheap = checklist(shipped, more=market(1_000), **DRIVE)
    assert {look.basis for look in even.looks} == {"decision"}
    assert (last(even).decision_value or 0.0) > 10.0
    assert last(cheap).decision_value == pytest.approx(0.0, abs=1e-6)
    assert checklist(shipped, **DRIVE).tiers[0].decision_value is None


def test_checks_left_out_say_which_limit(shipped: Pack) -> None:
    barred = {item.check: item.reason for item in checklist(shipped, minutes=20).barred}
    assert barred["stored_codes"] == "equipment"
    assert "time" in barred.values()


def test_no_look_at_a_place_that_no_weak_point_of_this_engine_wets(shipped: Pack) -> None:
    """An engine without a turbocharger has no lines of one to look at, though oil could run down there."""
    natural = {"traits": {**BY_TRAITS["traits"], "induction": "natural"}}
    listed = checklist(shipped, natural, **WORKSHOP)
    assert "look_turbo_lines" not in {look.check for look in listed.looks} | {item.check for item in listed.barred}
    turbo = checklist(shipped, BY_TRAITS, **WORKSHOP)
    assert "look_turbo_lines" in {look.check for look in turbo.looks} | {item.check for item in turbo.barred}
