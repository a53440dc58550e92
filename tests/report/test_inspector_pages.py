"""The inspector's edition: what he saw and signs first and by itself, what is calculated after it."""

from __future__ import annotations

from dataclasses import replace

from riskapi.domain.assessment import Assessment, Checked, Coverage
from riskapi.domain.case import Case, Finding
from riskapi.domain.knowledge import ConditionWord, Pack
from riskapi.report.content import build_report
from riskapi.report.edition import Edition
from riskapi.report.sections import Finding as Told
from riskapi.report.sections import Report, Text
from tests.report import builders
from tests.report.test_content import section, text

CLIENT, NO_PRICE = Edition("inspector"), Edition("inspector", price=False)


def report(assessment: Assessment, case: Case, pack: Pack, edition: Edition = CLIENT) -> Report:
    at = {"assessment_id": builders.IDENTIFIER, "created_at": builders.CREATED}
    return build_report(assessment, case, pack, **at, edition=edition)  # type: ignore[arg-type]


def plain(assessment: Assessment, edition: Edition = CLIENT) -> Report:
    return report(assessment, builders.case(), builders.pack(), edition)


def test_nothing_calculated_stands_above_the_signature() -> None:
    for edition in (CLIENT, NO_PRICE):
        given = plain(builders.assessment(), edition)
        ids = [item.id for item in given.sections]
        signed = ids.index("signature")
        assert set(ids[:signed]) <= {"order", "uncovered", "seen", "zones"}
        assert given.sections[signed + 1].starts_page
        above = text(given.sections[:signed])
        assert "EUR" not in above
        assert "of 100" not in above


def test_what_may_not_be_driven_is_said_on_the_first_page_once() -> None:
    for edition in (CLIENT, NO_PRICE):
        given = plain(builders.dangerous(), edition)
        assert Text("Do not drive it.", "alarm") in section(given, "order").blocks
        assert text(given).count("Do not drive it.") == 1


def test_without_advice_and_price_there_is_neither() -> None:
    told = text(plain(builders.assessment(), NO_PRICE))
    assert "Pay at most" not in told
    assert "Only at a price" not in told
    assert "6,570" not in told


def test_where_nobody_looked_there_is_nothing_to_sign() -> None:
    bare = replace(builders.assessment(), coverage=Coverage((), (), (), 0, 6))
    assert "signature" not in {item.id for item in plain(bare).sections}


def seen(stated: tuple[tuple[str, bool], ...], shown: bool) -> str:
    """What the client is told of a start sound that needs a cold engine."""
    pack = builders.pack()
    cold = ConditionWord("engine_cold", "Engine cold", "It was warm.", (), "coolant_level")
    checks = tuple(replace(c, needs=("engine_cold",)) if c.id == "cold_start_sound" else c for c in pack.checks)
    pack = replace(pack, conditions=(cold,), checks=checks)
    finding = Finding("/findings/0", "cold_start_sound", "long", None, None, None, stated, "self", "")
    checked = [Checked("cold_start_sound", "long", "", "self")]
    checked += [Checked("coolant_level", "at_mark", "", "self")] if shown else []
    given = replace(builders.assessment(), coverage=Coverage(tuple(checked), (), (), 2, 6))
    blocks = section(report(given, replace(builders.case(), findings=(finding,)), pack), "seen").blocks
    return next(row for block in blocks if isinstance(block, Told) and block.rows for row in block.rows)


def test_a_condition_is_as_stated_or_as_its_own_check_found_it_or_taken_as_given() -> None:
    assert seen((("engine_cold", True),), shown=True) == "Conditions: Engine cold: yes"
    assert seen((), shown=True) == "Conditions: Engine cold: see \u201cLook at the coolant level: at the mark\u201d"
    assert seen((), shown=False) == "Conditions: Engine cold: not stated, taken as given"
