"""The checklist of one visit as a page: worked out for the car in the query, in the order of the visit.

Answers never come here: they stay in the browser until they are sent as one case. So the page is the same for everybody
who has its address, and a browser can keep it for a yard without signal.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from urllib.parse import urlencode

from flask import Response, request

from riskapi import service
from riskapi.domain.case import NOT_CHECKED, Case
from riskapi.domain.checklist import Checklist, Look
from riskapi.domain.knowledge import Check, Family, Measure, Pack, SetUp, Traits
from riskapi.errors import CaseError
from riskapi.intake import canonical, read_case
from riskapi.intake.findings_sense import cylinder_count, measure_of, reads_codes
from riskapi.report import checklist_checks
from riskapi.report.translate import in_words
from riskapi.web.pages import form, papers
from riskapi.web.pages.routes import page, redirect, routes
from riskapi.web.pages.start import start_page
from riskapi.web.pages.words import local_pack
from riskapi.web.state import state

USUAL_CYLINDERS = 4


@dataclass(frozen=True, slots=True)
class Stop:
    """One act of the visit as it is shown. `at`: minutes into the visit when it begins, among all of its tier;
    `blank`: whether 'nothing found' for its whole group answers it; `conditions`: (id, name, why, check that shows it).
    """

    check: Check
    tier: str
    minutes: float
    why: str
    limits: str
    cautions: tuple[str, ...]
    measure: Measure | None
    codes: bool
    conditions: tuple[tuple[str, str, str, str | None], ...]
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
        family=_named_family(case, local_pack()),
        cylinders=cylinder_count(_engines(case, pack)) or USUAL_CYLINDERS,
        systems=papers.systems_of(local_pack(), _engines(case, pack), _named_family(case, local_pack())),
        first_works=papers.FIRST_WORKS,
        more_works=papers.MORE_WORKS,
        fitted=papers.FITTED,
        shown_by=papers.SHOWN_BY,
    )


def _named_family(case: Case, pack: Pack) -> Family | None:
    name = case.vehicle.engine.family
    return None if name is None else pack.family(name)


def _engines(case: Case, pack: Pack) -> list[Traits]:
    """What the engine can be: its traits, or those of every revision of its family."""
    family = _named_family(case, pack)
    return [case.vehicle.engine.traits] if family is None else [revision.traits for revision in family.revisions]


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
        conditions=tuple((name, words[name].name, words[name].if_not, words[name].shown_by) for name in check.needs),
        parts=tuple(c for c in parts if c.measure is None and not any(r.codes for r in c.results)),
        blank=check.root in (None, "care") and check.told_by == "self",
    )
