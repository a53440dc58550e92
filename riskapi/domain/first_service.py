"""After the purchase: the first service list, what the workshop has to mind, and when to ask how it went.

What no paper shows to have been done is done at the first service (common practice, no source). The oil service counts
from its last paper at the interval of careful practice. Services of which the
case can record nothing (coolant, filters) fall due at full intervals from new, as the planned cost counts them.
"""

from __future__ import annotations

import calendar
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np

from riskapi.domain.case import Case, HistoryEntry
from riskapi.domain.history import DOCUMENTS
from riskapi.domain.knowledge import Family, Pack, PlannedInterval, PlannedService, ServiceInterval
from riskapi.domain.plan_records import AfterPurchase, FollowUp, ServiceItem, WatchItem, Work
from riskapi.domain.possible_work import CERTAIN, presence
from riskapi.domain.renewing import Worth, candidate_chances
from riskapi.domain.sentence import told
from riskapi.domain.service_dates import due_service
from riskapi.domain.stress import oil_interval
from riskapi.domain.timeline import DAYS_PER_YEAR, Timeline

OIL_SERVICE = "oil_service"  # the word of the history
FOLLOW_UPS = (6, 12)  # months after the assessment
FARTHEST = 50.0  # years ahead beyond which no date is told


@dataclass(frozen=True, slots=True)
class Renewed:
    """When something was last done by the papers, and the odometer then [km] where it was noted."""

    on: date
    odometer_km: float | None


def after_purchase(
    pack: Pack, case: Case, family: Family | None, worth: Worth, work: Work, watch: Sequence[WatchItem]
) -> AfterPurchase:
    """The first service list (what is due now first, then by date), cautions of the work, days to ask again."""
    items = (
        *_services(pack, case, family, worth.basis.outlook.lanes.timeline, work),
        *_planned(pack, case, worth, work),
        *_looks(case, watch),
    )
    operations = [row.id for row in work.operations]
    cautions = dict.fromkeys(text for name in operations for text in pack.operation(name).cautions)
    tools = dict.fromkeys(pack.special_tool(tool).name for n in operations for tool in pack.operation(n).special_tools)
    one_use = dict.fromkeys(part.name for row in work.access for part in pack.access_step(row.id).one_use)
    return AfterPurchase(
        first_service=tuple(sorted(items, key=lambda item: (item.when != "now", item.on or date.max, item.id))),
        workshop_cautions=tuple(cautions),
        special_tools=tuple(tools),
        one_use=tuple(one_use),
        follow_ups=tuple(FollowUp(months, months_later(case.as_of, months)) for months in FOLLOW_UPS),
    )


def months_later(day: date, months: int) -> date:
    """The same day so many months later, or the last of that month."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))


def _looks(case: Case, watch: Sequence[WatchItem]) -> Iterator[ServiceItem]:
    """Looks of the watch list that are wanted at once."""
    due = {item.check: item.check_name for item in watch if item.on <= case.as_of}
    for check, name in due.items():
        yield ServiceItem(check, name, "now", "watch", None, None)


# ---- services at an interval -----------------------------------------------------------------------------


def _services(pack: Pack, case: Case, family: Family | None, timeline: Timeline, work: Work) -> Iterator[ServiceItem]:
    planned = {row.id for row in work.operations}
    for service in family.services if family is not None else (_usual_oil_service(pack),):
        if service.operation in planned:
            yield ServiceItem(service.id, service.name, "now", "plan", None, None)
        elif service.oil:
            last, careful = _last(case, OIL_SERVICE, None), oil_interval(pack, family)
            yield _by_papers(service.id, service.name, last, careful, case, timeline)
        else:
            yield _usual(service, case, timeline)


def _usual_oil_service(pack: Pack) -> PlannedService:
    """The oil service of an engine of no family."""
    usual = oil_interval(pack, None)
    return PlannedService(
        OIL_SERVICE, told("Oil service"), OIL_SERVICE, usual.distance_km, usual.age_years, usual.source, oil=True
    )


def _last(case: Case, work: str, item: str | None) -> Renewed | None:
    """The latest documented entry of this work, or of another new or overhauled engine."""
    entries = [entry for entry in case.history if entry.evidence in DOCUMENTS and _renews(entry, work, item)]
    last = max(entries, key=lambda entry: entry.on, default=None)
    return None if last is None else Renewed(last.on, last.odometer_km)


def _renews(entry: HistoryEntry, work: str, item: str | None) -> bool:
    if entry.work == "engine_replaced":
        return entry.item != "used"
    return (entry.work == work or (work == "renewed" and entry.work == "failed")) and entry.item == item


def _by_papers(
    identifier: str,
    name: str,
    last: Renewed | None,
    interval: ServiceInterval | PlannedInterval,
    case: Case,
    timeline: Timeline,
) -> ServiceItem:
    """Due an interval after it was last done by the papers; now when that is past, or when no paper shows it."""
    if last is None:
        return ServiceItem(identifier, name, "now", "no_paper", None, None)
    due, odometer = due_after(last, interval, case, timeline)
    if due <= case.as_of:
        return ServiceItem(identifier, name, "now", "overdue", None, None, last.on)
    return ServiceItem(identifier, name, "due", "interval", odometer, due, last.on)


def due_after(
    last: Renewed, interval: ServiceInterval | PlannedInterval, case: Case, timeline: Timeline
) -> tuple[date, float]:
    """Day and odometer [km] at which it falls due, by time or distance, whichever comes first; today where it is past.

    Odometers are those on the dashboard. Without one in the paper the distance counts from the timeline of the case.
    """
    since = (case.as_of - last.on).days / DAYS_PER_YEAR
    ahead = []
    if interval.age_years is not None:
        ahead.append(interval.age_years - since)
    if interval.distance_km is not None:
        start = last.odometer_km
        if start is None:
            start = min(float(timeline.odometer(timeline.now - since)), case.vehicle.odometer_km)
        left = start + interval.distance_km - case.vehicle.odometer_km
        ahead.append(left / timeline.annual if timeline.annual > 0.0 else np.inf if left > 0.0 else 0.0)
    return _in_years(case, timeline, max(min(ahead, default=np.inf), 0.0))


def _in_years(case: Case, timeline: Timeline, years: float) -> tuple[date, float]:
    """Day and odometer so many years from now; no further than FARTHEST."""
    held = min(years, FARTHEST)
    on = case.as_of + timedelta(days=round(held * DAYS_PER_YEAR))
    return on, case.vehicle.odometer_km + held * timeline.annual


def _usual(service: PlannedService, case: Case, timeline: Timeline) -> ServiceItem:
    """The next whole interval from new within the term; later ones carry no date."""
    usual = due_service(service, timeline).usual
    if not usual:
        return ServiceItem(service.id, service.name, "due", "usual", None, None)
    on, odometer = _in_years(case, timeline, usual[0])
    return ServiceItem(service.id, service.name, "due", "usual", odometer, on)


# ---- parts with a planned interval -----------------------------------------------------------------------


def _planned(pack: Pack, case: Case, worth: Worth, work: Work) -> Iterator[ServiceItem]:
    """Belts and plugs: with the plan, an interval after the last paper or after new, else now."""
    lanes = worth.basis.outlook.lanes
    likeliest = int(np.argmax(candidate_chances(worth.basis)))
    has = presence(worth)[:, likeliest] >= CERTAIN
    root = worth.basis.posterior.groups[likeliest].roots[0]
    for w, wp in enumerate(lanes.weak_points):
        if not has[w]:
            continue
        lane = lanes.lanes[lanes.mixes[root][w].lanes[0][0]]
        planned = lane.parts[lane.start_part].planned
        if planned is not None:
            name = pack.operation(planned.operation).name
            yield _planned_item(case, wp.id, name, planned, lanes.timeline, work.weak_points)


def _planned_item(
    case: Case,
    weak_point: str,
    name: str,
    planned: PlannedInterval,
    timeline: Timeline,
    put_right: Collection[str],
) -> ServiceItem:
    if weak_point in put_right:
        return ServiceItem(weak_point, name, "now", "plan", None, None)
    last = _last(case, "renewed", weak_point)
    if last is None:  # new, unless somebody renewed it without papers
        built = case.as_of - timedelta(days=round(timeline.now * DAYS_PER_YEAR))
        due, odometer = due_after(Renewed(built, 0.0), planned, case, timeline)
        if due > case.as_of:  # the first one has not come up yet
            return ServiceItem(weak_point, name, "due", "interval", odometer, due)
        return ServiceItem(weak_point, name, "now", "ask", None, None)
    return _by_papers(weak_point, name, last, planned, case, timeline)
