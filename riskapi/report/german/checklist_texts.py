"""The German texts of the checklist."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

CHECKLIST_TEXTS: Mapping[str, str] = MappingProxyType({
    "title": "Prüfliste für einen Blick auf den Motor",
    "subtitle": "Was sich anzusehen lohnt, berechnet aus den gemachten Angaben; keine Besichtigung",
    "foot": "Prüfliste \u00b7 {scope}",
    # ---- headings
    "h_visit": "Dieser Termin",
    "h_ask": "Vor der Fahrt: fragen",
    "h_papers": "Papiere, die Sie sehen sollten",
    "h_bring": "Was Sie mitbringen",
    "h_list": "Die Liste, in der Reihenfolge des Termins",
    "h_checks": "Prüfung für Prüfung",
    "h_unseen": "Was kein Blick sehen kann",
    "h_left_out": "Durch diese Grenzen ausgelassen",
    "h_cautions": "Vorsicht",
    "h_facts": "Wonach zu fragen ist",
    "h_assumptions": "Was angenommen wurde",
    "h_scope": "Wofür dies gilt",
    # ---- this visit
    "engine": "Motor",
    "revision": "Baustand",
    "odometer": "Kilometerstand",
    "place": "Ort",
    "time": "Zeit",
    "no_time": "so lange, wie es dauert",
    "equipment": "Ausrüstung",
    "equipment_none": "keine",
    "equipment_generic_scan_tool": "ein allgemeines Diagnosegerät",
    "equipment_maker_scan_tool": "ein Diagnosegerät auf Herstellerebene",
    "equipment_workshop": "eine Werkstatt",
    "consent": "Einwilligung",
    "consent_none": "keine: nur, was ohne zu fragen geht",
    "consent_ask": "mündlich, am Auto",
    "consent_written": "schriftlich, auch für Abdeckungen",
    "cost": (
        "Unerwartete Reparaturen an einem solchen Motor kosten über {years} im Mittel {cost}, solange nichts angesehen "
        "ist."
    ),
    "cost_after": (
        "Unerwartete Reparaturen an diesem Motor kosten über {years} im Mittel {cost}, mit dem, was bisher befunden "
        "wurde."
    ),
    "tier_ten_minutes": "Mit {limit}",
    "tier_forty_five_minutes": "Mit {limit}",
    "tier_workshop": "In der Werkstatt",
    "tier_whole_visit": "Mit aller Zeit, die da ist",
    "tier": (
        "{tier}: {acts} ({minutes}{cost}). Zusammen bewegen sie die erwarteten Kosten um etwa {value} nach oben oder "
        "unten{decision}. {best}"
    ),
    "acts_one": "{count} Prüfung",
    "acts_many": "{count} Prüfungen",
    "tier_none": "{tier}: Nichts, was diese Grenzen erlauben, lohnt sich.",
    "tier_price": ", {price} in der Werkstatt",
    "tier_decision": " und sind für die Entscheidung mindestens {value} wert",
    "best_exact": "Keine andere Auswahl innerhalb der Grenzen sagt mehr.",
    "best_greedy": "Eine andere Auswahl innerhalb der Grenzen könnte höchstens {more} mehr sagen.",
    "knowable": "Alles, was diese Grenzen erlauben, würde sie ohne Rücksicht auf die Zeit um etwa {value} bewegen.",
    "core": (
        "{done} der {total} Kernprüfungen stehen auf dieser Liste; ein Urteil braucht alle, oder den Grund, warum "
        "nicht."
    ),
    # ---- asking, papers, things
    "ask_intro": "Fragen Sie am Telefon oder schriftlich, bevor jemand zum Auto fährt.",
    "ask_checks": (
        "Bei diesem Motor sagen diese Antworten am meisten. Was gesagt wird, zählt weniger als was gesehen wird."
    ),
    "papers_intro": "Was auf Papier gezeigt wird, zählt; was nur gesagt wird, zählt wenig.",
    "invoices_intro": "Rechnungen, auf die es bei diesem Motor ankommt, die teuerste Schwachstelle zuerst:",
    "invoice_better": (
        "Ab Werk eingebaut: {fitted}. Später im Handel: {supplies}. Eine Rechnung mit Datum und Teilenummer sagt, was "
        "eingebaut ist."
    ),
    "invoice_supply": "{part}, ab {since}",
    "invoice_planned": "Intervall {interval}: {fitted}. Die Rechnung sagt, wann es zuletzt gemacht wurde.",
    "invoice_or": "{distance} oder {years}, je nachdem, was zuerst eintritt",
    # ---- the list
    "col_place": "Nr.",
    "col_check": "Prüfung",
    "col_minutes": "Minuten",
    "col_when": "Ab",
    "col_worth": "Wert",
    "set_up_first": "Zuerst {name} ({minutes})",
    "core_mark": "{name} (Kern)",
    "level_ten_minutes": "10 Minuten",
    "level_forty_five_minutes": "45 Minuten",
    "level_workshop": "Werkstatt",
    "level_whole_visit": "ganzer Termin",
    "worth_spread": (
        "Wert sagt, wie weit das, was diese Prüfung sagt, die erwarteten Kosten für sich allein nach oben oder unten "
        "bewegt."
    ),
    "worth_decision": (
        "Wert ist, was diese Prüfung für sich allein der Entscheidung bringt, zum verlangten Preis zu kaufen."
    ),
    # ---- one check
    "one": "{place}. {name}",
    "one_minutes": "Zeit",
    "one_minutes_set_up": "{minutes}, nach: {set_up} ({set_up_minutes})",
    "one_minutes_in": "{minutes}, mit: {set_up}",
    "one_price": "{minutes}; eine Werkstatt nimmt etwa {price}",
    "one_how": "Wie",
    "one_why": "Warum an diesem Auto",
    "why_weak_point": "{name} (verschlissen oder defekt bei {count} von 100 solchen Autos)",
    "why_care": "wie die Ölwechsel eingehalten wurden",
    "why_revision": "welcher Baustand es ist",
    "why_proof": "andere Prüfungen zählen nur bei: {condition}",
    "why_none": "was das Wissenspaket nicht beim Namen kennt",
    "one_results": "Aufschreiben",
    "one_results_of": "{name}: {results}",
    "one_thresholds": "Grenzen",
    "below": "{result} unter {bound}",
    "between": "{result} von {low} bis {high}",
    "above": "{result} ab {bound}",
    "thresholds": "{limits} ({source})",
    "reduce_value": "",
    "reduce_lowest": "der niedrigste Wert zählt: ",
    "reduce_highest": "der höchste Wert zählt: ",
    "reduce_lowest_share": "der niedrigste Zylinder gegen den höchsten: ",
    "reduce_low_neighbours": "benachbarte Paare unter {floor} des höchsten: ",
    "one_needs": "Zählt nur bei",
    "one_consent": "Einwilligung",
    "needs_ask": "vorher fragen",
    "needs_written": "vorher schriftlich",
    "one_also": "Dabei auch beantwortet",
    "also_more": "und {count} weitere",
    "one_cautions": "Vorsicht",
    # ---- the rest
    "unseen_intro": (
        "Diese kündigen sich nicht an. Ein Termin ohne jeden Befund senkt ihre Wahrscheinlichkeit kaum."
    ),
    "unseen_item": "Fällt über {years} bei {count} von 100 solchen Autos aus, im Mittel {cost}. {failed}{hazard}",
    "unseen_hazard": " Ein Ausfall {hazard}.",
    "unseen_none": (
        "Jede Schwachstelle dieses Motors mit nennenswerter Wahrscheinlichkeit kann sich zeigen, bevor sie ausfällt."
    ),
    "left_out_intro": "Lohnt sich, wenn sich die Grenzen verschieben lassen:",
    "left_out_none": "Nichts Nennenswertes wurde ausgelassen.",
    "col_reason": "Braucht",
    "reason_time": "mehr Zeit",
    "reason_equipment": "{equipment}",
    "reason_consent": "schriftliche Einwilligung",
    "reason_consent_ask": "Einwilligung",
    "source_line": "Bitten, Papiere und Mitzubringendes: {citation}.",
    "nothing": "Es bleibt nichts, was diese Grenzen erlauben und was sich lohnt.",
})  # fmt: skip
