"""Words of the engine lists on a terminal, in every language."""

from __future__ import annotations

from riskapi.report.german.browse_texts import BROWSE_TEXTS as GERMAN
from riskapi.report.language import Texts

BROWSE_TEXTS = {
    # ---- families
    "col_family": "Family",
    "col_name": "Name",
    "col_generations": "Generations",
    "col_revisions": "Revisions",
    # ---- one family
    "col_revision": "Revision",
    "col_built": "Built",
    "col_codes": "Engine codes",
    "col_serials": "Serial numbers",
    "col_weak_points": "Weak points",
    "span": "{first} to {last}",
    "span_open": "from {first}, still built",
    "services": "Service, by the maker and in careful practice",
    "col_service": "Service",
    "col_every": "Every",
    "col_careful": "Careful practice",
    "col_tools": "Special tools",
    "or": "{first} or {second}",
    # ---- one revision
    "generic": "An engine described by its traits",
    "built": "built {span}",
    "code": "engine code {codes}",
    "serials": "serial numbers {span}",
    "standing": "At {distance} and {age} on {day}, built {built}.",
    "standing_nearest": (
        "At {distance} and {age} on {day}, built {built}, the day nearest to today on which this revision can be of "
        "that age."
    ),
    "unseen_yet": "Nothing has been looked at; care and tune are averaged.",
    "traits": "Traits",
    "none_stated": "none stated",
    "changed": "Changed from the revision before ({revision})",
    "weak_points": "Weak points, likeliest to fail first",
    "weak_points_note": (
        "Chances with nothing looked at: sound, degraded and faulty today; failing within {term}, faults of today "
        "included."
    ),
    "col_weak_point": "Weak point",
    "col_system": "System",
    "col_sound": "Sound [%]",
    "col_degraded": "Degraded [%]",
    "col_faulty": "Faulty [%]",
    "col_failing": "Failing [%]",
    "details": "Parts, looks and repairs",
    "fitted": "fitted at the works: {part}",
    "fitted_usual": "usual with these traits: {part}",
    "on_sale": "on sale from {day}: {part}",
    "no_warning": "gives no warning: no look can see it coming",
    "shown_by": "shown by: {checks}",
    "repairs": "repairs: {repairs}",
    "repair_tools": "{repair} ({tools})",
    "looks": "What to look at, most to be found first",
    "col_check": "Check",
    "col_look": "What to do",
    "col_minutes": "[min]",
    "col_shows": "Shows",
    "looks_more": "{names}, and {count} more",
    "unseen": "What no look can see",
    "unseen_none": "nothing: every weak point gives some warning",
    # ---- changes, two revisions
    "change_part": "{name}: {before} -> {after}",
    "change_trait": "{name}: {before} -> {after}",
    "not_stated": "not stated",
    "gained": "new weak point: {name}",
    "lost": "no longer there: {name}",
    "no_change": "nothing that the pack knows of",
    "against": "{first} against {second}",
    "standing_short": "{distance}, {age}, built {built}",
    "differs": "What differs, {first} -> {second}",
    "failing_within": "Chance of failing within {term}, faults of today included",
    "col_side": "{revision} [%]",
    "not_there": "not there",
    "alike": "Other weak points, which differ by less than half a per cent: {count}",
}

tell = Texts(en=BROWSE_TEXTS, de=GERMAN)
