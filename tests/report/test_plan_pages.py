"""What to put right, what to watch and the work before a sale, in words."""

from __future__ import annotations

from dataclasses import replace

import pytest

from riskapi.report.plan_pages import before_sale_section, months_words, plan_section, round_distance, watch_section
from riskapi.report.sections import Table, Text
from riskapi.report.view import View
from tests.report import builders, plan_builders
from tests.report.test_content import BARRED, report, section, text


def view(assessment: object) -> View:
    return View(assessment, builders.case(), builders.pack(), builders.IDENTIFIER, builders.CREATED)  # type: ignore[arg-type]


def test_without_a_plan_there_is_no_section() -> None:
    given = view(builders.assessment())
    assert (plan_section(given), watch_section(given), before_sale_section(given)) == (None, None, None)


def test_they_come_after_the_price() -> None:
    given = report(plan_builders.bought(sale=plan_builders.SALE))
    ids = [item.id for item in given.sections]
    at = ids.index("price_items")
    assert ids[at + 1 : at + 7] == ["plan", "planned", "years", "watch", "after", "before_sale"]
    assert [word for word in BARRED if word in text(given).lower()] == []


def test_the_plan_says_why_what_and_what_it_saves() -> None:
    told = section(report(plan_builders.bought()), "plan")
    words = text(told)
    assert "Never left, because people can be hurt: Oil feed of the turbocharger." in words
    assert "More likely failed than not: Chain tensioner." in words
    assert "Saves more than it costs when done with the rest: Oil and filter service." in words
    assert "Together about 1,600 EUR on average; 1,650 EUR if each job paid for its own dismantling." in words
    assert "Over 3 years this saves about 240 EUR against repairing only what fails." in words
    assert "of 100 cars like this about 14 need more than 1,200 EUR" in words


def test_the_table_adds_up() -> None:
    table = next(b for b in section(report(plan_builders.bought()), "plan").blocks if isinstance(b, Table))
    amounts = [float(str(row[3]).split()[0].replace(",", "").replace("+", "")) for row in table.rows]
    assert sum(amounts[:-1]) == pytest.approx(amounts[-1])
    assert "Renew the long chain (in 20 % of such engines)" in {row[0] for row in table.rows}
    assert ("Dismantling: Timing cover off", "", "3.0", "400 EUR") in table.rows


@pytest.mark.parametrize(
    ("saving", "words"),
    [(-180.0, "costs about 180 EUR more than repairing only what fails"), (0.1, "costs as much as")],
)
def test_what_forced_work_costs_is_said(saving: float, words: str) -> None:
    assert words in text(plan_section(view(plan_builders.bought(replace(plan_builders.PLAN, saving=saving)))))


@pytest.mark.parametrize(
    ("way", "words"), [("another_engine", "Another engine would cost less"), ("write_off", "is worth less than")]
)
def test_a_cheaper_way_out_is_said(way: str, words: str) -> None:
    assert words in text(plan_section(view(plan_builders.bought(replace(plan_builders.PLAN, dearer_than=way)))))


def test_where_nothing_pays_back_that_is_said() -> None:
    given = report(plan_builders.nothing_to_do())
    assert "nothing put right early pays back within 3 years" in text(section(given, "plan"))
    assert "Nothing left behind fails often enough" in text(section(given, "watch"))


def test_the_watch_list_names_look_day_and_distance() -> None:
    told = section(report(plan_builders.bought()), "watch")
    table = next(b for b in told.blocks if isinstance(b, Table))
    assert table.rows[0][2] == "at the first service"
    assert table.rows[1][2:] == ("31 August 2027 or 150,300\u00a0km", "12 months or 20,000\u00a0km")
    assert "No look shows these in time: Ignition coil." in text(told)


def test_a_long_list_is_cut_with_what_is_left() -> None:
    plan = replace(plan_builders.PLAN, watch=plan_builders.WATCH * 9)
    blocks = section(report(plan_builders.bought(plan)), "watch").blocks
    assert Text("8 more follow later; all of them are in the calendar file.", "small") in blocks


def test_the_sale_tells_cost_rise_and_what_is_left() -> None:
    told = text(section(report(plan_builders.bought(sale=plan_builders.SALE)), "before_sale"))
    for words in ("1,600 EUR", "2,000 EUR", "+400 EUR", "8,570 EUR", "7,900 EUR", "about 12", "without tax"):
        assert words in told
    nothing = replace(plan_builders.SALE, work=plan_builders.NOTHING)
    assert "No work before the sale raises" in text(section(report(plan_builders.bought(sale=nothing)), "before_sale"))


def test_months_and_distances() -> None:
    assert (months_words(1), months_words(3)) == ("month", "3 months")
    assert round_distance(150_399.0) == "150,300\u00a0km"
