"""After the purchase: the first service list, what to tell the workshop, what to write down later."""

from __future__ import annotations

from riskapi.domain.plan_records import ServiceItem
from riskapi.report import format as fmt
from riskapi.report.plan_pages import round_distance
from riskapi.report.sections import Block, Bullets, Column, Section, Table, Text
from riskapi.report.texts import say
from riskapi.report.view import View
from riskapi.report.workshop import questions, workshop_lines


def after_section(view: View) -> Section | None:
    """None where it was not computed."""
    after = view.assessment.after_purchase
    if after is None:
        return None
    days = fmt.listing(tuple(fmt.day(item.on) for item in after.follow_ups))
    blocks: list[Block] = []
    if after.first_service:
        blocks += [Text(say("after_list"), "subheading"), _services(after.first_service)]
    blocks += [
        Text(say("after_workshop"), "subheading"),
        Bullets(workshop_lines(view.assessment)),
        Text(say("after_questions", days=days), "subheading"),
        Bullets(questions(), small=True),
    ]
    return Section("after", say("h_after"), tuple(blocks))


def _services(items: tuple[ServiceItem, ...]) -> Table:
    columns = (Column(say("col_work"), 0.33), Column(say("col_when"), 0.29), Column(say("col_because"), 0.38))
    return Table(columns, tuple((item.name, when_words(item), why_words(item)) for item in items))


def when_words(item: ServiceItem) -> str:
    """'now', '2 May 2027 or 151,000 km'."""
    if item.when == "now":
        return say("service_now")
    if item.on is None or item.odometer_km is None:
        return say("service_later")
    return say("service_due", day=fmt.day(item.on), distance=round_distance(item.odometer_km))


def why_words(item: ServiceItem) -> str:
    """Why it is due then."""
    if item.why in ("overdue", "interval"):
        if item.last is None:
            return say(f"service_why_{item.why}_new")
        return say(f"service_why_{item.why}", last=fmt.day(item.last))
    return say(f"service_why_{item.why}")
