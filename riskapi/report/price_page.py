"""The price that the findings support, and how it comes about line by line."""

from __future__ import annotations

from collections.abc import Sequence

from riskapi.domain.assessment import PriceLine
from riskapi.report import format as fmt
from riskapi.report.edition_texts import tell
from riskapi.report.first_page import without_verdict
from riskapi.report.sections import Amount, Block, Column, Section, Table, Text
from riskapi.report.texts import say
from riskapi.report.view import View

SMALL_LINE = 0.02  # of the usual price, below which lines about weak points are told together
FEW = 3  # lines from which they are

Row = tuple[str, str]


def price_section(view: View) -> Section | None:
    """The price these findings support, when the case gives what it needs; None when no price was stated at all."""
    decision, market = view.assessment.decision, view.case.market
    if decision.price_for_findings is None:
        return _price_unknown(view)
    name = "highest_price_so_far" if without_verdict(view) else "highest_price"
    rows = [
        ("price_cautious", decision.cautious_price),
        ("price_asking", market.asking_price),
        ("price_sound", market.sound_value),
    ]
    facts = tuple((say(key), view.exact(amount)) for key, amount in rows if amount is not None)
    blocks: list[Block] = [Amount(tell(name), view.exact(decision.price_for_findings), facts)]
    if market.asking_price is not None:
        blocks.append(Text(_gap(view, market.asking_price - decision.price_for_findings)))
    plan = decision.repair_plan
    if decision.hazards and plan is not None and plan.saving <= -1.0:
        blocks.append(Text(tell("price_danger", money=view.money(-plan.saving), years=fmt.years(view.years))))
    return Section("price", say("h_price"), tuple(blocks))


def _price_unknown(view: View) -> Section | None:
    market = view.case.market
    if market.asking_price is None:
        return None
    key = "price_none" if market.sound_value is None else "price_not_computed"
    return Section("price", say("h_price"), (Text(say(key)),))


def _gap(view: View, gap: float) -> str:
    if abs(gap) < 1.0:
        return say("price_even")
    return say("price_below" if gap > 0.0 else "price_above", gap=view.exact(abs(gap)))


def price_items_section(view: View) -> Section | None:
    """How the price comes about, line by line, small ones together: first down to the price for the findings, then the
    room for a bad run down to the cautious one. None without lines."""
    items = view.assessment.decision.items
    if not items:
        return None
    columns = (Column(say("col_line"), 0.76), Column(say("col_amount"), 0.24, "right"))
    lines = _rounded(items)
    before = [line for line in lines if line[0].part != "bad_run"]
    after = [line for line in lines if line[0].part == "bad_run"]
    smallest = SMALL_LINE * max(amount for _, amount in lines)
    rows = [*_rows(view, before, smallest)]
    subtotal = len(rows) if after else None
    if after:
        rows += [_sum_row(view, tell("price_supported"), before), *_rows(view, after, smallest)]
    rows.append(_sum_row(view, say("price_cautious") if after else tell("price_supported"), lines))
    table = Table(columns, tuple(rows), total_row=True, subtotal=subtotal)
    return Section("price_items", say("price_items"), (Text(say("price_items_intro")), table))


def _rounded(items: Sequence[PriceLine]) -> list[tuple[PriceLine, float]]:
    """The lines with amounts to the unit that add up, to the price for the findings and to the cautious one."""
    before = [item for item in items if item.part != "bad_run"]
    amounts = fmt.adding_up(tuple(item.amount for item in before))
    after = [item for item in items if item.part == "bad_run"]
    carried = sum(item.amount for item in before) - sum(amounts)
    if after:
        last = (*(item.amount for item in after[:-1]), after[-1].amount + carried)
        amounts = (*amounts, *fmt.adding_up(last))
    return [(item, amount) for item, amount in zip((*before, *after), amounts, strict=True) if amount]


def _rows(view: View, lines: list[tuple[PriceLine, float]], smallest: float) -> list[Row]:
    small = [line for line in lines if line[0].weak_point is not None and abs(line[1]) < smallest]
    if len(small) < FEW:
        small = []
    rows = [(_line_words(item), fmt.money_signed(amount, view.currency)) for item, amount in lines
            if not any(item is other for other, _ in small)]  # fmt: skip
    if small:
        together = fmt.money_signed(sum(amount for _, amount in small), view.currency)
        rows.append((tell("price_small_lines", count=fmt.number(len(small))), together))
    return rows


def _sum_row(view: View, name: str, lines: list[tuple[PriceLine, float]]) -> Row:
    return name, fmt.money_signed(sum(amount for _, amount in lines), view.currency).removeprefix("+")


def _line_words(item: PriceLine) -> str:
    """The line, with how many of such cars need the repair now where it is about one."""
    label = fmt.capital(fmt.plain(item.label))
    return label if item.chance is None else say("price_line_chance", label=label, count=fmt.of_hundred(item.chance))
