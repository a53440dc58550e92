"""Words of the sheets that are filled in by hand; the German table is in riskapi/report/german/clipboard_texts.py."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from riskapi.report.german.clipboard_texts import CLIPBOARD_TEXTS as GERMAN
from riskapi.report.language import Texts

CLIPBOARD_TEXTS: Mapping[str, str] = MappingProxyType({
    "title": "Checklist for the clipboard",
    "subtitle": "To be filled in by hand at the car",
    "h_head": "This visit",
    "link": "The same checklist on a phone, with the result while you answer:",
    "no_link": "No address of a service was given, so there is no code for a phone here.",
    "write_odometer": "Odometer",
    "write_vin_papers": "Number in the papers, last 4",
    "write_vin_body": "Number on the body, last 4",
    "write_day": "Day",
    "write_start": "Start",
    "write_end": "End",
    "write_outside": "Outside temperature",
    "write_light": "Light and weather",
    "write_by": "Looked at by",
    "how_to": (
        "Ring the word that fits; write measured values on the lines. What could not be looked at gets its reason: it "
        "then counts as unknown, not as sound. If time is short, begin with the checks of the 10-minute list."
    ),
    "beside_core": "core check",
    "beside_short": "10-minute list",
    "result": "Result",
    "measured": "Measured",
    "per_cylinder": "Measured, by cylinder",
    "codes": "Codes",
    "not_checked": "Not checked because",
    "yes": "yes",
    "no": "no",
    "agreed": "Agreed",
    "agreed_in_writing": "Agreed in writing: day, name, signature",
    "h_remarks": "Remarks, and what is not on this list",
    "remarks": "Remarks move no number.",
    "unseen": "No look can see these coming: {names}.",
    # ---- the telephone
    "call_title": "Before the visit, on the telephone",
    "call_subtitle": "What to ask for, what to ask, which papers there are",
    "h_call": "The call",
    "call_day": "Called on",
    "call_number": "Number",
    "call_visit": "Visit on, at",
    "call_where": "Where",
    "call_intro": "Write down what is said as it is said. What is told counts less than what is seen.",
    "call_foot": "On the telephone \u00b7 {scope}",
    "h_leave": "What to ask for",
    "agreed_yes": "agreed",
    "agreed_no": "not agreed",
    "h_questions": "To ask",
    "told": "Answer",
    "unknown": "not known",
    "invoice": "Invoice: {name}",
    "paper": "Paper",
    "sent": "sent",
    "shown_there": "to be seen at the car",
    "not_there": "there is none",
})  # fmt: skip

tell = Texts(en=CLIPBOARD_TEXTS, de=GERMAN)
