"""The report as plain text."""

from __future__ import annotations

import pytest

from riskapi.domain.assessment import YearCost
from riskapi.report.content import build_report
from riskapi.report.plain import FEW_ROWS, plain_text
from riskapi.report.screen import WIDTH
from riskapi.report.sections import (
    Bullets,
    Chance,
    ChanceBar,
    Column,
    Facts,
    Item,
    Report,
    Section,
    Table,
    Text,
    YearChart,
)
from tests.report import builders

COLUMNS = (Column("Weak point", 0.6), Column("Cost", 0.4, "right"))
ROWS = tuple((f"part {k}", Chance(0.1, f"{k} EUR")) for k in range(FEW_ROWS + 3))


def report(*blocks: object) -> Report:
    sections = (Section("one", "Heading", blocks), Section("two", "Other", (Text("elsewhere"),)))  # type: ignore[arg-type]
    return Report("Title", "Subtitle", "A car", "en", "foot", sections)


@pytest.mark.parametrize(
    ("block", "line"),
    [
        (Text("words"), "words"),
        (Bullets(("first", "second")), "- first\n- second"),
        (Facts((("Odometer", "138,000 km"),)), "Odometer: 138,000 km"),
        (Item("Pump", ("Leaks.", "Often.")), "- Pump: Leaks. Often."),
        (ChanceBar("Cars of 100", Chance(0.4, "about 40")), "Cars of 100: about 40"),
        (YearChart((YearCost(1, 1, 1, 1, 1),), "EUR", ("After a year 1 EUR.",)), "After a year 1 EUR."),
    ],
)
def test_each_block_as_lines(block: object, line: str) -> None:
    assert plain_text(report(block), ["one"]) == f"Title\nA car\n\nHEADING\n{line}\n"


def test_a_table_is_aligned() -> None:
    lines = plain_text(report(Table(COLUMNS, ROWS)), ["one"]).splitlines()[4:]
    assert lines[:2] == ["Weak point    Cost", "part 0       0 EUR"]
    assert len(lines) == len(ROWS) + 1
    assert len({len(line) for line in lines}) == 1


def test_brief_cuts_tables_and_leaves_out_what_is_told_item_by_item() -> None:
    text = plain_text(
        report(Table(COLUMNS, ROWS), Text("In words", "subheading"), Item("Pump", ("Leaks.",))), brief=True
    )
    assert "... and 3 more" in text
    assert f"part {FEW_ROWS}" not in text
    assert "Pump" not in text
    assert "In words" not in text


def test_lines_of_text_fit_a_terminal() -> None:
    made = builders.assessment(), builders.case(), builders.pack()
    whole = build_report(*made, assessment_id=builders.IDENTIFIER, created_at=builders.CREATED)
    text = plain_text(whole, ["advice", "reasons", "known"])
    assert max(len(line) for line in text.splitlines()) <= WIDTH
    assert plain_text(whole).count("\n\n") >= len(whole.sections)


def test_a_terminal_shows_the_price_and_the_reasons() -> None:
    report = build_report(
        builders.assessment(),
        builders.case(),
        builders.pack(),
        assessment_id=builders.IDENTIFIER,
        created_at=builders.CREATED,
    )
    told = plain_text(report, ("price", "reasons", "years"))
    assert "Pay at most: 6,570 EUR" in told
    assert "Asking price: 6,900 EUR" in told
    assert "Chain tensioner: Worn or failed today in about 62 of 100 such cars" in told
    assert "above 1,200 EUR: about 38" in told
