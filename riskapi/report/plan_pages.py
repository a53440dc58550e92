"""What to put right at purchase, what to leave and watch, and what a dealer would do before the sale."""

from __future__ import annotations

from collections.abc import Iterator

from riskapi.domain.plan_records import BeforeSale, PlanAccess, PlanJob, PlanOperation, RepairPlan, WatchItem, Work
from riskapi.report import format as fmt
from riskapi.report import words
from riskapi.report.sections import Block, Bullets, Column, Facts, Section, Table, Text
from riskapi.report.texts import say
from riskapi.report.view import View

LOOKS_TOLD = 10
SMALL = 0.5  # money below which a difference is none


def plan_section(view: View) -> Section | None:
    """What to put right, why, and what it costs and saves; None where no plan was computed."""
    plan = view.assessment.decision.repair_plan
    if plan is None:
        return None
    if not plan.work.jobs:
        return Section("plan", say("h_plan"), (Text(say("plan_none", years=fmt.years(view.years))),))
    work = plan.work
    cost, apart = view.exact(work.cost), view.exact(work.apart)
    saved = work.apart - work.cost >= SMALL
    blocks: list[Block] = [
        Bullets(tuple(_reasons(work))),
        Text(say("plan_together", cost=cost, apart=apart) if saved else say("plan_alone", cost=cost)),
        Text(_saving(view, plan)),
        Text(_score(view, plan.score_after)),
    ]
    if plan.dearer_than is not None:
        blocks.append(Text(say(f"plan_dearer_{plan.dearer_than}"), "lead"))
    blocks.append(work_table(view, work, say("plan_total")))
    return Section("plan", say("h_plan"), tuple(blocks))


def _reasons(work: Work) -> Iterator[str]:
    for why in ("danger", "faulty", "saves"):
        names = [_saving_name(work, job) if why == "saves" else job.name for job in work.jobs if job.why == why]
        if names:
            alone = "_alone" if why == "saves" and len(names) == len(work.jobs) == 1 else ""
            yield say(f"plan_why_{why}{alone}", names="; ".join(names))


def _saving_name(work: Work, job: PlanJob) -> str:
    """What is done, where it is done to save money: the first operation for it."""
    return next((row.name for row in work.operations if job.id in row.jobs), job.name)


def _saving(view: View, plan: RepairPlan) -> str:
    years = fmt.years(view.years)
    if abs(plan.saving) < SMALL:
        return say("plan_even", years=years)
    return say("plan_saving" if plan.saving > 0.0 else "plan_costs", years=years, money=view.money(abs(plan.saving)))


def _score(view: View, score: float) -> str:
    budget = view.exact(view.assessment.risk.repair_budget)
    return say("plan_score", count=fmt.of_hundred(score / 100.0), budget=budget, years=fmt.years(view.years))


def work_table(view: View, work: Work, total: str) -> Table:
    """Operations, then dismantling paid once, then what differs as found; the rows add up."""
    columns = (
        Column(say("col_work"), 0.46),
        Column(say("col_plan_for"), 0.26),
        Column(say("col_plan_hours"), 0.12, "right"),
        Column(say("col_amount"), 0.16, "right"),
    )
    names = {job.id: job.name for job in work.jobs}
    rows = [_operation_row(view, row, names) for row in work.operations]
    rows += [_access_row(view, row) for row in work.access]
    if abs(work.as_found) >= SMALL:
        rows.append((say("plan_as_found"), "", "", fmt.money_signed(work.as_found, view.currency)))
    return Table(columns, (*rows, (total, "", fmt.number(work.hours, 1), view.exact(work.cost))), total_row=True)


def _operation_row(view: View, row: PlanOperation, names: dict[str, str]) -> tuple[str, ...]:
    name = row.name if row.times == 1 else say("plan_times", name=row.name, times=str(row.times))
    wanted = ", ".join(names[job] for job in row.jobs)
    return (_if(name, row.chance), wanted, *_weighed(view, row))


def _access_row(view: View, row: PlanAccess) -> tuple[str, ...]:
    return (_if(say("plan_access", name=row.name), row.chance), "", *_weighed(view, row))


def _weighed(view: View, row: PlanOperation | PlanAccess) -> tuple[str, str]:
    return fmt.number(row.chance * row.hours, 1), view.exact(row.chance * row.cost)


def _if(name: str, chance: float) -> str:
    return name if chance >= 0.995 else say("plan_if", name=name, chance=fmt.percent(chance))


# ---- what to watch ---------------------------------------------------------------------------------------------


def watch_section(view: View) -> Section | None:
    """Which looks to take when; None where no plan was computed."""
    plan = view.assessment.decision.repair_plan
    if plan is None:
        return None
    years = fmt.years(view.years)
    blocks: list[Block] = [Text(say("watch_intro" if plan.watch else "watch_none", years=years))]
    if plan.watch:
        blocks.append(_watch_table(view, plan.watch[:LOOKS_TOLD]))
    if len(plan.watch) > LOOKS_TOLD:
        blocks.append(Text(say("watch_more", count=fmt.number(len(plan.watch) - LOOKS_TOLD)), "small"))
    if plan.unseen:
        unseen = view.named(plan.unseen)
        blocks.append(Text(say("watch_unseen", names=words.names(unseen, len(unseen)))))
    return Section("watch", say("h_watch"), tuple(blocks))


def _watch_table(view: View, items: tuple[WatchItem, ...]) -> Table:
    columns = (
        Column(say("col_weak_point"), 0.25),
        Column(say("col_watch_look"), 0.255),
        Column(say("col_watch_first"), 0.275),
        Column(say("col_watch_then"), 0.22),
    )
    return Table(
        columns, tuple((item.name, item.check_name, first_words(view, item), then_words(item)) for item in items)
    )


def first_words(view: View, item: WatchItem) -> str:
    """When to look first."""
    if item.on <= view.assessment.as_of:
        return say("watch_now")
    return say("watch_first", day=fmt.day(item.on), distance=round_distance(item.odometer_km))


def then_words(item: WatchItem) -> str:
    """How often from then on."""
    return say("watch_then", months=months_words(item.every_months), distance=round_distance(item.every_km))


def months_words(months: int) -> str:
    """'month', '3 months', after 'every'."""
    return say("months_one") if months == 1 else say("months_many", months=str(months))


def round_distance(kilometres: float) -> str:
    """A distance to watch for, kept on one line."""
    return fmt.distance_down(kilometres).replace(" ", "\u00a0")


# ---- before the sale -------------------------------------------------------------------------------------------


def before_sale_section(view: View) -> Section | None:
    """Which work pays back for a dealer, and the figures after it; None unless he asked."""
    sale = view.assessment.decision.before_sale
    if sale is None:
        return None
    if not sale.work.jobs:
        return Section("before_sale", say("h_before_sale"), (Text(say("sale_none")),))
    blocks: tuple[Block, ...] = (
        Bullets(tuple(_sale_reasons(sale.work))),
        Facts(_sale_facts(view, sale)),
        Text(say("sale_intro")),
        work_table(view, sale.work, say("plan_total_no_tax")),
    )
    return Section("before_sale", say("h_before_sale"), blocks)


def _sale_reasons(work: Work) -> Iterator[str]:
    for why in ("danger", "saves"):
        names = [job.name for job in work.jobs if job.why == why]
        if names:
            yield say(f"sale_why_{why}", names="; ".join(names))


def _sale_facts(view: View, sale: BeforeSale) -> tuple[tuple[str, str], ...]:
    budget = view.exact(view.assessment.risk.repair_budget)
    return (
        (say("sale_cost"), view.exact(sale.work.cost)),
        (say("sale_rise"), view.exact(sale.price_rise)),
        (say("sale_pays"), fmt.money_signed(sale.pays_back, view.currency)),
        (say("sale_price"), view.exact(sale.price_after)),
        (say("sale_cautious"), view.exact(sale.cautious_price_after)),
        (say("sale_score", budget=budget), fmt.of_hundred(sale.score_after / 100.0)),
    )
