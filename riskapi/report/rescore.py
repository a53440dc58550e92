"""What newer knowledge says, beside what was said before: from two kept results, as JSON and as text."""

from __future__ import annotations

from typing import Any

from riskapi.report import format as fmt
from riskapi.report.figures import Json
from riskapi.report.grid import Head, grid
from riskapi.report.texts import say

SPREAD = ("mean", "p10", "p50", "p80", "p90", "p_zero")


def rescored_json(before: dict[str, Any], after: dict[str, Any]) -> Json:
    """Both sides, from the results of the two versions."""
    return {"currency": after["cost"]["currency"], "before": _side(before), "after": _side(after)}


def _side(result: dict[str, Any]) -> dict[str, Any]:
    decision = result["decision"]
    return {
        "assessment_id": result["assessment_id"],
        "created_at": result["created_at"],
        "knowledge": {name: result["knowledge"][name] for name in ("version", "digest")},
        "repair_budget": result["risk"]["repair_budget"],
        "score": result["risk"]["score"],
        "band": result["risk"]["band"],
        "unplanned": {name: result["cost"]["unplanned"][name] for name in SPREAD},
        "planned_mean": result["cost"]["planned"]["mean"],
        "price_for_findings": decision["price_for_findings"],
        "cautious_price": decision["cautious_price"],
        "advice": decision["advice"],
    }


def rescored_text(before: dict[str, Any], after: dict[str, Any]) -> str:
    """Two columns for a terminal: as it was assessed, and with the newer knowledge."""
    sides = [_told(before), _told(after)]
    rows = [(say(key), one, sides[1][key]) for key, one in sides[0].items()]
    heads = (Head(""), Head(say("rescore_before"), right=True), Head(say("rescore_after"), right=True))
    return "\n".join(grid(heads, rows)) + "\n"


def _told(result: dict[str, Any]) -> dict[str, str]:
    side, currency = _side(result), result["cost"]["currency"]

    def amount(value: float | None) -> str:
        return say("what_if_none") if value is None else fmt.money_exact(value, currency)

    return {
        "rescore_id": side["assessment_id"],
        "rescore_knowledge": side["knowledge"]["version"],
        "what_if_score": fmt.number(side["score"], 1),
        "what_if_budget": amount(side["repair_budget"]),
        "what_if_mean": amount(side["unplanned"]["mean"]),
        "what_if_p50": amount(side["unplanned"]["p50"]),
        "what_if_p80": amount(side["unplanned"]["p80"]),
        "what_if_p90": amount(side["unplanned"]["p90"]),
        "what_if_planned": amount(side["planned_mean"]),
        "price_findings": amount(side["price_for_findings"]),
        "price_cautious": amount(side["cautious_price"]),
        "rescore_advice": say(f"advice_{side['advice']}"),
    }
