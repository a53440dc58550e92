"""Why a kept assessment says what it says: the sentences of its report, made from the stored result."""

from __future__ import annotations

from typing import Any

from riskapi.errors import NotFound
from riskapi.report import format as fmt
from riskapi.report.edition_texts import tell
from riskapi.report.reasons_page import HEAVY, NEXT, TEN_MINUTES, THREE
from riskapi.report.texts import say
from riskapi.report.words import CLEAR, weight_words
from riskapi.web.pages.kept import Kept, not_sound

Json = dict[str, Any]


def why(kept: Kept) -> str:
    """The reason of the advice in a sentence or two."""
    if kept.danger:
        return _danger_words(kept)
    if kept.without_verdict:
        return say("why_no_verdict")
    immediate = kept.money(kept.result["cost"]["immediate"]["mean"])
    return say(f"why_{kept.decision['advice']}", immediate=immediate, heaviest=_heaviest(kept))


def _danger_words(kept: Kept) -> str:
    dangers = [point for point in kept.points if point["id"] in kept.decision["hazards"]]
    kinds = dict.fromkeys(say(f"hazard_{point['hazard']}") for point in dangers if point["hazard"] != "none")
    return say("why_do_not_drive", names=_names(kept, dangers), hazards=fmt.listing(tuple(kinds)))


def _heaviest(kept: Kept) -> str:
    """Which one or two weak points carry how much of the expected cost."""
    points, mean = kept.points[:2], kept.unplanned["mean"]
    if not points or mean <= 0.0:
        return say("heaviest_none", years=fmt.years(kept.years))
    if len(points) > 1 and points[1]["expected_cost"] < 0.5 * points[0]["expected_cost"]:
        points = points[:1]
    return say(
        "heaviest",
        mean=kept.money(mean),
        years=fmt.years(kept.years),
        share=fmt.percent(min(1.0, sum(point["expected_cost"] for point in points) / mean)),
        names=_names(kept, points),
    )


def _names(kept: Kept, points: list[Json]) -> str:
    """'Chain tensioner and coolant pump', 'a, b, c and 4 more'."""
    names = tuple(kept.point_name(point) for point in points[:THREE])
    rest = len(points) - len(names)
    return fmt.listing((*names, say("more", count=fmt.number(rest))) if rest else names)


def heading(kept: Kept, reasons: list[tuple[str, str]]) -> str:
    """What the reasons are reasons for."""
    if kept.without_verdict:
        return tell("h_carries")
    return say("h_reasons" if len(reasons) == THREE else "h_reasons_fewer")


def reasons(kept: Kept) -> list[tuple[str, str]]:
    """(what, why) of at most three reasons: what speaks for the engine where nothing stands out; else those of the
    decision, then what else carries cost, then what no look can see."""
    found = _relieved(kept) if kept.decision["advice"] == "nothing_stands_out" else []
    return found if len(found) == THREE else [*found, *_burdens(kept)][:THREE]


def _relieved(kept: Kept) -> list[tuple[str, str]]:
    """The weak points that findings speak against, by how much less they may cost for it."""
    found = sorted(((_relief(point), point) for point in kept.points), key=lambda pair: (-pair[0], pair[1]["id"]))
    return [_reason(kept, point, share=False) for relief, point in found[:THREE] if relief > 0.0]


def _relief(point: Json) -> float:
    """By how much the findings lowered what it may cost today [money]; 0 where none speaks clearly against it."""
    if point["failure_probability"] <= 0.0 or not any(each["decibans"] <= -CLEAR for each in point["evidence"]):
        return 0.0
    dear: float = point["expected_cost"] / point["failure_probability"]
    return dear * (not_sound(point, "prior") - not_sound(point))


def _burdens(kept: Kept) -> list[tuple[str, str]]:
    mean = kept.unplanned["mean"]
    heavy = [p["id"] for p in kept.points[:THREE] if mean > 0.0 and p["expected_cost"] >= HEAVY * mean]
    named = dict.fromkeys([*kept.decision["reason_weak_points"], *heavy])
    told = [_reason(kept, point, share=mean > 0.0) for point in kept.points if point["id"] in named]
    if kept.blind:
        told.append(("", say("reason_unseen", names=_names(kept, kept.blind))))
    return told


def _reason(kept: Kept, point: Json, *, share: bool) -> tuple[str, str]:
    count, before = fmt.of_hundred(not_sound(point)), fmt.of_hundred(not_sound(point, "prior"))
    told = [tell("reason_today", count=count, before="" if before == count else tell("reason_before", before=before))]
    if share:
        carried = fmt.percent(min(1.0, max(0.0, point["expected_cost"] / kept.unplanned["mean"])))
        told.append(tell("reason_share", money=kept.money(point["expected_cost"]), share=carried))
    told.append(_strongest(kept, point))
    return kept.point_name(point), " ".join(filter(None, told))


def _strongest(kept: Kept, point: Json) -> str:
    """The finding that weighs most on this weak point, if one speaks at least clearly."""
    told = [each for each in point["evidence"] if abs(each["decibans"]) >= CLEAR]
    if not told:
        return ""
    loudest = max(told, key=lambda each: (abs(each["decibans"]), each["check"]))
    check, result = kept.check_name(loudest["check"]), _result_name(kept, loudest)
    return say("wp_finding", check=check, result=result, words=weight_words(loudest["decibans"]), repeat="")


def _result_name(kept: Kept, evidence: Json) -> str:
    try:
        results = kept.pack.check(evidence["check"]).results
    except NotFound:
        return str(evidence["result"])
    return next((each.name for each in results if each.id == evidence["result"]), str(evidence["result"]))


def next_looks(kept: Kept) -> list[str]:
    """What is worth the next ten minutes."""
    looks = [each for each in kept.decision["next_checks"] if _worth_ten_minutes(kept, each)]
    return [
        say(
            "next_decision" if each["basis"] == "decision" else "next_spread",
            check=kept.check_name(each["check"]),
            minutes=fmt.minutes(each["minutes"] + each["set_up_minutes"]),
            value=kept.money(each["value_of_information"]),
        )
        for each in looks[:NEXT]
    ]


def _worth_ten_minutes(kept: Kept, look: Json) -> bool:
    try:
        part_of = kept.pack.check(look["check"]).part_of
    except NotFound:
        return False
    within = look["minutes"] + look["set_up_minutes"] <= TEN_MINUTES
    return bool(part_of is None and within and look["value_of_information"] > 0.0)
