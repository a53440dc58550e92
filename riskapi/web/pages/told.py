"""What a buyer reads about a weak point of an engine: what happens, how it shows, what it leads to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from riskapi.domain.browse import View, WeakPointView
from riskapi.domain.knowledge import Check, Pack
from riskapi.report import format as fmt
from riskapi.report.browse_texts import tell
from riskapi.report.texts import say

MOST_CHECKS = 3


@dataclass(frozen=True, slots=True)
class Point:
    """A weak point with its words; `checks` show it best, `repairs` are told with the special tools they need."""

    view: WeakPointView
    not_sound: float
    lines: tuple[str, ...]
    checks: tuple[Check, ...]
    repairs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Look:
    """A check with the names of the weak points that it shows, most to be found first."""

    check: Check
    shows: str


def points_of(view: View, pack: Pack) -> list[Point]:
    """Every weak point of a view, in its order."""
    return [_point(each, pack) for each in view.weak_points]


def looks_of(view: View, pack: Pack, most: int) -> list[Look]:
    """What to look at first."""
    return [Look(pack.check(each.check), _named(each.shows, pack)) for each in view.looks[:most]]


def _named(weak_points: tuple[str, ...], pack: Pack) -> str:
    names = tuple(pack.weak_point(name).name for name in weak_points[:MOST_CHECKS])
    more = len(weak_points) - len(names)
    return tell("looks_more", names=", ".join(names), count=fmt.number(more)) if more > 0 else fmt.listing(names)


def _point(view: WeakPointView, pack: Pack) -> Point:
    return Point(
        view=view,
        not_sound=min(1.0, view.state.degraded + view.state.faulty),
        lines=tuple(_lines(view)),
        checks=tuple(pack.check(each.check) for each in view.showings[:MOST_CHECKS]),
        repairs=tuple(_repair(view)),
    )


def _lines(view: WeakPointView) -> Iterator[str]:
    """What happens, how much warning there is, what it can do, and which part it is."""
    yield view.mechanism
    if view.hazard != "none":
        yield say("wp_hazard", hazard=say(f"hazard_{view.hazard}"))
    if view.warning in ("none", "short"):
        yield say(f"wp_{'no' if view.warning == 'none' else 'short'}_warning")
    fitted = view.fitted
    if fitted is None:
        return
    yield fmt.capital(tell("fitted" if fitted.by_family else "fitted_usual", part=fitted.name)) + "."
    for sale in fitted.on_sale:
        if sale.part != fitted.part:
            yield fmt.capital(tell("on_sale", day=fmt.day(sale.since), part=sale.name)) + "."
    if fitted.note:
        yield fitted.note


def _repair(view: WeakPointView) -> Iterator[str]:
    for repair in view.repairs:
        tools = fmt.listing(tuple(tool.name for tool in repair.special_tools))
        yield tell("repair_tools", repair=repair.name, tools=tools) if tools else repair.name
