"""Every sentence and word of the report, in English; the German table is in riskapi/report/german/texts.py.

Facts, not persons; 'surprise' for unplanned; no word that promises more than a calculation can.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from riskapi.report.german.texts import TEXTS as GERMAN
from riskapi.report.language import Texts
from riskapi.report.money_texts import MONEY_TEXTS
from riskapi.report.plan_texts import PLAN_TEXTS

TEXTS: Mapping[str, str] = MappingProxyType({
    # ---- the report as a whole
    "title": "Engine assessment",
    "subtitle": "A calculation from stated inputs, not an inspection of its own",
    "engine_generic": "an engine described by its features",
    "scope": (
        "This covers the engine only: not the gearbox, clutch, body, brakes, earlier accidents or finance. "
        "It is a calculation from stated inputs; what was neither stated nor looked at "
        "is in it as unknown, not as sound."
    ),
    "scope_brief": (
        "The engine only: not gearbox, clutch, body, brakes, earlier accidents or finance. What was neither stated nor "
        "looked at is in it as unknown, not as sound."
    ),
    "scope_foot": "the engine only",
    "scope_more": (
        "It describes the car as stated on {day} and covers {years} of ownership with {distance} a year. A maker's "
        "instructions, local rules and a licensed workshop come before anything said here."
    ),
    "made": "Knowledge {version} ({digest}), calculated on {created}. Assessment {id}.",
    # ---- headings
    "h_advice": "What to do, and why",
    "h_price": "Price",
    "h_reasons": "Three reasons",
    "h_reasons_fewer": "Reasons",
    "h_history": "Service history, as stated",
    "h_next": "Worth looking at next",
    "h_known": "How well this is known",
    "h_identity": "The engine, and how it was identified",
    "h_weak_points": "Weak points by expected cost",
    "h_in_words": "In words: the ones that matter most",
    "h_years": "What surprise repairs may cost, year by year",
    "h_findings": "What the findings changed",
    "h_uncovered": "Not checked, and not counted",
    "h_hazards": "Hazards and cautions",
    "h_planned": "Planned work falling due",
    "h_assumptions": "What was assumed",
    "h_sources": "Sources",
    "h_scope": "What this covers",
    # ---- advice
    "advice_do_not_drive": "Do not drive it.",
    "advice_repair_first": "Have it repaired before anything else.",
    "advice_look_closer": "Look closer before deciding.",
    "advice_price_it_in": "Only at a price that pays for the risk.",
    "advice_nothing_stands_out": "Nothing stands out.",
    "advice_no_verdict": "No verdict yet: {done} of {total} core checks.",
    "why_do_not_drive": (
        "{names}: this {hazards}. That comes before money. Have the car carried to a licensed workshop, and do not "
        "run the engine until the cause is found."
    ),
    "why_repair_first": (
        "What needs doing at once costs about {immediate} on average: let the seller have it done, with an invoice, or "
        "let the price pay for it. {heaviest}"
    ),
    "why_look_closer": "A look can still settle more. {heaviest}",
    "why_price_it_in": "{heaviest}",
    "why_nothing_stands_out": "Nothing that was found asks for work now. {heaviest}",
    "heaviest": "Of the expected cost, about {mean} in {years}, {share} lies here: {names}.",
    "heaviest_none": "No surprise cost is expected in {years}.",
    "why_no_verdict": "The open core checks can still change what follows.",
    # ---- the score and the cost
    "score": (
        "Of 100 cars like this {count} {need} more than {budget} for surprise repairs of the engine in {years} "
        "({band})."
    ),
    "need_one": "needs",
    "need_many": "need",
    "more": "{count} more",
    "band": "{range}: {known}",
    "band_point": "how far this may be off was not computed",
    "known_well": "a narrow range",
    "known_fairly": "a middling range",
    "known_thinly": "a wide range",
    "score_label": "Cars of 100 that need more than {budget}",
    "budget": "The repair budget of {budget}: {origin}.",
    "surprise": "No surprise {zero}, typical if any {typical}, 1 in 10 above {high}; {mean} on average.",
    "surprise_no_typical": "No surprise {zero}, 1 in 10 above {high}; {mean} on average.",
    "surprise_rare": "No surprise {zero}; {mean} on average, since what does happen can be dear.",
    "surprise_none": "No surprise repair is expected in {years}.",
    "immediate": "Of this, {mean} on average is needed at once (nothing at once: {zero}).",
    "after_work": "With this put right ({names}), {count} of 100 would still need more than that.",
    "shared": "Jobs that share the same dismantling save about {saving} on average; this is counted in the price only.",
    # ---- reasons
    "reason_cost": "{name}: worn or failed today in {today} of such cars, and {share} of the expected surprise cost.",
    "reason_state": "{name}: worn or failed today in {today} of such cars.",
    "reason_unseen": "{names}: no look can see this coming.",
    # ---- what to look at next
    "next_danger": "Nothing of this with the engine running, until the cause is found.",
    "next_decision": "{check} ({minutes}): worth about {value} to the decision.",
    "next_spread": "{check} ({minutes}): narrows what the engine may cost by about {value}.",
    "unseen": "No look can see these coming: {names}. Together {money} of the expected cost.",
    "unseen_none": "Every weak point of this engine can show before it fails.",
    "judgement": (
        "{share} of the lifetimes behind these numbers is judgement of the knowledge pack's authors, not measured data."
    ),
    "judgement_band": "The range {range} covers that doubt and nothing else.",
    "core_all": "All {total} core checks were done.",
    "core_done": "{done} of {total} core checks were done.",
    "core_said": "{done} of {total} core checks were done; of {said} it was said why not.",
    "core_open": "Core checks still open: {checks}.",
    # ---- identity
    "id_engine": "Engine",
    "id_how": "How established",
    "id_generic": "In no family of the knowledge pack. The answer is generic, from the stated features of the engine.",
    "id_candidates": "Revision",
    "id_candidate": "{name} ({chance})",
    "id_built": "Built",
    "id_registered": "First registered",
    "id_odometer": "Odometer",
    "id_vin": "Vehicle number",
    "id_vin_tail": "ends in {tail}",
    "id_erased": "identity removed",
    "id_plate": "Plate",
    "id_client": "Client",
    "id_seller": "Seller",
    "id_inspector": "Inspector",
    "id_commitment": "Commitment to the identity",
    "recalled": (
        "The knowledge behind this report was recalled and is no longer to be relied on: {reason} "
        "Ask for a new calculation."
    ),
    "id_reference": "Reference",
    "id_as_of": "Assessed as of",
    "id_code": "Engine code",
    "id_traits": "Stated features",
    "id_open_traits": "Features not stated",
    "id_open_trait_look": "{trait} ({looks} would tell)",
    "id_facts": "Facts to ask about",
    "id_settle": "What would settle it",
    "id_settle_check": "{check} ({minutes})",
    "id_settle_none": "no look that is left tells these revisions apart",
    "not_stated": "not stated",
    # ---- history
    "col_date": "Date",
    "col_odometer": "Odometer",
    "col_evidence": "Rests on",
    "history_none": "No service history was stated.",
    "quoted": "\u201c{text}\u201d",
    "work_oil_service": "oil service",
    "work_renewed": "renewed (weak point: {item})",
    "work_never_renewed": "never renewed (weak point: {item})",
    "work_engine_replaced": "another engine fitted: {item}",
    "work_checked": "a check",
    "work_reading": "odometer read",
    "work_failed": "failed and repaired (weak point: {item})",
    "work_other": "other work",
    "item_fitted": "{name}; fitted: {part}",
    "evidence_invoice": "an invoice",
    "evidence_stamp": "a stamp",
    "evidence_told": "word of mouth",
    "evidence_none": "nothing shown",
    # ---- weak points
    "col_weak_point": "Weak point",
    "col_today": "Worn or failed today",
    "col_period": "Fails in {years}",
    "col_cost": "Expected cost",
    "col_findings": "Findings speak for or against it",
    "weak_points_intro": (
        "Chances of 100 cars like this. Worn means it is on its way out and can be noticed; the expected cost is over "
        "{years}, counting only surprise repairs. {count} weak points apply to this engine."
    ),
    "wp_today": (
        "Of 100 cars like this it is worn in {degraded} and failed in {faulty} today "
        "(either, before the findings: {before})."
    ),
    "wp_period": "It fails in {count} within {years}; that is {money} on average.",
    "wp_means": "Worn means: {degraded} Failed means: {failed}",
    "wp_means_failed": "Failed means: {failed}",
    "wp_finding": "\u201c{check}: {result}\u201d {words}{repeat}.",
    "wp_repeat": " (though the other findings already tell most of this)",
    "wp_hazard": "If it goes, it {hazard}.",
    "wp_no_warning": "No look can see this coming.",
    "wp_short_warning": "It gives little warning.",
    "verdict_before": ", {before} before the findings",
    "verdict_expected": "Expect it worn or failed: {count} of 100 such cars{before}.",
    "verdict_may_well": "It may well be worn or failed: {count} of 100 such cars{before}.",
    "verdict_probably_not": "Probably sound: worn or failed in {count} of 100 such cars{before}.",
    "verdict_unlikely": "In all likelihood sound: worn or failed in {count} of 100 such cars{before}.",
    "verdict_findings": "{said}.",
    "verdict_finding": "\u201c{said}\u201d {words}",
    "verdict_later": "It fails in {count} of 100 while the car is owned.",
    "wp_no_finding": "No finding bears on it.",
    "total_none": "neither",
    "total_no_look": "no look can see this",
    # ---- weights of evidence
    "weight_none": "carries no weight here",
    "weight_for_little": "speaks a little for it",
    "weight_for_clear": "clearly speaks for it",
    "weight_for_strong": "speaks strongly for it",
    "weight_for_very_strong": "speaks very strongly for it",
    "weight_against_little": "speaks a little against it",
    "weight_against_clear": "clearly speaks against it",
    "weight_against_strong": "speaks strongly against it",
    "weight_against_very_strong": "speaks very strongly against it",
    "short_none": "no weight",
    "short_for_little": "a little for",
    "short_for_clear": "clearly for",
    "short_for_strong": "strongly for",
    "short_for_very_strong": "very strongly for",
    "short_against_little": "a little against",
    "short_against_clear": "clearly against",
    "short_against_strong": "strongly against",
    "short_against_very_strong": "very strongly against",
    # ---- years
    "years_axis": "after {year}",
    "years_axis_many": "years",
    "years_alt": "After {year}: average {mean}, middle car {median}, 1 in 10 above {high}.",
    "years_none": "No cost by year was computed.",
    "legend_column": "80 of 100 cars",
    "legend_middle": "middle car",
    "legend_mean": "average",
    # ---- findings
    "col_finding": "Finding",
    "col_meaning": "What it says",
    "findings_intro": "For: worn or failed is likelier than without this finding. Against: less likely.",
    "findings_none": "Nothing was looked at yet: all chances are those of the engine's age, distance and care.",
    "findings_quiet": "Looked at, without weight for any weak point: {checks}.",
    "finding_says": "{words}: {names}",
    "finding_others": "and {count} more",
    "reading": "{result} ({reading})",
    "reading_codes": "{result} (codes read: {reading})",
    "reading_cylinder": "{reading}; cylinder {numbers}",
    "reading_cylinders": "{reading}; cylinders {numbers}",
    "reading_threshold": "{reading}; called so {bounds}, {source}",
    "unit_of_highest": "% of the highest",
    "unit_pairs": "neighbouring pairs",
    "bounds_from": "from {lower} {unit}",
    "bounds_below": "below {upper} {unit}",
    "bounds_between": "from {lower} to below {upper} {unit}",
    "by_seller": "told by the seller",
    "by_papers": "from papers",
    # ---- coverage
    "col_check": "Check",
    "col_reason": "Why",
    "not_checked_intro": "Not checked is unknown, never sound. It says nothing about anybody.",
    "not_checked_none": "Nothing was stated as not checked.",
    "void_intro": "Done, but it does not count, because what it needs was not given:",
    "reason_refused": "was not agreed to",
    "reason_not_reachable": "not reachable",
    "reason_no_equipment": "equipment not at hand",
    "reason_no_time": "no time",
    "reason_unstated": "not stated",
    # ---- hazards
    "hazard_stalls": "can stop the engine while driving",
    "hazard_fire": "can start a fire",
    "hazard_brake_assistance": "can take away the help of the brake pedal",
    "hazard_burns": "can burn people at the open bonnet",
    "hazard_today": "{name}: if it fails it {hazard}. Worn or failed today in {count} of 100 such cars.",
    "hazard_rest": "Could endanger people too, but is worn or failed today in fewer than 1 of 100 such cars: {names}.",
    "caution_from": "{caution} ({origin})",
    "hazard_none": "No weak point of this engine is known to endanger people by itself.",
    "caution_first": (
        "The maker's instructions, local rules and a licensed workshop come first. Nothing here asks anyone to open "
        "a hot cooling system, loosen fuel lines or get under a car on a jack."
    ),
    # ---- planned
    "col_work": "Work",
    "col_times": "Times expected",
    "col_amount": "Amount",
    "planned_intro": "Falls due by its interval: no surprise, so not in the numbers above.",
    "planned_none": "No planned work falls due in {years}.",
    "planned_total": "Together",
    # ---- assumptions, sources
    "col_assumption": "Assumed",
    "col_source": "Source",
    "assumptions_none": "Nothing had to be assumed.",
    "kind_published": "published",
    "kind_standard": "standard",
    "kind_common_practice": "common practice, no source",
    "kind_judgement": "judgement",
    "kind_memory": "from memory",
    "sources_pack": "{note}",
    # ---- running foot
    "foot": "Assessment {id} \u00b7 {scope}",
    "page": "Page {page} of",
    "whole_report": "The whole report: {file}",
    "rows_more": "... and {count} more",
    **MONEY_TEXTS,
    **PLAN_TEXTS,
})  # fmt: skip

say = Texts(en=TEXTS, de=GERMAN)
