"""The pages on weak points and on cost by year."""

from __future__ import annotations

from riskapi.domain.assessment import WeakPointResult, YearCost
from riskapi.report import format as fmt
from riskapi.report import words
from riskapi.report.edition_texts import tell
from riskapi.report.picture_pages import outcomes, plane
from riskapi.report.sections import Block, Cell, Chance, Column, Item, Section, Table, Text, YearChart
from riskapi.report.texts import say
from riskapi.report.view import View

IN_WORDS = 3  # weak points told in sentences
LEAST_AT_LENGTH, MOST_AT_LENGTH = 8, 24  # rows of the long table
MOST_COST, LIKELY = 0.6, 0.3  # share of the cost that the long table covers, chance from which a row belongs to it


# ---- weak points -----------------------------------------------------------------------------------------------


def weak_points_section(view: View) -> Section:
    """Every weak point of this engine by expected cost: a picture, what matters at length, the others in brief."""
    years = fmt.years(view.years)
    items = view.assessment.weak_points
    columns = (
        Column(say("col_weak_point"), 0.29),
        Column(say("col_today"), 0.185),
        Column(say("col_period", years=years), 0.185),
        Column(say("col_cost"), 0.13, "right"),
        Column(say("col_findings"), 0.21),
    )
    told = _at_length(view)
    rest = tuple(item for item in items if item not in told)
    blocks: list[Block] = [
        Text(say("weak_points_intro", years=years, count=fmt.number(len(items)))),
        plane(view),
        Table(columns, tuple(_weak_point_row(view, item) for item in told)),
    ]
    if rest:
        intro = tell("others_intro", years=years, currency=view.currency)
        blocks += [Text(tell("others"), "subheading"), Text(intro, "small"), _in_brief(view, rest)]
    blocks.append(Text(say("h_in_words"), "subheading"))
    blocks += [
        Item(item.name, words.weak_point_sentences(item, view.pack, view.currency, view.years))
        for item in _worth_words(view)
    ]
    return Section("weak_points", say("h_weak_points"), tuple(blocks))


def _at_length(view: View) -> tuple[WeakPointResult, ...]:
    """The costliest that make up most of the cost, and whatever may well be worn or may endanger people today."""
    hazards, mean, so_far = view.assessment.decision.hazards, view.assessment.cost.unplanned.mean, 0.0
    told = []
    for place, item in enumerate(view.assessment.weak_points):
        likely = words.not_sound(item.state) >= LIKELY and place < MOST_AT_LENGTH
        if place < LEAST_AT_LENGTH or so_far < MOST_COST * mean or likely or item.id in hazards:
            told.append(item)
        so_far += item.expected_cost
    return tuple(told)


def _in_brief(view: View, items: tuple[WeakPointResult, ...]) -> Table:
    columns = (
        Column(say("col_weak_point"), 0.55),
        Column(tell("col_today_brief"), 0.165, "right"),
        Column(tell("col_fails_brief"), 0.165, "right"),
        Column(tell("col_cost_brief", currency=view.currency), 0.12, "right"),
    )
    rows = tuple(
        (
            item.name,
            _bare(words.not_sound(item.state)),
            _bare(item.failure_probability),
            fmt.number(fmt.rough(item.expected_cost)),
        )
        for item in items
    )
    return Table(columns, rows, abreast=2)


def _bare(share: float) -> str:
    """A chance of 100 without its sign, which the head of the column has."""
    return fmt.percent(share).removesuffix("%").rstrip().replace(" ", "\u00a0")


def _weak_point_row(view: View, item: WeakPointResult) -> tuple[Cell, ...]:
    today, period = words.not_sound(item.state), item.failure_probability
    return (
        item.name,
        Chance(today, fmt.percent(today)),
        Chance(period, fmt.percent(period)),
        view.money(item.expected_cost),
        words.findings_words(item),
    )


def _worth_words(view: View) -> tuple[WeakPointResult, ...]:
    """The first few by cost, and whatever makes the advice a matter of safety."""
    hazards = view.assessment.decision.hazards
    return tuple(
        item
        for place, item in enumerate(view.assessment.weak_points)
        if (place < IN_WORDS and item.expected_cost > 0.0) or item.id in hazards
    )


# ---- cost by year ----------------------------------------------------------------------------------------------


def years_section(view: View) -> Section:
    """The cumulative cost of surprise repairs as a picture, and the same in words."""
    points = view.assessment.cost.by_year
    if not points:
        return Section("years", say("h_years"), (Text(say("years_none")),))
    today = view.assessment.cost.immediate
    fan = (YearCost(0.0, today.mean, today.p10, today.p50, today.p90), *points)
    chart = YearChart(fan, view.currency, tuple(_year_words(view, point) for point in points))
    blocks: list[Block] = [*outcomes(view), Text(tell("years_intro")), chart]
    saving = view.assessment.cost.shared_access_saving
    if fmt.rough(saving) > 0.0:
        blocks.append(Text(say("shared", saving=view.money(saving))))
    return Section("years", say("h_years"), tuple(blocks))


def _year_words(view: View, point: YearCost) -> str:
    return say(
        "years_alt",
        year=fmt.years(point.year),
        mean=view.money(point.mean),
        median=view.money(point.p50),
        high=view.money(point.p90),
    )
