"""Three reasons, the next look, and how well it is known: what a buyer reads must not contradict itself."""

from __future__ import annotations

from dataclasses import replace

from riskapi.domain.assessment import Assessment, Evidence, NextCheck, StateChances
from riskapi.report.sections import Bullets, Reasons
from tests.report import builders
from tests.report.test_content import report, section, text


def advised(advice: str) -> Assessment:
    given = builders.assessment()
    return replace(given, decision=replace(given.decision, advice=advice))


def relieved(given: Assessment) -> Assessment:
    """The same car, on which the sound of the cold start speaks clearly against the tensioner."""
    against = Evidence("cold_start_sound", "quiet", -6.0, -6.0, "Listen to the cold start: nothing unusual")
    first = replace(
        given.weak_points[0],
        prior=StateChances(0.6, 0.3, 0.1),
        state=StateChances(0.9, 0.08, 0.02),
        evidence=(against,),
    )
    return replace(given, weak_points=(first, *given.weak_points[1:]))


def test_where_nothing_stands_out_the_reasons_speak_for_the_engine() -> None:
    reasons = section(report(relieved(advised("nothing_stands_out"))), "reasons").blocks[0]
    assert isinstance(reasons, Reasons)
    assert reasons.items[0].name == "Chain tensioner"
    assert reasons.items[0].text == (
        "Worn or failed today in about 10 of 100 such cars (about 40 before the findings). “Listen to the cold start: "
        "nothing unusual” clearly speaks against it."
    )
    assert len(reasons.items) == 3


def test_without_a_verdict_there_are_no_reasons_for_one_and_the_price_is_the_one_so_far() -> None:
    given = advised("look_closer")
    told = report(replace(given, coverage=replace(given.coverage, core_done=2)))
    assert section(told, "reasons").heading == "What carries most of the cost so far"
    assert "So far, at most" in text(section(told, "price"))
    assert "Pay at most" in text(section(report(given), "price"))


def test_a_chance_that_no_finding_moved_is_told_once() -> None:
    told = text(section(report(builders.nothing_seen()), "reasons"))
    assert "in about 21 of 100 such cars. It carries" in told
    assert "before the findings" not in told


def test_a_look_worth_nothing_is_not_named_and_ten_minutes_come_first() -> None:
    given = builders.assessment()
    looks = (
        NextCheck("tensioner_travel", None, 140.0, "decision", 60.0, 30.0),
        NextCheck("warm_idle", None, 90.0, "decision", 0.0, 5.0, None, 4.0),
        NextCheck("compression", None, 2.0, "decision", 0.0, 1.0),
    )
    lines = section(report(replace(given, decision=replace(given.decision, next_checks=looks))), "next").blocks[0]
    assert isinstance(lines, Bullets)
    assert lines.items == (
        "Watch the warm idle (9 minutes): worth about 90 EUR to the decision.",
        "Read the travel of the tensioner (30 minutes): worth about 140 EUR to the decision.",
    )


def test_a_car_that_may_not_be_driven_is_looked_at_with_the_engine_off() -> None:
    assert "Nothing of this with the engine running" in text(section(report(builders.dangerous()), "next"))
    assert "with the engine running" not in text(section(report(builders.assessment()), "next"))


def test_what_was_seen_to_have_failed_is_not_among_what_no_look_can_see() -> None:
    given = builders.assessment()
    failed = StateChances(0.05, 0.0, 0.95)
    points = tuple(replace(item, state=failed) if item.id == "ignition_coil" else item for item in given.weak_points)
    told = text(section(report(replace(given, weak_points=points)), "known"))
    assert "No look can see these coming: Ring land of one piston and Crank sensor." in told


def test_refused_core_checks_are_counted_apart() -> None:
    given = builders.assessment()
    assert "5 of 6 core checks were done; of 1 it was said why not." in text(section(report(given), "known"))
    fewer = replace(given, coverage=replace(given.coverage, core_done=5))
    assert "5 of 6 core checks were done." in text(section(report(fewer), "known"))
    assert "0 of 6 core checks were done." in text(section(report(builders.nothing_seen()), "known"))
