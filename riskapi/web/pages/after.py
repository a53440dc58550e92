"""After the purchase: first service, what to watch, what to tell the workshop, and what happened since."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime
from typing import Any

from flask import Response

from riskapi.desk import again
from riskapi.domain.outcome import BOUGHT, FOUND_STATES, TELLERS
from riskapi.errors import Outdated
from riskapi.report import format as fmt
from riskapi.report.language import DEFAULT, spoken
from riskapi.report.plan_pages import months_words, round_distance
from riskapi.report.texts import say
from riskapi.report.translate import in_words
from riskapi.report.workshop import workshop_lines
from riskapi.storage.outcomes import Outcomes
from riskapi.web.pages.kept import Kept
from riskapi.web.pages.routes import page, routes
from riskapi.web.pages.words import local_pack
from riskapi.web.state import state

Json = dict[str, Any]
EARLIEST = 10  # looks of the watch list that are shown; all are in the calendar file


@routes.get("/assessments/<string:identifier>/after")
def after(identifier: str) -> Response:
    """What comes after buying this car."""
    stored = state().repository.get(identifier)
    kept = Kept.of(stored, local_pack())
    told = kept.result["after_purchase"] or {"first_service": [], "workshop": []}
    watch = kept.decision["repair_plan"]["watch"] or []
    return page(
        "after.html",
        kept=kept,
        services=[(_service_name(kept, each), when_words(each), why_words(each)) for each in told["first_service"]],
        watch=[_watch(kept, each) for each in sorted(watch, key=lambda each: str(each["date"]))[:EARLIEST]],
        more=max(0, len(watch) - EARLIEST),
        workshop=_workshop(identifier, told["workshop"]),
        told=[_told_on(each.content) for each in _outcomes().of(identifier)],
        tellers=TELLERS,
        bought=BOUGHT,
        states=FOUND_STATES,
        today=datetime.now(UTC).date().isoformat(),
    )


def _outcomes() -> Outcomes:
    repository = state().repository
    return Outcomes(repository.engine, repository.account_id)


def _told_on(content: bytes) -> str:
    return fmt.day(date.fromisoformat(json.loads(content)["told_on"]))


def _workshop(identifier: str, kept: list[str]) -> list[str]:
    """What to tell the workshop: as it was kept, or in the reader's language where it can be computed again."""
    if spoken() == DEFAULT:
        return kept
    try:
        found = again(state(), state().repository.get(identifier))
        return list(workshop_lines(in_words(found.assessment, found.pack)))
    except Outdated:
        return kept


def _service_name(kept: Kept, item: Json) -> str:
    """A service, or a look of the watch list, by the pack's name."""
    named = {check.id: check.name for check in kept.pack.checks}
    return named.get(item["id"]) or str(item["name"])


def when_words(item: Json) -> str:
    """'now', '2 May 2027 or 151,000 km'."""
    if item["when"] == "now":
        return say("service_now")
    if item["date"] is None or item["odometer_km"] is None:
        return say("service_later")
    on = fmt.day(date.fromisoformat(item["date"]))
    return say("service_due", day=on, distance=round_distance(item["odometer_km"]))


def why_words(item: Json) -> str:
    """Why it is due then."""
    if item["why"] not in ("overdue", "interval"):
        return say(f"service_why_{item['why']}")
    if item["last"] is None:
        return say(f"service_why_{item['why']}_new")
    return say(f"service_why_{item['why']}", last=fmt.day(date.fromisoformat(item["last"])))


def _watch(kept: Kept, item: Json) -> tuple[str, str, str, str]:
    """The look, what for, when first, and then."""
    first = say(
        "watch_first", day=fmt.day(date.fromisoformat(item["date"])), distance=round_distance(item["odometer_km"])
    )
    at_once = item["date"] <= kept.case["as_of"]
    then = say("watch_then", months=months_words(item["every_months"]), distance=fmt.distance(item["every_km"]))
    point = {"id": item["weak_point"], "name": item["name"]}
    return kept.check_name(item["check"]), kept.point_name(point), say("watch_now") if at_once else first, then
