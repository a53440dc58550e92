"""What moves the expected cost most, as JSON and in words."""

from __future__ import annotations

import textwrap

from riskapi.domain.knowledge import Pack
from riskapi.domain.sensitivity import Bar, Sensitivity, Side
from riskapi.report import format as fmt
from riskapi.report.figures import Json, money, rounded
from riskapi.report.screen import hued, strong, text_width
from riskapi.report.texts import say
from riskapi.report.words import check_name, result_name

UNITS = {"annual_distance": "km", "years": "years", "parts_index": "x"}
TOLD = 15  # bars in the text
STEPS = 24  # characters of the longest bar


def sensitivity_json(found: Sensitivity, pack: Pack, currency: str) -> Json:
    """Money to 0.01; every end of a bar with its value, in `unit` where it is a number, and in words."""
    return {
        "currency": currency,
        "mean": money("mean", found.mean),
        "bars": [_bar(bar, pack, currency) for bar in found.bars],
    }


def _bar(bar: Bar, pack: Pack, currency: str) -> Json:
    return {
        "kind": bar.kind,
        "what": bar.what,
        "id": bar.id,
        "name": name_of(bar, pack),
        "unit": _unit(bar, currency),
        "low": _side(bar, bar.low, pack, currency),
        "high": _side(bar, bar.high, pack, currency),
        "width": money("width", bar.width),
    }


def _side(bar: Bar, side: Side, pack: Pack, currency: str) -> Json:
    value = rounded("value", side.value, 6) if isinstance(side.value, float) else side.value or None
    return {"value": value, "words": side_words(bar, side, pack, currency), "cost": money("cost", side.cost)}


def _unit(bar: Bar, currency: str) -> str | None:
    return f"{currency}/h" if bar.what == "labour_rate" else UNITS.get(bar.what)


def name_of(bar: Bar, pack: Pack) -> str:
    """What was varied: a check, a weak point's lifetime, or an assumption."""
    if bar.what == "left_out":
        return check_name(pack, bar.id)
    if bar.what == "lifetime":
        return say("moves_lifetime", name=pack.weak_point(bar.id).name)
    return say(f"moves_{bar.what}")


def side_words(bar: Bar, side: Side, pack: Pack, currency: str) -> str:
    """One end of a bar in words, with its unit."""
    if isinstance(side.value, float):
        return _number_words(bar, side.value, currency)
    if bar.what == "left_out":
        return result_name(pack, bar.id, side.value) if side.value else say("moves_left_out")
    if bar.what == "revision":
        known = [r.name for family in pack.families for r in family.revisions if r.id == side.value]
        return known[0] if known else say("engine_generic")
    return say(f"moves_{bar.what}_{side.value}")


def _number_words(bar: Bar, value: float, currency: str) -> str:
    if bar.what == "annual_distance":
        return fmt.distance(value, step=50)
    if bar.what == "years":
        return fmt.years(value)
    if bar.what == "labour_rate":
        return f"{fmt.number(value, 0 if value == round(value) else 2)} {currency}/h"
    return fmt.percent_of(value)


def sensitivity_text(found: Sensitivity, pack: Pack, currency: str) -> str:
    """The widest bars for a terminal, drawn around the mean."""
    lines = [*textwrap.wrap(say("moves_intro", mean=fmt.money(found.mean, currency)), text_width()), ""]
    steps = min(STEPS, (text_width() - 3) // 2)
    shown = found.bars[:TOLD]
    widest = max((max(found.mean - bar.low.cost, bar.high.cost - found.mean) for bar in shown), default=0.0)
    for bar in shown:
        left, right = (
            round(steps * max(part, 0.0) / max(widest, 1e-9))
            for part in (found.mean - bar.low.cost, bar.high.cost - found.mean)
        )
        drawn = f"{'=' * left:>{steps}}|{'=' * right}"
        low, high = (fmt.money(side.cost, currency) for side in (bar.low, bar.high))
        lines.append(strong(name_of(bar, pack)))
        ends = " / ".join(
            f"{cost} ({side_words(bar, side, pack, currency)})" for cost, side in ((low, bar.low), (high, bar.high))
        )
        lines += [f"  {hued(drawn)}", *textwrap.wrap(ends, text_width(), initial_indent="  ", subsequent_indent="    ")]
    if len(found.bars) > TOLD:
        lines += ["", say("moves_more", count=fmt.number(len(found.bars) - TOLD))]
    return "\n".join(lines) + "\n"
