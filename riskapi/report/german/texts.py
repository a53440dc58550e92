"""The German texts of the report: facts, not persons; no word that promises more than a calculation can.

Written so that every inserted count, distance and span of years can stand as it is: after words that take the
nominative or the accusative ("über 3 Jahre"), never "in 3 Jahren".
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from riskapi.report.german.money_texts import MONEY_TEXTS
from riskapi.report.german.plan_texts import PLAN_TEXTS

TEXTS: Mapping[str, str] = MappingProxyType({
    # ---- the report as a whole
    "title": "Motorbeurteilung",
    "subtitle": "Eine Rechnung aus den gemachten Angaben, selbst keine Besichtigung",
    "engine_generic": "ein nach seinen Merkmalen beschriebener Motor",
    "scope": (
        "Dies gilt nur für den Motor: nicht für Getriebe, Kupplung, Karosserie, Bremsen, frühere Unfälle oder "
        "Finanzierung. Es ist eine Rechnung aus den gemachten Angaben; was weder angegeben noch angesehen wurde, geht "
        "als unbekannt ein, nicht als in Ordnung."
    ),
    "scope_brief": (
        "Nur der Motor: nicht Getriebe, Kupplung, Karosserie, Bremsen, frühere Unfälle oder Finanzierung. Was weder "
        "angegeben noch angesehen wurde, geht als unbekannt ein, nicht als in Ordnung."
    ),
    "scope_foot": "nur der Motor",
    "scope_more": (
        "Beschrieben ist das Auto, wie es am {day} angegeben wurde, für {years} Besitz bei {distance} im Jahr. "
        "Herstellervorgaben, örtliche Vorschriften und eine Fachwerkstatt gehen allem vor, was hier steht."
    ),
    "made": "Wissen {version} ({digest}), berechnet am {created}. Beurteilung {id}.",
    # ---- headings
    "h_advice": "Was zu tun ist, und warum",
    "h_price": "Preis",
    "h_reasons": "Drei Gründe",
    "h_reasons_fewer": "Gründe",
    "h_history": "Wartungsgeschichte, wie angegeben",
    "h_next": "Was sich als Nächstes anzusehen lohnt",
    "h_known": "Wie gut das bekannt ist",
    "h_identity": "Der Motor, und wie er bestimmt wurde",
    "h_weak_points": "Schwachstellen nach erwarteten Kosten",
    "h_in_words": "In Worten: die wichtigsten",
    "h_years": "Was unerwartete Reparaturen kosten können, Jahr für Jahr",
    "h_findings": "Was die Befunde geändert haben",
    "h_uncovered": "Nicht geprüft oder nicht gezählt",
    "h_hazards": "Gefahren und Vorsicht",
    "h_planned": "Planbare Arbeiten, die fällig werden",
    "h_assumptions": "Was angenommen wurde",
    "h_sources": "Quellen",
    "h_scope": "Wofür dies gilt",
    # ---- advice
    "advice_do_not_drive": "Fahren Sie nicht damit.",
    "advice_repair_first": "Zuerst muss es repariert werden.",
    "advice_look_closer": "Sehen Sie genauer hin, bevor Sie entscheiden.",
    "advice_price_it_in": "Nur zu einem Preis, der das Risiko bezahlt.",
    "advice_nothing_stands_out": "Es fällt nichts auf.",
    "advice_no_verdict": "Noch kein Urteil: {done} von {total} Kernprüfungen.",
    "why_do_not_drive": (
        "{names}: Das {hazards}. Das geht vor Geld. Lassen Sie das Auto in eine Fachwerkstatt bringen, und lassen Sie "
        "den Motor nicht laufen, bis die Ursache gefunden ist."
    ),
    "why_repair_first": (
        "Was sofort gemacht werden muss, kostet im Mittel etwa {immediate}: Lassen Sie es den Verkäufer machen, mit "
        "Rechnung, oder lassen Sie den Preis dafür aufkommen. {heaviest}"
    ),
    "why_look_closer": "Ein weiterer Blick kann noch etwas klären. {heaviest}",
    "why_price_it_in": "{heaviest}",
    "why_nothing_stands_out": "Nichts, was gefunden wurde, verlangt jetzt Arbeit. {heaviest}",
    "heaviest": "Von den erwarteten Kosten, etwa {mean} über {years}, entfallen {share} hierauf: {names}.",
    "heaviest_none": "Über {years} werden keine unerwarteten Kosten erwartet.",
    "why_no_verdict": "Die offenen Kernprüfungen können noch ändern, was folgt.",
    # ---- the score and the cost
    "score": (
        "Von 100 Autos wie diesem {need} {count} über {years} mehr als {budget} für unerwartete Reparaturen am Motor "
        "({band})."
    ),
    "need_one": "braucht",
    "need_many": "brauchen",
    "more": "{count} weitere",
    "band": "{range}: {known}",
    "band_point": "wie weit das danebenliegen kann, wurde nicht berechnet",
    "known_well": "eine enge Spanne",
    "known_fairly": "eine mittlere Spanne",
    "known_thinly": "eine weite Spanne",
    "score_label": "Autos von 100, die mehr als {budget} brauchen",
    "budget": "Das Reparaturbudget von {budget}: {origin}.",
    "surprise": "Ohne Überraschung {zero}, sonst typisch {typical}, 1 von 10 über {high}; im Mittel {mean}.",
    "surprise_no_typical": "Ohne Überraschung {zero}, 1 von 10 über {high}; im Mittel {mean}.",
    "surprise_rare": "Ohne Überraschung {zero}; im Mittel {mean}, denn was doch geschieht, kann teuer sein.",
    "surprise_none": "Über {years} wird keine unerwartete Reparatur erwartet.",
    "immediate": "Davon werden im Mittel {mean} sofort gebraucht (sofort nichts: {zero}).",
    "after_work": "Ist das behoben ({names}), brauchten noch {count} von 100 mehr als das.",
    "shared": (
        "Arbeiten mit gemeinsamer Demontage sparen im Mittel etwa {saving}; das ist nur im Preis berücksichtigt."
    ),
    # ---- reasons
    "reason_cost": (
        "{name}: heute verschlissen oder defekt bei {today} solcher Autos, und {share} der erwarteten "
        "Reparaturkosten."
    ),
    "reason_state": "{name}: heute verschlissen oder defekt bei {today} solcher Autos.",
    "reason_unseen": "{names}: Kein Blick kann das kommen sehen.",
    # ---- what to look at next
    "next_danger": "Nichts davon bei laufendem Motor, bis die Ursache gefunden ist.",
    "next_decision": "{check} ({minutes}): für die Entscheidung etwa {value} wert.",
    "next_spread": "{check} ({minutes}): grenzt die möglichen Kosten des Motors um etwa {value} ein.",
    "unseen": "Das kann kein Blick kommen sehen: {names}. Zusammen {money} der erwarteten Kosten.",
    "unseen_none": "Jede Schwachstelle dieses Motors kann sich zeigen, bevor sie ausfällt.",
    "judgement": (
        "{share} der Lebensdauern hinter diesen Zahlen sind Einschätzung der Verfasser des Wissenspakets, keine "
        "gemessenen Daten."
    ),
    "judgement_band": "Die Spanne {range} umfasst diesen Zweifel und nichts anderes.",
    "core_all": "Alle {total} Kernprüfungen wurden gemacht.",
    "core_done": "{done} von {total} Kernprüfungen wurden gemacht.",
    "core_said": "{done} von {total} Kernprüfungen wurden gemacht; bei {said} wurde gesagt, warum nicht.",
    "core_open": "Noch offene Kernprüfungen: {checks}.",
    # ---- identity
    "id_engine": "Motor",
    "id_how": "Wie bestimmt",
    "id_generic": (
        "Gehört zu keiner Familie des Wissenspakets. Die Antwort ist allgemein, aus den angegebenen Merkmalen des "
        "Motors."
    ),
    "id_candidates": "Baustand",
    "id_candidate": "{name} ({chance})",
    "id_built": "Gebaut",
    "id_registered": "Erstzulassung",
    "id_odometer": "Kilometerstand",
    "id_vin": "Fahrzeugnummer",
    "id_vin_tail": "endet auf {tail}",
    "id_erased": "Angaben zur Person und zum Fahrzeug entfernt",
    "id_plate": "Kennzeichen",
    "id_client": "Auftraggeber",
    "id_seller": "Verkäufer",
    "id_inspector": "Prüfer",
    "id_commitment": "Prüfsumme der Angaben zur Person und zum Fahrzeug",
    "recalled": (
        "Das Wissen hinter diesem Bericht wurde zurückgerufen; verlassen Sie sich nicht mehr darauf: {reason} "
        "Lassen Sie neu rechnen."
    ),
    "id_reference": "Zeichen",
    "id_as_of": "Stand der Beurteilung",
    "id_code": "Motorcode",
    "id_traits": "Angegebene Merkmale",
    "id_open_traits": "Nicht angegebene Merkmale",
    "id_open_trait_look": "{trait} (das zeigt: {looks})",
    "id_facts": "Wonach zu fragen ist",
    "id_settle": "Was Klarheit schafft",
    "id_settle_check": "{check} ({minutes})",
    "id_settle_none": "keine der übrigen Prüfungen unterscheidet diese Baustände",
    "not_stated": "nicht angegeben",
    # ---- history
    "col_date": "Datum",
    "col_odometer": "Tachostand",
    "col_evidence": "Belegt durch",
    "history_none": "Es wurde keine Wartungsgeschichte angegeben.",
    "quoted": "\u201e{text}\u201c",
    "work_oil_service": "Ölwechsel",
    "work_renewed": "erneuert (Schwachstelle: {item})",
    "work_never_renewed": "nie erneuert (Schwachstelle: {item})",
    "work_engine_replaced": "anderer Motor eingebaut: {item}",
    "work_checked": "eine Prüfung",
    "work_reading": "Kilometerstand abgelesen",
    "work_failed": "ausgefallen und repariert (Schwachstelle: {item})",
    "work_other": "andere Arbeiten",
    "item_fitted": "{name}; eingebaut: {part}",
    "evidence_invoice": "eine Rechnung",
    "evidence_stamp": "einen Stempel",
    "evidence_told": "mündliche Angabe",
    "evidence_none": "nichts Vorgelegtes",
    # ---- weak points
    "col_weak_point": "Schwachstelle",
    "col_today": "Heute verschlissen oder defekt",
    "col_period": "Fällt aus ({years})",
    "col_cost": "Erwartete Kosten",
    "col_findings": "Befunde sprechen dafür oder dagegen",
    "weak_points_intro": (
        "Anteile von 100 Autos wie diesem. Verschlissen heißt: auf dem Weg zum Ausfall und zu bemerken; die erwarteten "
        "Kosten gelten über {years} und zählen nur unerwartete Reparaturen. Für diesen Motor gibt es {count} "
        "Schwachstellen."
    ),
    "wp_today": (
        "Von 100 Autos wie diesem heute verschlissen: {degraded}, defekt: {faulty} (eines von beiden vor den Befunden: "
        "{before})."
    ),
    "wp_period": "Fällt über {years} bei {count} von 100 aus; das sind im Mittel {money}.",
    "wp_means": "Verschlissen heißt: {degraded} Defekt heißt: {failed}",
    "wp_means_failed": "Defekt heißt: {failed}",
    "wp_finding": "\u201e{check}: {result}\u201c {words}{repeat}.",
    "wp_repeat": " (wobei die anderen Befunde das meiste davon schon sagen)",
    "wp_hazard": "Ein Ausfall {hazard}.",
    "wp_no_warning": "Kein Blick kann das kommen sehen.",
    "wp_short_warning": "Es kündigt sich kaum an.",
    "verdict_before": ", vor den Befunden {before}",
    "verdict_expected": (
        "Rechnen Sie damit, dass es verschlissen oder defekt ist: bei {count} von 100 solchen Autos{before}."
    ),
    "verdict_may_well": "Es kann gut verschlissen oder defekt sein: bei {count} von 100 solchen Autos{before}.",
    "verdict_probably_not": "Wohl in Ordnung: verschlissen oder defekt bei {count} von 100 solchen Autos{before}.",
    "verdict_unlikely": (
        "Aller Wahrscheinlichkeit nach in Ordnung: verschlissen oder defekt bei {count} von 100 solchen Autos{before}."
    ),
    "verdict_findings": "{said}.",
    "verdict_finding": "\u201e{said}\u201c {words}",
    "verdict_later": "Fällt während des Besitzes bei {count} von 100 aus.",
    "wp_no_finding": "Kein Befund sagt etwas darüber.",
    "total_none": "weder noch",
    "total_no_look": "kein Blick kann das sehen",
    # ---- weights of evidence
    "weight_none": "hat hier kein Gewicht",
    "weight_for_little": "spricht ein wenig dafür",
    "weight_for_clear": "spricht deutlich dafür",
    "weight_for_strong": "spricht stark dafür",
    "weight_for_very_strong": "spricht sehr stark dafür",
    "weight_against_little": "spricht ein wenig dagegen",
    "weight_against_clear": "spricht deutlich dagegen",
    "weight_against_strong": "spricht stark dagegen",
    "weight_against_very_strong": "spricht sehr stark dagegen",
    "short_none": "ohne Gewicht",
    "short_for_little": "ein wenig dafür",
    "short_for_clear": "deutlich dafür",
    "short_for_strong": "stark dafür",
    "short_for_very_strong": "sehr stark dafür",
    "short_against_little": "ein wenig dagegen",
    "short_against_clear": "deutlich dagegen",
    "short_against_strong": "stark dagegen",
    "short_against_very_strong": "sehr stark dagegen",
    # ---- years
    "years_axis": "{year}",
    "years_axis_many": "Jahre",
    "years_alt": "Bis {year} nach dem Kauf: im Mittel {mean}, mittleres Auto {median}, 1 von 10 über {high}.",
    "years_none": "Kosten nach Jahren wurden nicht berechnet.",
    "legend_column": "80 von 100 Autos",
    "legend_middle": "mittleres Auto",
    "legend_mean": "Mittel",
    # ---- findings
    "col_finding": "Befund",
    "col_meaning": "Was er sagt",
    "findings_intro": (
        "Dafür: Verschleiß oder Defekt ist wahrscheinlicher als ohne diesen Befund. Dagegen: weniger wahrscheinlich."
    ),
    "findings_none": (
        "Noch wurde nichts angesehen: Alle Anteile folgen aus Alter, Fahrstrecke und Pflege des Motors."
    ),
    "findings_quiet": "Angesehen, ohne Gewicht für eine Schwachstelle: {checks}.",
    "finding_says": "{words}: {names}",
    "finding_others": "und {count} weitere",
    "reading": "{result} ({reading})",
    "reading_codes": "{result} (gelesene Codes: {reading})",
    "reading_cylinder": "{reading}; Zylinder {numbers}",
    "reading_cylinders": "{reading}; Zylinder {numbers}",
    "reading_threshold": "{reading}; heißt so {bounds}, {source}",
    "unit_of_highest": "% des höchsten",
    "unit_pairs": "benachbarten Paaren",
    "bounds_from": "ab {lower} {unit}",
    "bounds_below": "unter {upper} {unit}",
    "bounds_between": "ab {lower} bis unter {upper} {unit}",
    "by_seller": "vom Verkäufer gesagt",
    "by_papers": "aus Papieren",
    # ---- coverage
    "col_check": "Prüfung",
    "col_reason": "Warum",
    "not_checked_intro": "Nicht geprüft heißt unbekannt, nie in Ordnung. Es sagt nichts über irgendjemanden.",
    "not_checked_none": "Nichts wurde als nicht geprüft angegeben.",
    "void_intro": "Gemacht, zählt aber nicht, weil die Voraussetzung fehlte:",
    "reason_refused": "wurde nicht erlaubt",
    "reason_not_reachable": "nicht erreichbar",
    "reason_no_equipment": "Gerät nicht zur Hand",
    "reason_no_time": "keine Zeit",
    "reason_unstated": "nicht angegeben",
    # ---- hazards
    "hazard_stalls": "kann den Motor während der Fahrt ausgehen lassen",
    "hazard_fire": "kann einen Brand auslösen",
    "hazard_brake_assistance": "kann die Bremskraftunterstützung nehmen",
    "hazard_burns": "kann an der offenen Motorhaube zu Verbrennungen führen",
    "hazard_today": (
        "{name}: Ein Ausfall {hazard}. Heute verschlissen oder defekt bei {count} von 100 solchen Autos."
    ),
    "hazard_rest": (
        "Könnte ebenfalls Menschen gefährden, ist heute aber bei weniger als 1 von 100 solchen Autos verschlissen oder "
        "defekt: {names}."
    ),
    "caution_from": "{caution} ({origin})",
    "hazard_none": "Von keiner Schwachstelle dieses Motors ist bekannt, dass sie für sich allein Menschen gefährdet.",
    "caution_first": (
        "Herstellervorgaben, örtliche Vorschriften und eine Fachwerkstatt gehen vor. Nichts hier verlangt, ein heißes "
        "Kühlsystem zu öffnen, Kraftstoffleitungen zu lösen oder sich unter ein nur vom Wagenheber gehaltenes Auto zu "
        "legen."
    ),
    # ---- planned
    "col_work": "Arbeit",
    "col_times": "Erwartete Male",
    "col_amount": "Betrag",
    "planned_intro": "Wird nach Intervall fällig: keine Überraschung, daher nicht in den Zahlen oben.",
    "planned_none": "Über {years} wird keine planbare Arbeit fällig.",
    "planned_total": "Zusammen",
    # ---- assumptions, sources
    "col_assumption": "Angenommen",
    "col_source": "Quelle",
    "assumptions_none": "Nichts musste angenommen werden.",
    "kind_published": "veröffentlicht",
    "kind_standard": "Norm",
    "kind_common_practice": "gängige Praxis, ohne Quelle",
    "kind_judgement": "Einschätzung",
    "kind_memory": "aus dem Gedächtnis",
    "sources_pack": "{note}",
    # ---- running foot
    "foot": "Beurteilung {id} \u00b7 {scope}",
    "page": "Seite {page} von",
    "whole_report": "Der ganze Bericht: {file}",
    "rows_more": "... und {count} weitere",
    **MONEY_TEXTS,
    **PLAN_TEXTS,
})  # fmt: skip
