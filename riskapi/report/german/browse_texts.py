"""Words of the engine lists on a terminal, in German."""

from __future__ import annotations

from collections.abc import Mapping

BROWSE_TEXTS: Mapping[str, str] = {
    # ---- families
    "col_family": "Familie",
    "col_name": "Bezeichnung",
    "col_generations": "Generationen",
    "col_revisions": "Baustände",
    # ---- one family
    "col_revision": "Baustand",
    "col_built": "Gebaut",
    "col_codes": "Motorkennbuchstaben",
    "col_serials": "Motornummern",
    "col_weak_points": "Schwachstellen",
    "span": "{first} bis {last}",
    "span_open": "ab {first}, noch gebaut",
    "services": "Wartung nach Hersteller und in sorgfältiger Praxis",
    "col_service": "Wartung",
    "col_every": "Alle",
    "col_careful": "Sorgfältige Praxis",
    "col_tools": "Spezialwerkzeug",
    "or": "{first} oder {second}",
    # ---- one revision
    "generic": "Ein Motor nach seinen Merkmalen",
    "built": "gebaut {span}",
    "code": "Motorkennbuchstaben {codes}",
    "serials": "Motornummern {span}",
    "standing": "Stand {distance}, Alter {age}, am {day}; gebaut am {built}.",
    "standing_nearest": (
        "Stand {distance}, Alter {age}, gebaut am {built}; gerechnet zum {day}, dem Tag nächst heute, an dem dieser "
        "Baustand so alt sein kann."
    ),
    "unseen_yet": "Nichts ist angesehen worden; über Pflege und Tuning ist gemittelt.",
    "traits": "Merkmale",
    "none_stated": "keine angegeben",
    "changed": "Geändert gegenüber dem Baustand davor ({revision})",
    "weak_points": "Schwachstellen, die wahrscheinlichsten Ausfälle zuerst",
    "weak_points_note": (
        "Chancen, solange nichts angesehen ist: heute in Ordnung, verschlissen, defekt; Ausfall im Zeitraum ({term}), "
        "heutige Defekte eingeschlossen."
    ),
    "col_weak_point": "Schwachstelle",
    "col_system": "System",
    "col_sound": "In Ordnung [%]",
    "col_degraded": "Verschlissen [%]",
    "col_faulty": "Defekt [%]",
    "col_failing": "Ausfall [%]",
    "details": "Teile, Prüfungen und Reparaturen",
    "fitted": "ab Werk eingebaut: {part}",
    "fitted_usual": "bei diesen Merkmalen üblich: {part}",
    "on_sale": "im Handel seit {day}: {part}",
    "no_warning": "kündigt sich nicht an: keine Prüfung sieht es kommen",
    "shown_by": "zeigt sich bei: {checks}",
    "repairs": "Reparaturen: {repairs}",
    "repair_tools": "{repair} ({tools})",
    "looks": "Was anzusehen ist, das Ergiebigste zuerst",
    "col_check": "Prüfung",
    "col_look": "Was zu tun ist",
    "col_minutes": "[min]",
    "col_shows": "Zeigt",
    "looks_more": "{names} und {count} weitere",
    "unseen": "Was keine Prüfung sehen kann",
    "unseen_none": "nichts: jede Schwachstelle kündigt sich irgendwie an",
    # ---- changes, two revisions
    "change_part": "{name}: {before} -> {after}",
    "change_trait": "{name}: {before} -> {after}",
    "not_stated": "nicht angegeben",
    "gained": "neue Schwachstelle: {name}",
    "lost": "nicht mehr vorhanden: {name}",
    "no_change": "nichts, wovon das Paket weiß",
    "against": "{first} gegen {second}",
    "standing_short": "{distance}, {age}, gebaut am {built}",
    "differs": "Was anders ist, {first} -> {second}",
    "failing_within": "Chance auf Ausfall im Zeitraum ({term}), heutige Defekte eingeschlossen",
    "col_side": "{revision} [%]",
    "not_there": "fehlt",
    "alike": "Übrige Schwachstellen, die um weniger als ein halbes Prozent abweichen: {count}",
}
