"""What the answers of a visit come to by now, as the piece of the page that shows it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from time import thread_time

from flask import Response

from riskapi.errors import CaseError, Fault, FindingsClash, RiskapiError, TooComplex
from riskapi.report.faults import faults_in_words
from riskapi.web.body import json_body
from riskapi.web.pages.routes import fragment, routes
from riskapi.web.pages.texts import tell
from riskapi.web.pages.words import bar_words, local_pack
from riskapi.web.preview import glance_of
from riskapi.web.state import state

_LINE = re.compile(r"/service_history/\d+")
_READING = re.compile(r"/service_history/\d+.*doubtful")
_POINTER = re.compile(r" \(/[a-z_/0-9]+\)")


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


def _lines(faults: Sequence[Fault]) -> list[tuple[str, str]]:
    """(what it is about, words) of each fault, once: findings that clash are each told the same. Nobody writes JSON on
    a page, so places are links and not words."""
    told = {_words(fault): _about(fault) for fault in reversed(faults_in_words(faults, state().pack))}
    return [(place, line) for line, place in reversed(told.items())]


def _words(fault: Fault) -> str:
    mend = tell("mend_reading") if _READING.search(f"{fault.place} {fault.mend}") else fault.mend
    return _POINTER.sub("", f"{fault.message} {mend}")


def _about(fault: Fault) -> str:
    """The place, or the first line of the papers that the words name where it lies elsewhere."""
    if fault.place.startswith(("/service_history/", "/findings/")):
        return fault.place
    named = _LINE.search(f"{fault.message} {fault.mend}")
    return fault.place if named is None else named[0]


def _kind(error: RiskapiError) -> str:
    if isinstance(error, FindingsClash):
        return "clash"
    return "complex" if isinstance(error, TooComplex) else "fault"
