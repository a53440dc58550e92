"""Which weak points to put right at purchase, so that the expected discounted cost of the term is smallest.

Against the scored policy (what is faulty is repaired on day 0, everything else runs until it fails, planned work when
due) the plan may renew a part before it fails and bring services at an interval forward, where jobs done together pay
their access, their one-use parts and operations they share once. Weak points whose danger or state asks for work now
are never left. Savings count only among jobs that are certain to be done; what probable repairs of day 0 would share
is the separate line `shared_access_saving` of the cost.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import timedelta

from riskapi.domain.advice import dangerous, work_now
from riskapi.domain.assessment import Risk, WeakPointResult
from riskapi.domain.case import Case
from riskapi.domain.curves import Curves, after_work
from riskapi.domain.jobs import PriceLevel, make_job
from riskapi.domain.knowledge import Family, Pack
from riskapi.domain.mends import Mend, items_of
from riskapi.domain.plan_records import RepairPlan, Work
from riskapi.domain.possible_work import PossibleJob, Selection, select_from, service_job, weak_point_jobs
from riskapi.domain.programme import best_jobs
from riskapi.domain.renewing import Worth
from riskapi.domain.service_dates import due_service, gain_of_now
from riskapi.domain.terms import Terms
from riskapi.domain.timeline import DAYS_PER_YEAR
from riskapi.domain.watch import what_is_left
from riskapi.domain.work_account import account


def repair_plan(
    pack: Pack,
    case: Case,
    family: Family | None,
    worth: Worth,
    terms: Terms,
    curves: Curves,
    results: Sequence[WeakPointResult],
    risk: Risk,
    looked: Collection[str],
) -> RepairPlan:
    """What to put right at purchase and what to watch; `looked`: ids of checks that counted at the visit."""
    work, saving = plan_work(pack, family, worth, terms.level, results)
    left = what_is_left(pack, case, worth, work.weak_points, looked)
    score = risk.after_work_score
    if set(work.weak_points) != set(risk.work):
        score = 100.0 * after_work(worth.basis, curves, work.weak_points).beyond(terms.budget)
    return RepairPlan(
        work=work,
        saving=saving,
        score_after=score,
        dearer_than=way_out(pack, terms.level, work.cost),
        watch=left.watch,
        unseen=left.unseen,
        until=case.as_of + timedelta(days=round(terms.years * DAYS_PER_YEAR)),
    )


def plan_work(
    pack: Pack, family: Family | None, worth: Worth, level: PriceLevel, results: Sequence[WeakPointResult]
) -> tuple[Work, float]:
    """The work of the repair plan, and what it saves against the scored policy [money]."""
    forced = work_now(results)
    selection = purchase_selection(pack, family, worth, level, forced)
    chosen = best_jobs(selection.programme)
    reasons = dict.fromkeys(forced, "faulty") | dict.fromkeys(dangerous(results), "danger")
    return account(pack, level, selection, chosen, reasons), -selection.programme.net(chosen)


def purchase_selection(
    pack: Pack, family: Family | None, worth: Worth, level: PriceLevel, forced: Sequence[str]
) -> Selection:
    """Everything that could be done at purchase: weak points and services at an interval."""
    jobs = weak_point_jobs(pack, worth, worth.basis.prices, level, forced)
    jobs += _service_jobs(pack, family, worth, level)
    return select_from(pack, worth, level, jobs, forced)


def _service_jobs(pack: Pack, family: Family | None, worth: Worth, level: PriceLevel) -> list[PossibleJob]:
    """Services that cost less later if they are done on day 0."""
    outlook = worth.basis.outlook
    jobs = []
    for service in family.services if family is not None else ():
        cost = make_job((service.operation,), pack, level).mean
        gain = gain_of_now(due_service(service, outlook.lanes.timeline), cost, outlook.discount_rate)
        if gain > 0.0:
            mend = Mend((service.operation,), items_of(pack, (service.operation,)))
            jobs.append(service_job(service.id, service.name, gain, mend, len(outlook.lanes.candidates)))
    return jobs


def way_out(pack: Pack, level: PriceLevel, cost: float) -> str | None:
    """'another_engine' or 'write_off' where that is cheaper than work of this cost [money], the cheaper of both."""
    ways = [("another_engine", make_job((operation.id,), pack, level).mean) for operation in pack.another_engines()]
    ways += [] if level.write_off is None else [("write_off", level.write_off)]
    name, least = min(ways, key=lambda way: way[1], default=("", cost))
    return name if least < cost else None
