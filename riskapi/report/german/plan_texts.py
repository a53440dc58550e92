"""The German texts about the repair plan, the watch list, the first service and a dealer's work before the sale."""

from __future__ import annotations

from collections.abc import Mapping

PLAN_TEXTS: Mapping[str, str] = {
    # ---- headings
    "h_plan": "Was beim Kauf in Ordnung zu bringen ist",
    "h_watch": "Was Sie lassen und beobachten können",
    "h_after": "Nach dem Kauf",
    "h_before_sale": "Arbeiten vor dem Verkauf",
    # ---- what to put right
    "plan_none": (
        "Nichts muss sofort in Ordnung gebracht werden, und nichts vorzeitig Behobenes zahlt sich über {years} aus: Es "
        "würde weniger sparen, als es kostet."
    ),
    "plan_why_danger": "Bleibt nie so, weil Menschen zu Schaden kommen können: {names}.",
    "plan_why_faulty": "Eher defekt als nicht: {names}.",
    "plan_why_saves": "Spart mehr, als es kostet, wenn es zusammen mit dem Übrigen gemacht wird: {names}.",
    "plan_why_saves_alone": "Spart mehr, als es kostet: {names}.",
    "plan_together": (
        "Zusammen im Mittel etwa {cost}; {apart}, wenn jede Arbeit ihre Demontage selbst zahlte. Jeder Schritt unten "
        "wird einmal bezahlt."
    ),
    "plan_alone": "Im Mittel etwa {cost}.",
    "plan_saving": "Über {years} spart das etwa {money} gegenüber dem Reparieren nur dessen, was ausfällt.",
    "plan_costs": (
        "Über {years} kostet das etwa {money} mehr, als nur zu reparieren, was ausfällt: Das ist der Preis dafür, "
        "nicht zu lassen, was man nicht lassen kann."
    ),
    "plan_even": "Über {years} kostet das so viel, wie nur zu reparieren, was ausfällt.",
    "plan_score": (
        "Danach brauchen von 100 Autos wie diesem {count} über {years} mehr als {budget} für unerwartete Reparaturen."
    ),
    "plan_dearer_another_engine": (
        "Ein anderer Motor würde weniger kosten als diese Arbeit; lassen Sie sich beide Preise nennen."
    ),
    "plan_dearer_write_off": "Das Auto ist ohne seinen Restwert weniger wert als diese Arbeit.",
    "col_plan_for": "Für",
    "col_plan_hours": "Stunden",
    "plan_times": "{name}, {times}-mal",
    "plan_if": "{name} (bei {chance} solcher Motoren)",
    "plan_access": "Demontage: {name}",
    "plan_as_found": "Falls sich ein Teil als schon defekt erweist (mehr oder weniger Arbeit, im Mittel)",
    "plan_total": "Zusammen, mit Steuer",
    "plan_total_no_tax": "Zusammen, ohne Steuer",
    # ---- what to watch
    "watch_intro": (
        "Die Prüfungen liegen eine halbe Vorwarnzeit vor dem Punkt, an dem 1 von 50 solchen Autos ausgefallen wäre, "
        "und danach jede halbe Vorwarnzeit, nach Datum oder Strecke, je nachdem, was zuerst eintritt. Aufgeführt ist, "
        "was über {years} bei mindestens 1 von 20 solchen Autos ausfällt, und was Menschen gefährden kann, schon ab 1 "
        "von 50."
    ),
    "watch_none": "Nichts, was bleibt, fällt über {years} oft genug aus, um eine eigene Prüfung zu brauchen.",
    "watch_more": "{count} weitere folgen später; alle stehen in der Kalenderdatei.",
    "watch_unseen": "Keine Prüfung zeigt rechtzeitig: {names}.",
    "col_watch_look": "Prüfung",
    "col_watch_first": "Zuerst",
    "col_watch_then": "Abstand danach",
    "watch_now": "bei der ersten Wartung",
    "watch_first": "{day} oder {distance}",
    "watch_then": "{months} oder {distance}",
    "months_one": "1 Monat",
    "months_many": "{months} Monate",
    # ---- after the purchase
    "after_list": "Liste für die erste Wartung",
    "after_workshop": "Was Sie der Werkstatt sagen",
    "after_questions": "Schreiben Sie auf ({days})",
    "col_when": "Wann",
    "col_because": "Weil",
    "service_now": "jetzt",
    "service_due": "{day} oder {distance}",
    "service_later": "nach der Besitzdauer",
    "service_why_plan": "gehört zu den Arbeiten beim Kauf",
    "service_why_overdue": "überfällig seit dem letzten Beleg ({last})",
    "service_why_overdue_new": "überfällig",
    "service_why_interval": "ein Intervall nach: {last}",
    "service_why_interval_new": "das erste Intervall ab Neuzustand",
    "service_why_no_paper": "kein Beleg zeigt, wann es zuletzt gemacht wurde",
    "service_why_ask": ("kein Beleg zeigt, wann es erneuert wurde: Fragen Sie, oder lassen Sie das Alter beurteilen"),
    "service_why_usual": "volle Intervalle ab Neuzustand, wenn kein Beleg anderes sagt",
    "service_why_watch": "eine Prüfung der Beobachtungsliste, die sofort fällig ist",
    "workshop_do": "Bitte zusammen machen, damit die Demontage nur einmal anfällt: {names}.",
    "workshop_if": "{name} (falls dieser Motor das hat)",
    "workshop_which": "Stellen Sie vor jedem Öffnen fest, was davon es ist: {names}.",
    "workshop_confirm": (
        "Bestätigen Sie vor dem Öffnen, dass es das ist: {name} (verschlissen oder defekt bei {count} von 100 solchen "
        "Autos)."
    ),
    "workshop_estimate": (
        "Hier gerechnet: etwa {hours} Stunden, {cost} mit Steuer. Lassen Sie sich vorher einen schriftlichen "
        "Kostenvoranschlag geben."
    ),
    "workshop_tools": "Braucht Spezialwerkzeug; fragen Sie, ob es vorhanden ist: {names}.",
    "workshop_one_use": "Nur einmal verwendbar und dabei zu erneuern: {names}.",
    "workshop_old_parts": "Lassen Sie sich die Altteile mit der Rechnung geben.",
    "workshop_old_parts_any": "Was auch erneuert wird: Lassen Sie sich das Altteil mit der Rechnung geben.",
    "workshop_cautions": "Zu beachten: {cautions}",
    "workshop_first": "Herstellervorgaben und örtliche Vorschriften gehen allem vor, was hier steht.",
    "question_repaired": "Was wurde seit dem Kauf repariert, an welchem Tag und bei welchem Kilometerstand?",
    "question_found": "Was fand die Werkstatt, als geöffnet war?",
    "question_cost": "Was hat es gekostet?",
    "question_noticed": "Ist eine Leuchte angegangen, wurde Öl oder Kühlmittel nachgefüllt?",
    "question_nothing": "Gar nichts ist auch eine Antwort.",
    # ---- work before the sale
    "sale_none": "Keine Arbeit vor dem Verkauf hebt den Preis um mehr, als sie kostet.",
    "sale_intro": "Zum angegebenen Werkstattsatz, ohne Steuer.",
    "sale_why_danger": "Wird gemacht, bevor jemand damit fährt, weil Menschen zu Schaden kommen können: {names}.",
    "sale_why_saves": "Zahlt sich aus: {names}.",
    "sale_cost": "Die Arbeit",
    "sale_rise": "Um so viel steigt, was die Befunde tragen",
    "sale_pays": "Davon über die Kosten der Arbeit hinaus",
    "sale_price": "Was die Befunde danach tragen",
    "sale_cautious": "Dasselbe für einen vorsichtigen Käufer",
    "sale_score": "Autos von 100, die danach mehr als {budget} brauchen",
    # ---- the calendar file
    "cal_name": "Motor: Prüfungen und Wartungen",
    "cal_watch": "Prüfung: {check}",
    "cal_watch_why": (
        "{name}: fällt während der Besitzdauer bei {count} von 100 solchen Autos aus. Prüfen Sie an diesem Tag oder "
        "bei {distance}, je nachdem, was zuerst eintritt; danach im Abstand: {months} oder {every}."
    ),
    "cal_service": "Fällig: {name}",
    "cal_service_why": "Bis zu diesem Tag oder {distance}, je nachdem, was zuerst eintritt: {why}.",
    "cal_follow_up": "{months} nach dem Kauf: Wie ist es gegangen?",
    "cal_scope": "Eine Rechnung aus den gemachten Angaben; nur der Motor.",
}
