"""The assessments of an account, newest first, and two of them side by side."""

from __future__ import annotations

from urllib.parse import urlencode

from flask import Response, request

from riskapi.report import format as fmt
from riskapi.report.texts import say
from riskapi.web.pages.kept import Kept, not_sound
from riskapi.web.pages.result import kept_of
from riskapi.web.pages.routes import page, redirect, routes
from riskapi.web.pages.texts import tell
from riskapi.web.pages.words import local_pack
from riskapi.web.state import state

PAGE = 20
ALIKE = 0.05  # share of the dearer car's cost below which two cars cost about the same


@routes.get("/assessments")
def assessments() -> Response:
    """A page of the account's assessments; with a reference those that carry it."""
    cursor, reference = request.args.get("cursor") or None, request.args.get("reference", "").strip() or None
    found = state().repository.page(PAGE + 1, cursor, reference)
    kept = [Kept.of(stored, local_pack()) for stored in found[:PAGE]]
    following = {"cursor": kept[-1].id} | ({"reference": reference} if reference else {}) if len(found) > PAGE else None
    older = None if following is None else f"/assessments?{urlencode(following)}"
    return page("list.html", items=kept, older=older, reference=reference or "", beside=_beside())


def _beside() -> Kept | None:
    """The car that another one is to be put beside."""
    chosen = request.args.get("beside")
    return kept_of(chosen) if chosen else None


@routes.get("/compare")
def compare() -> Response:
    """Two cars side by side; with one car only, the list to choose the other from."""
    chosen = list(dict.fromkeys(name for name in request.args.getlist("car") if name))
    if len(chosen) < 2:
        return redirect(f"/assessments?{urlencode({'beside': chosen[0]})}" if chosen else "/assessments")
    first, second = (kept_of(name) for name in chosen[:2])
    return page(
        "compare.html",
        pair=(first, second),
        rows=_rows((first, second)),
        said=_said(first, second),
        differs=(first.years, first.risk["repair_budget"]) != (second.years, second.risk["repair_budget"]),
    )


def _rows(pair: tuple[Kept, Kept]) -> list[tuple[str, list[str]]]:
    rows = [
        ("row_car", [kept.title for kept in pair]),
        ("row_advice", [kept.headline for kept in pair]),
        (
            "row_score",
            [_score(kept) for kept in pair],
        ),
        ("row_budget", [kept.exact(kept.risk["repair_budget"]) for kept in pair]),
        ("row_term", [fmt.years(kept.years) for kept in pair]),
        ("row_mean", [kept.money(kept.unplanned["mean"]) for kept in pair]),
        ("row_high", [kept.money(kept.unplanned["p90"]) for kept in pair]),
        ("row_planned", [kept.money(kept.planned["mean"]) for kept in pair]),
        ("row_together", [kept.money(_both(kept)) for kept in pair]),
        ("row_heaviest", [_heaviest(kept) for kept in pair]),
        ("row_price", [_amount(kept, kept.decision["price_for_findings"]) for kept in pair]),
        ("row_asking", [_amount(kept, kept.asking) for kept in pair]),
        ("row_core", [tell("core_counted", done=f"{kept.core[0]}", total=f"{kept.core[1]}") for kept in pair]),
    ]
    return [row for row in rows if any(cell != say("not_stated") for cell in row[1])]


def _score(kept: Kept) -> str:
    return f"{fmt.of_hundred(kept.risk['score'] / 100.0)} ({fmt.span(*kept.risk['band'])})"


def _heaviest(kept: Kept) -> str:
    point = kept.points[0]
    return f"{kept.point_name(point)} ({fmt.percent(not_sound(point))}, {kept.money(point['expected_cost'])})"


def _amount(kept: Kept, amount: float | None) -> str:
    return say("not_stated") if amount is None else kept.exact(amount)


def _both(kept: Kept) -> float:
    """Surprise repairs and planned work on average [money]."""
    return float(kept.unplanned["mean"] + kept.planned["mean"])


def _said(first: Kept, second: Kept) -> str:
    """Which car costs less to keep; empty where their currencies differ."""
    if first.currency != second.currency:
        return ""
    gap = _both(first) - _both(second)
    if abs(gap) <= ALIKE * max(_both(first), _both(second)):
        return tell("compare_even")
    cheaper = second if gap > 0 else first
    return tell("compare_dearer", name=cheaper.title, amount=cheaper.money(abs(gap)))
