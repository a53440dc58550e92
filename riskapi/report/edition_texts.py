"""Words of the editions of a report and of its pictures; in German: riskapi/report/german/edition_texts.py."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from riskapi.report.german.edition_texts import EDITION_TEXTS as GERMAN
from riskapi.report.language import Texts

EDITION_TEXTS: Mapping[str, str] = MappingProxyType({
    # ---- first page
    "highest_price": "Pay at most",
    "highest_price_so_far": "So far, at most",
    "price_danger": (
        "This price leaves everything until it fails. Putting right now what endangers people costs about {money} "
        "more over {years}: take that off too."
    ),
    "h_chances": "What to expect",
    "h_carries": "What carries most of the cost so far",
    "reason_today": "Worn or failed today in {count} of 100 such cars{before}.",
    "reason_before": " ({before} before the findings)",
    "reason_share": "It carries {money} of the expected cost, {share}.",
    "h_photos": "Pictures",
    "photo_gone": "picture not at hand",
    "price_small_lines": "{count} smaller lines together",
    "price_supported": "What the findings support",
    # ---- weak points
    "plane_across": "fails in so many of 100 cars in {years}",
    "plane_upward": "what it costs if it fails",
    "plane_words": (
        "Each dot is a weak point: farther right fails more often, farther up costs more when it does. Along a "
        "broken line the expected cost is the same. Names stand at the costliest; all figures are in the tables "
        "below."
    ),
    "plane_equal": "{amount} expected",
    "others": "The others in brief",
    "col_today_brief": "Today %",
    "col_fails_brief": "Fails %",
    "col_cost_brief": "{currency}",
    "others_intro": "Today: worn or failed. Fails: within {years}. {currency}: expected cost over that time.",
    "chance_revision": "{name}",
    "chance_care": "Oil services: {value}",
    "care_careful": "in time",
    "care_average": "sometimes late",
    "care_neglected": "signs of long intervals",
    "chance_tune": "Software tune, not told",
    "chance_trait": "{trait}: {value}",
    "col_open": "What is not settled",
    "col_chance": "Chance",
    # ---- cost by year, and what moves it
    "share_none": "no surprise: {count}",
    "share_within": "up to {budget}: {count}",
    "share_above": "above {budget}: {count}",
    "shares_intro": "Of 100 cars like this, surprise repairs in {years}:",
    "years_intro": (
        "Summed up from today to the end of each year. The fan holds 80 of 100 cars; the line is the middle car, "
        "the dot the average."
    ),
    "years_axis_today": "today",
    "h_moves": "What moves the expected cost",
    "moves_intro": (
        "One thing changed at a time, with everything else as it stands: between which amounts the average "
        "surprise cost then moves. A finding is changed to nobody having looked; a lifetime to one so short or so long "
        "that 1 in 16 may be beyond it."
    ),
    "moves_mean": "as it stands: {mean}",
    "moves_ends": "{low} \u2192 {high}",
    "moves_short": "short-lived",
    "moves_long": "long-lived",
    "moves_rest": "{count} more move it less.",
    # ---- what findings changed
    "shifts_intro": "What the strongest findings do, each by itself, to the weak point that they move most:",
    "shifts_before": "before the findings",
    "shifts_after": "with this finding alone",
    "shift_words": "{before} \u2192 {after} of 100",
    "finding_together": "{act}: {count} more results, all unremarkable",
    # ---- where fluids were seen
    "h_zones": "Where fluids were seen",
    "zones_caption": "Schematic, with both sides at once; no engine looks like this.",
    "zones_elsewhere": "Not on the drawing: {places}.",
    "zone_open": "not looked at",
    "zone_void": "looked at, does not count",
    "lie_arrow_longitudinal": "front of the car (engine lies along it)",
    "lie_arrow_transverse": "front of the car: towards you (engine lies across)",
    # ---- the inspector's edition
    "inspector_title": "Engine looked at",
    "inspector_subtitle": "What was seen on one day, and what follows from it by calculation",
    "h_order": "Commission",
    "order_client": "Client",
    "order_commission": "Commission",
    "order_inspector": "Looked at by",
    "order_day": "Day",
    "order_light": "Light",
    "order_weather": "Weather",
    "order_valid": (
        "This describes the engine as it was found on {day}. It is valid at this moment and for this client; any "
        "drive, repair or month after it can change it."
    ),
    "h_not_seen": "Refused, not reachable, not counted",
    "h_seen": "What was seen, in the order of the visit",
    "seen_intro": (
        "Each check with its result in its own words, the conditions it was done under, remarks and pictures."
    ),
    "seen_conditions": "Conditions: {conditions}",
    "held": "{name}: yes",
    "not_held": "{name}: no",
    "held_shown": "{name}: see \u201c{check}: {result}\u201d",
    "taken_as_held": "{name}: not stated, taken as given",
    "seen_by_seller": "Told by the seller, not seen",
    "seen_by_papers": "From papers, not seen",
    "seen_note": "Remark: {note}",
    "seen_also": "Further results of the same act, all unremarkable: {count}",
    "seen_void": "Does not count: {reason}",
    "h_signature": "Signature",
    "signature": (
        "The signature stands for the results above ({count}) that whoever signs saw on {day}, for the conditions "
        "and for what is listed as not checked. {told}It does not stand for advice, chances, costs or prices: these "
        "are calculated from what was stated and from a knowledge pack."
    ),
    "signature_told": "It does not stand for {count} that were told or read in papers. ",
    "sign_place": "Place and day",
    "sign_name": "Name",
    "sign_here": "Signature",
})  # fmt: skip

tell = Texts(en=EDITION_TEXTS, de=GERMAN)
