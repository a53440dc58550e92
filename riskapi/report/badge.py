"""A badge to embed: three lines of facts as an SVG image. No score, no mark, no colour that judges."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any
from xml.sax.saxutils import escape

from riskapi.report import format as fmt
from riskapi.report.publication_texts import tell

WIDTH, HEIGHT = 340, 84
_SVG = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" viewBox="0 0 {width} {height}" '
    'role="img" aria-label="{label}"><title>{label}</title>'
    '<rect x="0.5" y="0.5" width="{inner}" height="{lower}" fill="#fff" stroke="#c3ccd7"/>'
    '<rect x="0" y="0" width="4" height="{height}" fill="#2f5f8f"/>'
    '<g font-family="system-ui, sans-serif" font-size="13" fill="#4d5967">'
    '<text x="16" y="26" font-size="14" font-weight="600" fill="#1f2a37">{head}</text>'
    '<text x="16" y="48">{who}</text><text x="16" y="68">{line}</text></g></svg>'
)


def badge_svg(said: dict[str, Any]) -> bytes:
    """The badge in the language spoken now; `said` is what the public is told."""
    facts = said["facts"]
    head = tell("badge_head", day=fmt.day(date.fromisoformat(facts["as_of"])))
    odometer = fmt.distance(facts["odometer_km"])
    who = tell("badge_who", who=tell(f"badge_{said['looked_by']}"), odometer=odometer)
    told = {"head": head, "who": who, "line": _line(said), "label": f"{head}. {who}. {_line(said)}"}
    safe = {name: escape(text, {'"': "&quot;"}) for name, text in told.items()}
    return _SVG.format(width=WIDTH, height=HEIGHT, inner=WIDTH - 1, lower=HEIGHT - 1, **safe).encode()


def _line(said: dict[str, Any]) -> str:
    if said["standing"] == "withdrawn":
        return tell("badge_withdrawn", day=fmt.day(datetime.fromisoformat(said["withdrawn_at"]).date()))
    if said["standing"] == "superseded" or said["newer_assessment_at"] is not None:
        return tell("badge_superseded")
    if said["age"]["stale"]:
        return tell("badge_stale")
    facts = said["facts"]
    found, left = (fmt.number(len(facts[name])) for name in ("stood_out", "not_looked_at"))
    return tell("badge_facts", found=found, left=left)
