"""The checklist of one visit as a page: worked out for the car in the query, in the order of the visit.

Answers never come here: they stay in the browser until they are sent as one case. So the page is the same for everybody
who has its address, and a browser can keep it for a yard without signal.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from time import thread_time
from urllib.parse import urlencode

from flask import Response, request

from riskapi import service
from riskapi.domain.case import NOT_CHECKED, Case
from riskapi.domain.checklist import Checklist, Look
from riskapi.domain.knowledge import Check, Measure, Pack, SetUp
from riskapi.errors import CaseError, Fault, FindingsClash, RiskapiError, TooComplex
from riskapi.intake import canonical, read_case
from riskapi.intake.findings_sense import cylinder_count, measure_of, reads_codes
from riskapi.report import checklist_checks
from riskapi.report.translate import in_words
from riskapi.web.body import json_body
from riskapi.web.pages import form
from riskapi.web.pages.routes import fragment, page, redirect, routes
from riskapi.web.pages.start import start_page
from riskapi.web.pages.words import bar_words, local_pack
from riskapi.web.preview import glance_of
from riskapi.web.state import state

USUAL_CYLINDERS = 4


@dataclass(frozen=True, slots=True)
class Stop:
    """One act of the visit as it is shown. `at`: minutes into the visit when it begins, among all of its tier;
    `blank`: whether 'nothing found' for its whole group answers it."""

    check: Check
    tier: str
    minutes: float
    why: str
    limits: str
    cautions: tuple[str, ...]
    measure: Measure | None
    codes: bool
    conditions: tuple[tuple[str, str, str], ...]
    parts: tuple[Check, ...]
    blank: bool


@dataclass(frozen=True, slots=True)
class Group:
    """Stops that follow each other with the same set-up; `title` is a key of the texts where there is no set-up."""

    id: str
    set_up: SetUp | None
    opens: bool
    title: str
    stops: tuple[Stop, ...]

    @property
    def tiers(self) -> frozenset[str]:
        return frozenset(stop.tier for stop in self.stops)


@routes.get("/visit")
def visit() -> Response:
    """The checklist for the car in the query; back to the first page with the faults if there are any."""
    asked = form.asked_from(request.args)
    today = datetime.now(UTC).date()
    if not asked.get("date"):
        return redirect(f"/visit?{urlencode({**asked.values, 'date': today.isoformat()})}")
    pack = state().pack
    wanted = form.case_of(asked, pack, today)
    try:
        case = read_case(canonical(wanted), pack)
        made = in_words(service.checklist(case, pack), pack)
    except CaseError as error:
        return start_page(asked, error.faults, 422)
    groups = tuple(groups_of(made, case, local_pack()))
    return page(
        "visit.html",
        asked=asked,
        case=wanted,
        made=made,
        vehicle=case.vehicle,
        groups=groups,
        reasons=NOT_CHECKED,
        checks={check.id: check for check in local_pack().checks},
        query=urlencode(asked.values),
        family=_family(case, local_pack()),
        cylinders=_cylinders(case, pack),
    )


@routes.post("/visit/live")
def live() -> Response:
    """What the answers so far come to, as the piece of the page that shows it; with the computing time it took."""
    began = thread_time()
    answer = _live()
    answer.headers["Server-Timing"] = f"cpu;dur={1000.0 * (thread_time() - began):.1f}"
    return answer


def _live() -> Response:
    try:
        shown = glance_of(json_body(), state())
    except (FindingsClash, TooComplex, CaseError) as error:
        return fragment("live_faults.html", 422, lines=_lines(error.faults), kind=_kind(error))
    pack = local_pack()
    return fragment(
        "live.html",
        shown=shown,
        bar_words=bar_words(shown.score, shown.band),
        hazard_names=tuple(pack.weak_point(name).name for name in shown.hazards),
        heavy_names=tuple(pack.weak_point(item.id).name for item in shown.heaviest),
        core_open=[pack.check(name).name for name in shown.core_open],
        open_ids=shown.core_open,
    )


def _lines(faults: Sequence[Fault]) -> list[str]:
    """Each fault once: findings that clash are each told the same."""
    return list(dict.fromkeys(f"{fault.message} {fault.mend}" for fault in faults))


def _kind(error: RiskapiError) -> str:
    if isinstance(error, FindingsClash):
        return "clash"
    return "complex" if isinstance(error, TooComplex) else "fault"


def _family(case: Case, pack: Pack) -> str | None:
    name = case.vehicle.engine.family
    if name is None:
        return None
    family = pack.family(name)
    return f"{family.maker} {family.name}"


def _cylinders(case: Case, pack: Pack) -> int:
    """How many cylinders are measured."""
    name = case.vehicle.engine.family
    engines = [case.vehicle.engine.traits] if name is None else [r.traits for r in pack.family(name).revisions]
    return cylinder_count(engines) or USUAL_CYLINDERS


# ---- what is shown -----------------------------------------------------------------------------------------------


def groups_of(made: Checklist, case: Case, pack: Pack) -> Iterator[Group]:
    """The stops in the order of the visit, cut where the set-up changes."""
    current: list[Stop] = []
    key: tuple[str | None, str] | None = None
    opened: set[str | None] = set()
    for look, stop in _stops(made, case, pack):
        mine = (look.set_up, _title(look, stop.check))
        if current and mine != key and key is not None:
            yield _group(key, current, opened, pack)
            current = []
        key = mine
        current.append(stop)
    if current and key is not None:
        yield _group(key, current, opened, pack)


def _group(key: tuple[str | None, str], stops: list[Stop], opened: set[str | None], pack: Pack) -> Group:
    name, title = key
    set_up = next((item for item in pack.set_ups if item.id == name), None)
    opens = name not in opened
    opened.add(name)
    return Group(f"from_{stops[0].check.id}", set_up, opens, title, tuple(stops))


def _title(look: Look, check: Check) -> str:
    """What the looks have in common where nothing has to be set up for them."""
    if look.set_up is not None:
        return ""
    if check.consent == "written":
        return "group_written"
    return "group_warm" if "engine_warm" in check.needs else "group_cold"


def _stops(made: Checklist, case: Case, pack: Pack) -> Iterator[tuple[Look, Stop]]:
    """The looks of the checklist, and the core checks that its limits leave out: each of them wants an answer, if only
    the reason why not."""
    place = {check.id: i for i, check in enumerate(pack.checks)}
    read = {name for look in made.looks for name in look.reads}
    missing = [c for c in pack.checks if c.core and c.id not in read and not _answered(c, case)]
    pending = [Look(c.id, form.TIERS[1], c.set_up, False, (c.id,), c.minutes, 0.0, 0.0, "", (), ()) for c in missing]
    for look in made.looks:
        while pending and place[pending[0].check] < place[look.check]:
            yield pending[0], _stop(pending.pop(0), pack)
        yield look, _stop(look, pack)
    for look in pending:
        yield look, _stop(look, pack)


def _answered(check: Check, case: Case) -> bool:
    return check.from_case == "moves_under_own_power" and case.vehicle.moves_under_own_power is not None


def _stop(look: Look, pack: Pack) -> Stop:
    check = pack.check(look.check)
    words = {word.id: word for word in pack.conditions}
    parts = [pack.check(name) for name in look.reads[1:]]
    measured = measure_of(check, pack)
    return Stop(
        check=check,
        tier=look.tier if look.tier in form.TIERS else form.TIERS[-1],
        minutes=look.minutes,
        why=checklist_checks.why(look, pack),
        limits=checklist_checks.thresholds(check, pack),
        cautions=check.cautions,
        measure=measured,
        codes=reads_codes(check, pack),
        conditions=tuple((name, words[name].name, words[name].if_not) for name in check.needs),
        parts=tuple(c for c in parts if c.measure is None and not any(r.codes for r in c.results)),
        blank=check.root in (None, "care") and check.told_by == "self",
    )
