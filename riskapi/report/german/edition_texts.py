"""The German words of the editions of a report and of its pictures."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

EDITION_TEXTS: Mapping[str, str] = MappingProxyType({
    # ---- first page
    "highest_price": "Höchstens zahlen",
    "highest_price_so_far": "Bisher höchstens",
    "price_danger": (
        "Dieser Preis lässt alles laufen, bis es ausfällt. Jetzt in Ordnung zu bringen, was Menschen gefährdet, kostet "
        "über {years} etwa {money} mehr: Ziehen Sie auch das ab."
    ),
    "h_chances": "Womit zu rechnen ist",
    "h_carries": "Was bisher die meisten Kosten trägt",
    "reason_today": "Heute verschlissen oder defekt bei {count} von 100 solchen Autos{before}.",
    "reason_before": " (vor den Befunden: {before})",
    "reason_share": "Darauf entfallen {money} der erwarteten Kosten, {share}.",
    "h_photos": "Bilder",
    "photo_gone": "Bild nicht zur Hand",
    "price_small_lines": "{count} kleinere Posten zusammen",
    "price_supported": "Was die Befunde tragen",
    # ---- weak points
    "plane_across": "fällt über {years} bei so vielen von 100 Autos aus",
    "plane_upward": "was ein Ausfall kostet",
    "plane_words": (
        "Jeder Punkt ist eine Schwachstelle: weiter rechts fällt sie häufiger aus, weiter oben kostet es dann "
        "mehr. Entlang einer gestrichelten Linie sind die erwarteten Kosten gleich. Benannt sind die teuersten; "
        "alle Zahlen stehen in den Tabellen darunter."
    ),
    "plane_equal": "{amount} erwartet",
    "others": "Die übrigen in Kürze",
    "col_today_brief": "Heute %",
    "col_fails_brief": "Ausfall %",
    "col_cost_brief": "{currency}",
    "others_intro": (
        "Heute: verschlissen oder defekt. Ausfall: über {years}. {currency}: erwartete Kosten über diese Zeit."
    ),
    "chance_revision": "{name}",
    "chance_care": "Ölwechsel: {value}",
    "care_careful": "pünktlich",
    "care_average": "manchmal spät",
    "care_neglected": "Anzeichen langer Abstände",
    "chance_tune": "Leistungssteigerung, nicht genannt",
    "chance_trait": "{trait}: {value}",
    "col_open": "Was offen ist",
    "col_chance": "Wie wahrscheinlich",
    # ---- cost by year, and what moves it
    "share_none": "keine Überraschung: {count}",
    "share_within": "bis {budget}: {count}",
    "share_above": "über {budget}: {count}",
    "shares_intro": "Von 100 Autos wie diesem, unerwartete Reparaturen über {years}:",
    "years_intro": (
        "Aufsummiert von heute bis zum Ende jedes Jahres. Der Fächer umfasst 80 von 100 Autos; die Linie ist das "
        "mittlere Auto, der Punkt der Durchschnitt."
    ),
    "years_axis_today": "heute",
    "h_moves": "Was die erwarteten Kosten bewegt",
    "moves_intro": (
        "Immer nur eines geändert, alles andere bleibt: zwischen welchen Beträgen sich die unerwarteten Kosten im "
        "Durchschnitt dann bewegen. Statt eines Befundes: als hätte niemand hingesehen; statt einer Lebensdauer: eine "
        "so kurze oder lange, dass 1 von 16 darüber hinausgehen kann."
    ),
    "moves_mean": "wie es steht: {mean}",
    "moves_ends": "{low} \u2192 {high}",
    "moves_short": "kurzlebig",
    "moves_long": "langlebig",
    "moves_rest": "{count} weitere bewegen sie weniger.",
    # ---- what findings changed
    "shifts_intro": (
        "Was die stärksten Befunde, jeder für sich, an der Schwachstelle ändern, die sie am meisten bewegen:"
    ),
    "shifts_before": "vor den Befunden",
    "shifts_after": "allein mit diesem Befund",
    "shift_words": "{before} \u2192 {after} von 100",
    "finding_together": "{act}: {count} weitere Ergebnisse, alle unauffällig",
    # ---- where fluids were seen
    "h_zones": "Wo Flüssigkeiten zu sehen waren",
    "zones_caption": "Schematisch, beide Seiten zugleich; kein Motor sieht so aus.",
    "zones_elsewhere": "Nicht auf der Zeichnung: {places}.",
    "zone_open": "nicht angesehen",
    "zone_void": "angesehen, zählt nicht",
    "lie_arrow_longitudinal": "vorn am Auto (der Motor liegt längs)",
    "lie_arrow_transverse": "vorn am Auto: zum Betrachter hin (der Motor liegt quer)",
    # ---- the inspector's edition
    "inspector_title": "Motor, angesehen",
    "inspector_subtitle": "Was an einem Tag zu sehen war, und was daraus rechnerisch folgt",
    "h_order": "Auftrag",
    "order_client": "Auftraggeber",
    "order_commission": "Auftrag",
    "order_inspector": "Angesehen von",
    "order_day": "Tag",
    "order_light": "Licht",
    "order_weather": "Wetter",
    "order_valid": (
        "Dies beschreibt den Motor, wie er am {day} vorgefunden wurde. Es gilt für diesen Augenblick und für "
        "diesen Auftraggeber; jede Fahrt, jede Reparatur und jeder Monat danach kann es ändern."
    ),
    "h_not_seen": "Abgelehnt, nicht erreichbar, nicht gezählt",
    "h_seen": "Was zu sehen war, in der Reihenfolge des Termins",
    "seen_intro": (
        "Jede Prüfung mit ihrem Ergebnis in eigenen Worten, den Bedingungen, unter denen sie geschah, Bemerkungen "
        "und Bildern."
    ),
    "seen_conditions": "Bedingungen: {conditions}",
    "held": "{name}: ja",
    "not_held": "{name}: nein",
    "held_shown": "{name}: siehe \u201e{check}: {result}\u201c",
    "taken_as_held": "{name}: nicht angegeben, als gegeben genommen",
    "seen_by_seller": "Vom Verkäufer gesagt, nicht gesehen",
    "seen_by_papers": "Aus Papieren, nicht gesehen",
    "seen_note": "Bemerkung: {note}",
    "seen_also": "Weitere Ergebnisse derselben Handlung, alle unauffällig: {count}",
    "seen_void": "Zählt nicht: {reason}",
    "h_signature": "Unterschrift",
    "signature": (
        "Die Unterschrift steht für die Ergebnisse oben ({count}), die am {day} selbst gesehen wurden, für die "
        "Bedingungen und für das, was als nicht geprüft aufgeführt ist. {told}Sie steht nicht für Rat, "
        "Wahrscheinlichkeiten, Kosten oder Preise: Diese sind aus den Angaben und aus einem Wissenspaket "
        "berechnet."
    ),
    "signature_told": "Sie steht nicht für {count}, die gesagt oder aus Papieren gelesen wurden. ",
    "sign_place": "Ort und Tag",
    "sign_name": "Name",
    "sign_here": "Unterschrift",
})  # fmt: skip
