"""Checklist, case and pack -> ordered sections of plain text, for the terminal and the PDF."""

from __future__ import annotations

from dataclasses import dataclass

from riskapi.domain.case import Case
from riskapi.domain.checklist import Checklist, Invoice, Look, Tier, Unseen
from riskapi.domain.knowledge import Pack
from riskapi.report import checklist_checks
from riskapi.report import format as fmt
from riskapi.report.checklist_texts import tell
from riskapi.report.language import DEFAULT, speaking
from riskapi.report.sections import Block, Bullets, Cell, Column, Facts, Item, Report, Section, Table, Text
from riskapi.report.texts import say
from riskapi.report.translate import in_words, pack_in_words
from riskapi.report.words import hazard_words


@dataclass(frozen=True, slots=True)
class Page:
    """What the sections are made from."""

    checklist: Checklist
    case: Case
    pack: Pack

    def money(self, amount: float) -> str:
        return fmt.money(amount, fmt.plain(self.checklist.currency, 12))


def checklist_report(checklist: Checklist, case: Case, pack: Pack, *, language: str = DEFAULT) -> Report:
    """The checklist as a report. Raises NotFound when the pack lacks a check or weak point that it names."""
    with speaking(language):
        return _report(Page(in_words(checklist, pack), case, pack_in_words(pack)), language)


def _report(page: Page, language: str) -> Report:
    sections = (
        _visit(page),
        _list(page),
        _ask(page),
        _papers(page),
        _bring(page),
        _checks(page),
        _unseen(page),
        _left_out(page),
        _cautions(page),
        _assumptions(page),
        _scope(page),
    )
    foot = tell("foot", scope=say("scope_foot"))
    return Report(tell("title"), tell("subtitle"), subject(page), language, foot, sections)


def subject(page: Page) -> str:
    """Which car, in one line."""
    parts = [fmt.capital(engine(page)), fmt.distance(page.case.vehicle.odometer_km)]
    if page.checklist.reference:
        parts.append(fmt.plain(page.checklist.reference, 60))
    return " \u00b7 ".join([*parts, fmt.day(page.checklist.as_of)])


def engine(page: Page) -> str:
    """Maker and family, or that the engine is described by its features."""
    family = page.checklist.identification.family
    if family is None:
        return say("engine_generic")
    known = page.pack.family(family)
    return f"{known.maker} {known.name}"


# ---- this visit ------------------------------------------------------------------------------------------------


def _visit(page: Page) -> Section:
    listed, limits = page.checklist, page.checklist.limits
    names = ", ".join(
        f"{c.name} ({fmt.percent(c.probability)})"
        for c in listed.identification.candidates[:4]
        if c.revision and c.probability >= 0.005
    )
    rows = (
        (tell("engine"), fmt.capital(engine(page))),
        (tell("revision"), names),
        (tell("odometer"), fmt.distance(page.case.vehicle.odometer_km)),
        (tell("place"), fmt.plain(listed.place or "", 120)),
        (tell("time"), tell("no_time") if limits.minutes is None else fmt.minutes(limits.minutes)),
        (tell("equipment"), tell(f"equipment_{limits.equipment}")),
        (tell("consent"), tell(f"consent_{limits.consent}")),
    )
    looked_at = "cost_after" if page.case.findings else "cost"
    blocks: list[Block] = [Facts(tuple(row for row in rows if row[1]))]
    blocks.append(Text(tell(looked_at, cost=page.money(listed.expected_cost), years=fmt.years(listed.years))))
    blocks += [Text(_tier(page, tier), "lead") for tier in listed.tiers]
    if listed.looks:
        blocks.append(Text(tell("knowable", value=page.money(listed.knowable))))
        core = sum(page.pack.check(name).core for look in listed.looks for name in look.reads)
        blocks.append(Text(tell("core", done=fmt.number(core), total=fmt.number(listed.core_total))))
    return Section("visit", tell("h_visit"), tuple(blocks))


def _tier(page: Page, tier: Tier) -> str:
    name = tell(
        f"tier_{tier.name}", **({"limit": fmt.minutes(tier.limit)} if tier.limit is not None else {"limit": ""})
    )
    if not tier.acts:
        return tell("tier_none", tier=name)
    decision = tier.decision_value or 0.0
    more = fmt.percent(1.0 / tier.assured - 1.0) if tier.assured > 0.0 else ""
    return tell(
        "tier",
        tier=name,
        acts=tell("acts_one" if tier.acts == 1 else "acts_many", count=fmt.number(tier.acts)),
        minutes=fmt.minutes(tier.minutes),
        cost=tell("tier_price", price=page.money(tier.check_cost)) if tier.check_cost > 0.0 else "",
        value=page.money(tier.value),
        decision=tell("tier_decision", value=page.money(decision)) if decision >= 1.0 else "",
        best=tell("best_exact") if tier.method == "exact" else tell("best_greedy", more=more),
    )


# ---- before going ----------------------------------------------------------------------------------------------


def _ask(page: Page) -> Section:
    requests = [item for item in page.checklist.questions if item.check is None]
    checks = [item for item in page.checklist.questions if item.check is not None]
    blocks: list[Block] = [Text(tell("ask_intro")), Bullets(tuple(_with_why(q.text, q.why) for q in requests))]
    if checks:
        blocks += [Text(tell("ask_checks")), Bullets(tuple(q.text for q in checks))]
    return Section("ask", tell("h_ask"), tuple(blocks))


def _with_why(text: str, why: str) -> str:
    return f"{fmt.sentence(text)} {fmt.sentence(why)}" if why else fmt.sentence(text)


def _papers(page: Page) -> Section:
    listed = page.checklist
    blocks: list[Block] = [
        Text(tell("papers_intro")),
        Bullets(tuple(_with_why(item.text, item.why) for item in listed.papers)),
    ]
    if listed.invoices:
        blocks.append(Text(tell("invoices_intro")))
        blocks += [Item(item.name, _invoice(item)) for item in listed.invoices]
    return Section("papers", tell("h_papers"), tuple(blocks))


def _invoice(item: Invoice) -> tuple[str, ...]:
    sentences = []
    if item.supplies:
        supplies = "; ".join(tell("invoice_supply", part=part, since=fmt.day(since)) for part, since in item.supplies)
        sentences.append(tell("invoice_better", fitted=item.fitted, supplies=supplies))
    interval = _interval(item)
    if interval:
        sentences.append(tell("invoice_planned", interval=interval, fitted=item.fitted))
    return tuple(sentences)


def _interval(item: Invoice) -> str:
    far = fmt.distance(item.interval_km) if item.interval_km is not None else ""
    long = fmt.years(item.interval_years) if item.interval_years is not None else ""
    return tell("invoice_or", distance=far, years=long) if far and long else far or long


def _bring(page: Page) -> Section:
    things = tuple(_with_why(item.text, item.why) for item in page.checklist.bring)
    sources = {page.pack.source(word.source).citation for word in page.pack.visit.bring if word.source}
    blocks: list[Block] = [Bullets(things)]
    blocks += [Text(tell("source_line", citation=citation), "small") for citation in sorted(sources)]
    return Section("bring", tell("h_bring"), tuple(blocks))


# ---- the list --------------------------------------------------------------------------------------------------


def _list(page: Page) -> Section:
    looks = page.checklist.looks
    if not looks:
        return Section("list", tell("h_list"), (Text(tell("nothing")),))
    columns = (
        Column(tell("col_place"), 0.07, "right"),
        Column(tell("col_check"), 0.51),
        Column(tell("col_minutes"), 0.12, "right"),
        Column(tell("col_when"), 0.15),
        Column(tell("col_worth"), 0.15, "right"),
    )
    rows = tuple(row for place, look in enumerate(looks, 1) for row in _rows(page, place, look))
    return Section("list", tell("h_list"), (Table(columns, rows), Text(tell(f"worth_{looks[0].basis}"), "small")))


def _rows(page: Page, place: int, look: Look) -> list[tuple[Cell, ...]]:
    check = page.pack.check(look.check)
    name = tell("core_mark", name=check.name) if check.core else check.name
    worth = page.money(look.value) if look.value >= 1.0 else ""
    row = (fmt.number(place), name, fmt.number(look.minutes), tell(f"level_{look.tier}"), worth)
    set_up = checklist_checks.set_up_of(look, page.pack)
    if set_up is None or not look.opens_set_up:
        return [row]
    return [("", set_up.name, fmt.number(set_up.minutes), "", ""), row]


def _checks(page: Page) -> Section:
    blocks: list[Block] = []
    for place, look in enumerate(page.checklist.looks, 1):
        check = page.pack.check(look.check)
        blocks.append(Text(tell("one", place=fmt.number(place), name=check.name), "subheading"))
        blocks.append(Facts(checklist_checks.rows_of(look, page.pack, page.money)))
    return Section("checks", tell("h_checks"), tuple(blocks) or (Text(tell("nothing")),))


# ---- the rest --------------------------------------------------------------------------------------------------


def _unseen(page: Page) -> Section:
    items = page.checklist.unseen
    if not items:
        return Section("unseen", tell("h_unseen"), (Text(tell("unseen_none")),))
    told = tuple(Item(item.name, (_unseen_words(page, item),)) for item in items)
    return Section("unseen", tell("h_unseen"), (Text(tell("unseen_intro")), *told))


def _unseen_words(page: Page, item: Unseen) -> str:
    hazard = tell("unseen_hazard", hazard=hazard_words(item.hazard)) if item.hazard != "none" else ""
    return tell(
        "unseen_item",
        count=fmt.of_hundred(item.failure_probability),
        years=fmt.years(page.checklist.years),
        cost=page.money(item.expected_cost),
        failed=fmt.sentence(item.failed_means),
        hazard=hazard,
    )


def _left_out(page: Page) -> Section:
    items = page.checklist.barred
    if not items:
        return Section("left_out", tell("h_left_out"), (Text(tell("left_out_none")),))
    columns = (
        Column(tell("col_check"), 0.5),
        Column(tell("col_minutes"), 0.12, "right"),
        Column(tell("col_reason"), 0.23),
        Column(tell("col_worth"), 0.15, "right"),
    )
    rows = tuple(
        (page.pack.check(b.check).name, fmt.number(b.minutes), _reason(page, b.check, b.reason), page.money(b.value))
        for b in items
    )
    return Section("left_out", tell("h_left_out"), (Text(tell("left_out_intro")), Table(columns, rows)))


def _reason(page: Page, check: str, reason: str) -> str:
    known = page.pack.check(check)
    if reason == "equipment":
        return tell("reason_equipment", equipment=tell(f"equipment_{known.equipment}"))
    if reason == "consent" and known.consent == "ask":
        return tell("reason_consent_ask")
    return tell(f"reason_{reason}")


def _cautions(page: Page) -> Section:
    cautions = (say("caution_first"), *page.checklist.cautions)
    return Section("cautions", tell("h_cautions"), (Bullets(tuple(fmt.sentence(text) for text in cautions)),))


def _assumptions(page: Page) -> Section:
    listed = page.checklist
    blocks: list[Block] = []
    if listed.facts:
        blocks += [Text(tell("h_facts"), "subheading")]
        blocks.append(Bullets(tuple(fmt.sentence(fmt.plain(fact)) for fact in listed.facts)))
    blocks.append(Bullets(tuple(fmt.plain(item.text) for item in listed.assumptions)))
    return Section("assumptions", tell("h_assumptions"), tuple(blocks))


def _scope(page: Page) -> Section:
    share = fmt.percent(page.checklist.judgement_share)
    return Section("scope", tell("h_scope"), (Text(say("scope")), Text(say("judgement", share=share))))
