"""What the command line says while something takes long, and beside what it was asked for, in German."""

from __future__ import annotations

from collections.abc import Mapping

TERMINAL_TEXTS: Mapping[str, str] = {
    "progress_assess": "Wird beurteilt ...",
    "progress_checklist": "Lohnende Prüfungen werden ausgewählt ...",
    "progress_draw": "Der Bericht wird gezeichnet ...",
    "progress_sensitivity": "Eines nach dem anderen wird verändert ...",
    "progress_what_if": "Beide Spalten werden berechnet ...",
    "progress_view": "Die Chancen werden berechnet ...",
    "progress_rescore": "Mit dem heutigen Wissen wird beurteilt ...",
    "progress_print": "Wird gedruckt ...",
    "progress_samples": "Die Musterfälle werden mit beiden Paketen beurteilt ...",
    "progress_erase": "Wird gelöscht ...",
    "progress_backup": "Die Sicherung wird geschrieben ...",
    "progress_restore": "Die Sicherung wird gelesen ...",
    "progress_count": "{what} # von {total},",
    "printed_all": "Gedruckte und aufbewahrte Beurteilungen: {done}; nicht gedruckte: {failed}.",
    "standard_input": "Standardeingabe",
    "not_sealed": (
        "riskapi: Das PDF ist nicht versiegelt: {folder} lässt sich nicht benutzen ({why}). Prüfen Sie, wer dort lesen "
        "und schreiben darf."
    ),
}
