"""The report as sections of words."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from riskapi.domain.assessment import Assessment, TraitChances, TraitValueChance
from riskapi.domain.case import Case, Engine, Finding, HistoryEntry
from riskapi.domain.identity import Identity, Person
from riskapi.domain.knowledge import Traits
from riskapi.report.content import build_report
from riskapi.report.sections import Chance, ChanceBar, Reasons, Report, Section, Table, Text
from riskapi.report.texts import TEXTS, say
from tests.report import builders

BARRED = (
    "certificate", "valuation", "guarantee", "passed", "deal ", "p10", "p50", "p90", "deciban", "void", "discounted",
    "expert opinion", "verified", "defect class",
)  # fmt: skip


def report(assessment: Assessment, case: Case | None = None, **more: Any) -> Report:
    return build_report(
        assessment,
        case or builders.case(),
        builders.pack(),
        assessment_id=builders.IDENTIFIER,
        created_at=builders.CREATED,
        **more,
    )


def section(given: Report, identifier: str) -> Section:
    return next(item for item in given.sections if item.id == identifier)


def strings(value: object) -> Iterator[str]:
    """Every string in a record, at any depth."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for item in value:
            yield from strings(item)
    elif dataclasses.is_dataclass(value):
        for field in dataclasses.fields(value):
            yield from strings(getattr(value, field.name))


def text(value: object) -> str:
    return "\n".join(strings(value))


def test_the_sections_come_in_the_order_a_reader_needs() -> None:
    assert [item.id for item in report(builders.assessment()).sections] == [
        "advice", "price", "reasons", "next", "known", "identity", "history", "weak_points", "findings", "uncovered",
        "price_items", "planned", "years", "hazards", "assumptions", "sources", "scope",
    ]  # fmt: skip


def test_the_first_lines_say_what_to_do_and_why_then_the_score() -> None:
    blocks = section(report(builders.assessment()), "advice").blocks
    assert blocks[0] == Text("Only at a price that pays for the risk.", "headline")
    assert blocks[1] == Text(
        "Of the expected cost, about 1,350 EUR in 3 years, 47 % lies here: Chain tensioner.", "lead"
    )
    assert isinstance(blocks[2], Text)
    assert blocks[2].text.startswith("Of 100 cars like this about 38 need more than 1,200 EUR")
    assert blocks[3] == ChanceBar("Cars of 100 that need more than 1,200 EUR", Chance(0.382, "about 38", 0.253, 0.518))


def test_a_hazard_overrules_money_and_missing_core_checks() -> None:
    given = builders.dangerous()
    given = replace(given, coverage=replace(given.coverage, core_done=1))
    blocks = section(report(given), "advice").blocks
    assert blocks[0] == Text("Do not drive it.", "alarm")
    assert "Seal of the vacuum pump and Oil feed of the turbocharger" in text(blocks[1])
    assert "can take away the help of the brake pedal and can start a fire" in text(blocks[1])


@pytest.mark.parametrize("advice", ["repair_first", "look_closer", "price_it_in", "nothing_stands_out"])
def test_every_advice_has_words(advice: str) -> None:
    given = builders.assessment()
    blocks = section(report(replace(given, decision=replace(given.decision, advice=advice))), "advice").blocks
    assert blocks[0] == Text(TEXTS[f"advice_{advice}"], "headline")


def test_there_is_no_verdict_before_the_core_checks() -> None:
    told = text(section(report(builders.nothing_seen()), "advice"))
    assert "No verdict yet: 0 of 6 core checks." in told
    assert "Only at a price" not in told


def test_three_reasons_come_from_the_numbers_and_the_decision_goes_first() -> None:
    reasons = section(report(builders.assessment()), "reasons").blocks[0]
    assert isinstance(reasons, Reasons)
    assert (reasons.items[0].name, reasons.items[0].chance) == ("Chain tensioner", Chance(0.62, "62 %"))
    assert reasons.items[0].text == (
        "Worn or failed today in about 62 of 100 such cars (about 21 before the findings). It carries 640 EUR of the "
        "expected cost, 47 %. “Listen to the cold start: rattle over 2 s” speaks strongly for it."
    )
    assert len(reasons.items) == 3
    given = builders.assessment()
    stated = replace(given, decision=replace(given.decision, reasons=("the oil is thin with fuel",)))
    assert text(section(report(stated), "reasons").blocks[0]).startswith("\nThe oil is thin with fuel.\n")
    named = replace(given, decision=replace(given.decision, reasons=("piston_rings", "chain_tensioner")))
    told = section(report(named), "reasons").blocks[0]
    assert isinstance(told, Reasons)
    assert [item.name for item in told.items] == ["Oil control rings", "Chain tensioner", "Coolant pump housing"]


def test_page_one_tells_judgement_blind_spots_next_look_and_scope() -> None:
    told = text(section(report(builders.assessment()), "known"))
    assert "84 % of the lifetimes behind these numbers is judgement" in told
    assert "No look can see these coming: Ring land of one piston, Ignition coil and Crank sensor." in told
    looks = text(section(report(builders.assessment()), "next"))
    assert "Read the travel of the tensioner (30 minutes): worth about 140 EUR to the decision." in looks
    assert "The range 25 to 52 covers that doubt and nothing else." in told
    assert "The engine only: not gearbox" in told


def test_prices_are_told_when_known_and_left_out_when_not() -> None:
    told = text(section(report(builders.assessment()), "price"))
    assert "6,570 EUR" in told
    assert "The asking price lies 330 EUR above what the findings support." in told
    market = replace(builders.case().market, asking_price=None, sound_value=None)
    without = report(builders.nothing_seen(), replace(builders.case(), market=market))
    assert not {"price", "price_items"} & {item.id for item in without.sections}


def test_a_report_whose_identity_was_erased_says_so() -> None:
    told = text(section(report(builders.assessment(), identity=Identity(commitment="c0ffee", erased=True)), "identity"))
    assert "identity removed" in told
    assert "c0ffee" in told


def test_a_recalled_pack_is_the_first_thing_said() -> None:
    first, *_ = report(builders.assessment(), recalled="Hours of a chain were wrong").sections
    assert "recalled and is no longer to be relied on: Hours of a chain were wrong." in text(first.blocks[0])
    assert first.blocks[1:] == report(builders.assessment()).sections[0].blocks


def test_identity_shows_four_characters_of_the_vehicle_number_and_neutral_words() -> None:
    known = Identity(
        vin="TESTNUMBER0004711", plate="AB 123", client=Person("A. Buyer", "1 High Street"), commitment="c0ffee"
    )
    given = report(builders.assessment(), identity=known)
    told = text(section(given, "identity"))
    for shown in ("ends in 4711", "AB 123", "A. Buyer, 1 High Street", "c0ffee"):
        assert shown in told
    assert "TESTNUMBER" not in text(given)
    assert told.count("82 %") == 1
    assert "Lapwing 2a\n82 %" in told
    assert "Oil services: signs of long intervals\n36 %" in told
    assert "disagree: ask for the papers of both." in told


def test_an_open_revision_is_told_with_the_looks_that_settle_it() -> None:
    given = builders.assessment()
    assert "What would settle it no look that is left tells these revisions apart" in _identity(given)
    looks = builders.pack().checks[:4]
    settled_by = tuple(look.id for look in looks)
    told = _identity(replace(given, identification=replace(given.identification, settled_by=settled_by)))
    assert f"What would settle it {looks[0].name} (" in told
    assert looks[2].name in told
    assert looks[3].name not in told
    sure = replace(given.identification, candidates=given.identification.candidates[:1], settled_by=())
    assert "What would settle it" not in _identity(replace(given, identification=sure))


def test_features_that_nobody_stated_are_told_with_their_chances() -> None:
    values = (TraitValueChance("on_belt", 0.2, 0.2, 0.183), TraitValueChance("cast", 0.8, 0.8, 0.817))
    look = builders.pack().checks[0]
    given = replace(builders.assessment(), traits=(TraitChances("timing_cover", values, (), (look.id,)),))
    told = _identity(given)
    assert f"Features not stated timing cover ({look.name} would tell)" in told
    assert "Timing cover: cast 82 % " in told
    assert told.count("82 %") == 2  # of the revision and of the trait, each in its bar only
    assert "Features not stated" not in _identity(builders.assessment())


def _identity(given: Assessment) -> str:
    return " ".join(text(section(report(given), "identity")).split())


def test_an_engine_outside_the_pack_is_said_to_be_generic() -> None:
    given = builders.assessment()
    generic = replace(given, identification=replace(given.identification, generic=True, family=None))
    engine = Engine(None, None, None, Traits((("cylinders", 4), ("fuel", "petrol"))))
    told = report(generic, replace(builders.case(), vehicle=replace(builders.case().vehicle, engine=engine)))
    assert "In no family of the knowledge pack." in text(section(told, "identity"))
    assert "cylinders: 4; fuel: petrol" in text(section(told, "identity"))
    assert told.subject.startswith("An engine described by its features")


def test_all_weak_points_are_listed_and_the_heaviest_told_in_words() -> None:
    blocks = section(report(builders.assessment()), "weak_points").blocks
    table, brief = (block for block in blocks if isinstance(block, Table))
    assert [row[0] for row in (*table.rows, *brief.rows)] == [row[1] for row in builders.POINTS]
    assert brief.rows[0] == ("Oil feed of the turbocharger", "2", "2", "20")
    assert table.rows[0][1:] == (Chance(0.62, "62 %"), Chance(0.55, "55 %"), "640 EUR", "strongly for")
    assert "fails in about 55 within 3 years" in text(blocks)


def test_what_a_finding_changed_and_what_stayed_quiet() -> None:
    given = section(report(builders.assessment()), "findings")
    told = text(given)
    assert "Listen to the cold start: rattle over 2 s (2.8 s)" in told
    assert "Strongly for: Chain tensioner." in told
    assert "Clearly for: Oil control rings. A little for: Chain tensioner." in told
    assert "told by the seller" in told
    assert "without weight for any weak point: Measure the compression." in told


def test_several_results_of_one_act_are_told_once() -> None:
    pack = builders.pack()
    checks = tuple(replace(item, part_of="fault_memory") if item.id == "compression" else item for item in pack.checks)
    told = build_report(
        builders.assessment(),
        builders.case(),
        replace(pack, checks=checks),
        assessment_id=builders.IDENTIFIER,
        created_at=builders.CREATED,
    )
    assert "Measure the compression" not in text(section(told, "findings"))


def test_dangers_that_are_unlikely_today_share_a_line() -> None:
    told = text(section(report(builders.assessment()), "hazards"))
    assert "Chain tensioner: if it fails it can stop the engine while driving." in told
    assert "fewer than 1 of 100 such cars: Crank sensor." in told


def test_a_caution_names_where_it_belongs() -> None:
    given = builders.assessment()
    point = replace(given.weak_points[0], cautions=("never turn the engine backwards",))
    given = replace(given, weak_points=(point, *given.weak_points[1:]), cautions=point.cautions)
    assert "Never turn the engine backwards. (Chain tensioner)" in text(section(report(given), "hazards"))


def test_a_caution_that_another_one_says_too_is_told_once() -> None:
    cautions = (
        "Never turn the engine backwards.",
        "never turn the engine backwards",
        "Do not park it in gear and never turn the engine backwards.",
        " ",
        "No flame near it",
        "No flame near it.",
    )
    told = text(section(report(replace(builders.assessment(), cautions=cautions)), "hazards"))
    assert told.count("urn the engine backwards") == 1
    assert told.count("No flame near it.") == 1


def test_core_checks_that_are_open_are_named() -> None:
    told = text(section(report(builders.nothing_seen()), "known"))
    assert "Core checks still open: Listen to the cold start, Look at the coolant level" in told


def test_what_was_not_checked_or_does_not_count_says_why() -> None:
    told = text(section(report(builders.assessment()), "uncovered"))
    assert "Read the travel of the tensioner\nWas not agreed to." in told
    assert "Watch the warm idle\nThe engine was warm, so a start sound proves nothing." in told


def test_notes_of_the_case_are_quoted() -> None:
    finding = Finding("/findings/0", "tensioner_travel", None, None, None, "refused", (), "self", "plug <b>painted</b>")
    told = report(builders.assessment(), replace(builders.case(), findings=(finding,)))
    assert "Was not agreed to. “plug <b>painted</b>”" in text(section(told, "uncovered"))


@pytest.mark.parametrize(
    ("work", "item", "result", "words"),
    [
        ("oil_service", None, None, "Oil service"),
        ("renewed", "coolant_pump", None, "Renewed (weak point: Coolant pump housing)"),
        ("never_renewed", "coolant_pump", None, "Never renewed (weak point: Coolant pump housing)"),
        ("engine_replaced", "overhauled", None, "Another engine fitted: overhauled"),
        ("checked", "compression", "even", "Measure the compression: even"),
        ("reading", None, None, "Odometer read"),
        ("failed", "ignition_coil", None, "Failed and repaired (weak point: Ignition coil)"),
        ("other", None, None, "Other work"),
        ("other", "spark plugs", None, "Spark plugs"),
    ],
)
def test_each_kind_of_history_has_words(work: str, item: str | None, result: str | None, words: str) -> None:
    entry = HistoryEntry(
        "/service_history/0", date(2021, 5, 4), 90_000.0, work, item, result, None, None, "invoice", ""
    )
    told = text(section(report(builders.assessment(), replace(builders.case(), history=(entry,))), "history"))
    assert f"4 May 2021\n90,000 km\n{words}\nan invoice".lower() in told.lower()


def test_sources_are_those_in_use() -> None:
    told = text(section(report(builders.assessment()), "sources"))
    assert "Judgement of engine technicians." in told
    assert "A book that nothing here rests on" not in told


@pytest.mark.parametrize("build", [builders.assessment, builders.dangerous, builders.nothing_seen])
def test_no_barred_word_reaches_a_reader(build: object) -> None:
    assert callable(build)
    told = text(report(build())).lower()
    assert [word for word in BARRED if word in told] == []


def test_no_text_of_the_table_holds_a_barred_word() -> None:
    told = " ".join(TEXTS.values()).lower()
    assert [word for word in BARRED if word in told] == []


def test_a_missing_fact_is_an_error_not_a_gap() -> None:
    with pytest.raises(KeyError):
        say("score", count="about 38")
