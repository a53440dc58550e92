"""The German words of the sheets that are filled in by hand."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

CLIPBOARD_TEXTS: Mapping[str, str] = MappingProxyType({
    "title": "Prüfliste für das Klemmbrett",
    "subtitle": "Am Auto von Hand auszufüllen",
    "h_head": "Dieser Termin",
    "link": "Dieselbe Prüfliste auf dem Telefon, mit dem Ergebnis schon während des Antwortens:",
    "no_link": "Es wurde keine Adresse eines Dienstes angegeben, darum steht hier kein Code für das Telefon.",
    "write_odometer": "Kilometerstand",
    "write_vin_papers": "Nummer in Papieren, letzte 4",
    "write_vin_body": "Nummer am Auto, letzte 4",
    "write_day": "Tag",
    "write_start": "Beginn",
    "write_end": "Ende",
    "write_outside": "Außentemperatur",
    "write_light": "Licht und Wetter",
    "write_by": "Angesehen von",
    "how_to": (
        "Das passende Wort einkreisen; gemessene Werte auf die Linien schreiben. Was nicht anzusehen war, bekommt "
        "seinen Grund: Es zählt dann als unbekannt, nicht als in Ordnung. Ist die Zeit knapp, mit den Prüfungen der "
        "10-Minuten-Liste anfangen."
    ),
    "beside_core": "Kernprüfung",
    "beside_short": "10-Minuten-Liste",
    "result": "Ergebnis",
    "measured": "Gemessen",
    "per_cylinder": "Gemessen, je Zylinder",
    "codes": "Fehlercodes",
    "not_checked": "Nicht geprüft, weil",
    "yes": "ja",
    "no": "nein",
    "agreed": "Erlaubt",
    "agreed_in_writing": "Schriftlich erlaubt: Tag, Name, Unterschrift",
    "h_remarks": "Bemerkungen, und was nicht auf dieser Liste steht",
    "remarks": "Bemerkungen bewegen keine Zahl.",
    "unseen": "Das kann kein Blick kommen sehen: {names}.",
    # ---- the telephone
    "call_title": "Vor dem Termin, am Telefon",
    "call_subtitle": "Worum zu bitten ist, was zu fragen ist, welche Papiere es gibt",
    "h_call": "Der Anruf",
    "call_day": "Angerufen am",
    "call_number": "Nummer",
    "call_visit": "Termin am, um",
    "call_where": "Wo",
    "call_intro": "Aufschreiben, was gesagt wird, so wie es gesagt wird. Gesagtes zählt weniger als Gesehenes.",
    "call_foot": "Am Telefon \u00b7 {scope}",
    "h_leave": "Worum Sie bitten",
    "agreed_yes": "zugesagt",
    "agreed_no": "nicht zugesagt",
    "h_questions": "Zu fragen",
    "told": "Antwort",
    "unknown": "nicht bekannt",
    "invoice": "Rechnung: {name}",
    "paper": "Papier",
    "sent": "geschickt",
    "shown_there": "am Auto zu sehen",
    "not_there": "gibt es nicht",
})  # fmt: skip
