"""What a publication says of one thing it shows, for the page and for the sheet alike."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from riskapi.report import format as fmt
from riskapi.report.publication_texts import tell

Facts = dict[str, Any]


def found_words(item: Facts) -> str:
    """'Oil level: low (told by the seller)', with what was read."""
    said = f"{item['name']}: {item['result']}" + (f" ({item['reading']})" if item["reading"] else "")
    return f"{said} ({item['told_by']})" if item["told_by"] else said


def quiet_words(facts: Facts) -> str:
    """How many looks found nothing; that nothing stood out is said only where somebody looked."""
    quiet = fmt.number(len(facts["nothing_stood_out"]))
    if not facts["nothing_stood_out"]:
        return "" if facts["stood_out"] else tell("none_looked")
    return tell("quiet_besides" if facts["stood_out"] else "quiet_only", count=quiet)


def unsaid(facts: Facts) -> list[str]:
    """The checks of which nothing is said."""
    return [item["name"] for item in facts["not_looked_at"] if not item["reason"]]


def unsaid_words(facts: Facts) -> str:
    """The same in one sentence; '' without any."""
    return tell("unstated", names="; ".join(unsaid(facts))) if unsaid(facts) else ""


def vin_words(facts: Facts) -> str:
    """What is shown of the VIN."""
    if facts["vin_tail"]:
        return tell("vin_tail", tail=facts["vin_tail"])
    return tell("vin_erased" if facts["vin_erased"] else "vin_none")


def carrying_words(item: Facts) -> str:
    """Why a weak point still carries risk: no look sees it, or which looks nobody took."""
    if item["no_look_can_see"]:
        return tell("blind")
    return tell("looks_left", looks=", ".join(item["not_looked_at"])) if item["not_looked_at"] else ""


def dropped_words(item: Facts) -> str:
    """What an earlier assessment found."""
    told = {"name": item["name"], "result": item["result"], "number": str(item["number"]), "now": item["now"]}
    return tell("dropped", day=fmt.day(datetime.fromisoformat(item["made_at"]).date()), **told)
