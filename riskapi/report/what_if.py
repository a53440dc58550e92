"""The figures of a what-if as JSON and as text, beside those of the assessment."""

from __future__ import annotations

from typing import Any

from riskapi.domain.what_if import Figures
from riskapi.report import format as fmt
from riskapi.report.figures import Json, chance, money, rounded
from riskapi.report.grid import Head, grid
from riskapi.report.texts import say

SPREAD = ("mean", "p10", "p50", "p80", "p90")
YEAR = ("mean", "p10", "p50", "p90")


def figures_json(figures: Figures) -> Json:
    """Money to 0.01, chances to 6 digits. Raises ValueError when a figure is not a finite number."""
    spread = figures.unplanned
    return {
        "years": rounded("years", figures.years, 6),
        "annual_distance": rounded("annual_distance", figures.annual, 3),
        "repair_budget": money("repair_budget", figures.repair_budget),
        "score": rounded("score", figures.score, 2),
        "unplanned": {name: money(name, getattr(spread, name)) for name in SPREAD}
        | {"p_zero": chance("p_zero", spread.p_zero)},
        "planned_mean": money("planned_mean", figures.planned_mean),
        "by_year": [
            {"year": rounded("year", item.year, 3)} | {name: money(name, getattr(item, name)) for name in YEAR}
            for item in figures.by_year
        ],
        "price_for_findings": _optional("price_for_findings", figures.price_for_findings),
        "cautious_price": _optional("cautious_price", figures.cautious_price),
        "net_benefit": _optional("net_benefit", figures.net_benefit),
        "advice": figures.advice,
    }


def _optional(place: str, value: float | None) -> float | None:
    return None if value is None else money(place, value)


def stored_json(result: dict[str, Any], years: float, annual: float, asking_price: float | None) -> Json:
    """The same figures of a kept result; terms and asking price are those of its case."""
    cost, decision = result["cost"], result["decision"]
    price = decision["price_for_findings"]
    gain = None if price is None or asking_price is None else money("net_benefit", price - asking_price)
    return {
        "years": rounded("years", years, 6),
        "annual_distance": rounded("annual_distance", annual, 3),
        "repair_budget": result["risk"]["repair_budget"],
        "score": result["risk"]["score"],
        "unplanned": {name: cost["unplanned"][name] for name in (*SPREAD, "p_zero")},
        "planned_mean": cost["planned"]["mean"],
        "by_year": cost["by_year"],
        "price_for_findings": price,
        "cautious_price": decision["cautious_price"],
        "net_benefit": gain,
        "advice": decision["advice"],
    }


def both_json(before: Figures, after: Figures, currency: str) -> Json:
    """The figures as the case stands, and with the changes."""
    return {"currency": currency, "as_it_stands": figures_json(before), "what_if": figures_json(after)}


def what_if_text(before: Figures, after: Figures, currency: str) -> str:
    """Two columns for a terminal: as the case stands, and with the changes."""
    heads = (Head(""), Head(say("what_if_before"), right=True), Head(say("what_if_after"), right=True))
    pairs = zip(_told(before, currency), _told(after, currency), strict=True)
    lines = grid(heads, [(say(key), one, other) for (key, one), (_, other) in pairs])
    sides = (("what_if_before", before), ("what_if_after", after))
    notes = (f"{say(key)}: {say(f'advice_{side.advice}')}" for key, side in sides)
    return "\n".join([*lines, "", *notes]) + "\n"


def _told(figures: Figures, currency: str) -> list[tuple[str, str]]:
    def amount(value: float | None) -> str:
        return say("what_if_none") if value is None else fmt.money_exact(value, currency)

    spread = figures.unplanned
    return [
        ("what_if_years", fmt.years(figures.years)),
        ("what_if_annual", fmt.distance(figures.annual)),
        ("what_if_budget", amount(figures.repair_budget)),
        ("what_if_score", fmt.number(figures.score, 1)),
        ("what_if_mean", amount(spread.mean)),
        ("what_if_p50", amount(spread.p50)),
        ("what_if_p80", amount(spread.p80)),
        ("what_if_p90", amount(spread.p90)),
        ("what_if_planned", amount(figures.planned_mean)),
        ("price_findings", amount(figures.price_for_findings)),
        ("price_cautious", amount(figures.cautious_price)),
        ("what_if_gain", amount(figures.net_benefit)),
    ]
