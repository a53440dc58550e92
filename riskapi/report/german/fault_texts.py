"""The German texts of the faults of a case, of photos, and of what is told later: their English pattern -> the German
one. What has to be written as it stands (keys, ids, units) stays in quotes."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

FAULT_TEXTS: Mapping[str, str] = MappingProxyType({
    # ---- words that are offered
    "none": "keines",
    "Did you mean {words}?": "Meinten Sie {words}?",
    "Write {words}.": "Schreiben Sie {words}.",
    "Write one of the {count:d} known words, for example {words}.": (
        "Schreiben Sie eines der {count:d} bekannten Wörter, zum Beispiel {words}."
    ),
    "There is nothing to choose from here; leave it out.": "Hier gibt es keine Auswahl; lassen Sie die Angabe weg.",
    "{word} is not known here.": "{word} ist hier nicht bekannt.",
    "Leave it out.": "Lassen Sie es weg.",
    "Remove it.": "Entfernen Sie es.",
    "Remove them.": "Entfernen Sie sie.",
    "Keep one of them.": "Behalten Sie eines davon.",
    "Mend these first.": "Berichtigen Sie zuerst diese.",
    "{count:d} more faults are not listed.": "Weitere Fehler, die nicht aufgeführt sind: {count:d}.",
    # ---- the text itself
    "This is not JSON: {why} (line {line:d}, column {column:d}).": (
        "Das ist kein JSON: {why} (Zeile {line:d}, Spalte {column:d})."
    ),
    "Mend the text there.": "Berichtigen Sie den Text an dieser Stelle.",
    "Expecting value": "hier fehlt ein Wert",
    "Expecting property name enclosed in double quotes": "hier fehlt ein Schlüssel in doppelten Anführungszeichen",
    "Expecting ',' delimiter": "hier fehlt ein Komma",
    "Expecting ':' delimiter": "hier fehlt ein Doppelpunkt",
    "Extra data": "nach dem Ende steht noch etwas",
    "Unterminated string starting at": "das schließende Anführungszeichen fehlt ab hier",
    "Invalid control character at": "Steuerzeichen in einem Text",
    "Invalid \\escape": "unbekanntes Zeichen nach \\",
    "Invalid \\uXXXX escape": "nach \\u fehlen vier Hexadezimalziffern",
    "Illegal trailing comma before end of object": "Komma vor dem Ende des Objekts",
    "Illegal trailing comma before end of array": "Komma vor dem Ende der Liste",
    "The text has {size:,d} bytes; at most {limit:,d} are read.": (
        "Der Text hat {size:,d} Byte; gelesen werden höchstens {limit:,d}."
    ),
    "Send one case, without pictures or papers in it.": "Senden Sie einen einzigen Fall, ohne Bilder und Unterlagen.",
    "Byte {place:d} is not UTF-8.": "Byte {place:d} ist kein UTF-8.",
    "Save the text as UTF-8.": "Speichern Sie den Text als UTF-8.",
    "The text is nested deeper than {limit:d} levels.": "Der Text ist tiefer als {limit:d} Ebenen verschachtelt.",
    "A case needs at most five.": "Ein Fall braucht höchstens fünf.",
    "This key is written more than once.": "Dieser Schlüssel steht mehrfach da.",
    "The text holds a control character or half a surrogate pair.": (
        "Der Text enthält ein Steuerzeichen oder ein halbes Surrogatpaar."
    ),
    "Remove it; line breaks and tabs are allowed.": "Entfernen Sie es; Zeilenumbrüche und Tabulatoren sind erlaubt.",
    "The key {key} is not known here.": "Der Schlüssel {key} ist hier nicht bekannt.",
    "{count:d} more keys are not known here.": "Weitere Schlüssel, die hier nicht bekannt sind: {count:d}.",
    "{value} is not an object.": "{value} ist kein Objekt.",
    "Write an object with the keys {keys}.": "Schreiben Sie ein Objekt mit den Schlüsseln {keys}.",
    # ---- the shape of a value
    "This is required and missing.": "Diese Angabe ist nötig und fehlt.",
    "Add it: {shape}.": "Ergänzen Sie sie: {shape}.",
    "This is null.": "Hier steht null.",
    "Leave it out where it is not known, else write {shape}.": (
        "Lassen Sie die Angabe weg, wenn sie nicht bekannt ist; sonst gehört hierher: {shape}."
    ),
    "{value} is not {shape}.": "Erwartet wird {shape}, nicht {value}.",
    "Write {shape}.": "Hierher gehört: {shape}.",
    "{shape}, for example {example}": "{shape}, zum Beispiel {example}",
    "a value": "ein Wert",
    "an object": "ein Objekt",
    "true or false": "true oder false",
    "a finite number": "eine endliche Zahl",
    "a whole number": "eine ganze Zahl",
    "a number with a unit": "eine Zahl mit Einheit",
    "a date written YYYY-MM-DD": "ein Datum in der Form JJJJ-MM-TT",
    "a text of {least:d} to {limit:,d} characters": "ein Text von {least:d} bis {limit:,d} Zeichen",
    "a list of at most {limit:d} items": "eine Liste mit höchstens {limit:d} Einträgen",
    "one of {words}": "eines von {words}",
    "a trait's word or number": "Wort oder Zahl eines Merkmals",
    "1 to 30 capital letters and digits": "1 bis 30 Großbuchstaben und Ziffern",
    "a currency code of three capital letters (ISO 4217)": "ein Währungscode aus drei Großbuchstaben (ISO 4217)",
    'a currency code of three capital letters (ISO 4217) and "/h"': (
        'ein Währungscode aus drei Großbuchstaben (ISO 4217) und "/h"'
    ),
    "a trouble code of one letter and four digits (ISO 15031-6)": (
        "ein Fehlercode aus einem Buchstaben und vier Ziffern (ISO 15031-6)"
    ),
    "the id of a photo: letters, digits, - and _": "die Kennung eines Fotos: Buchstaben, Ziffern, - und _",
    "a time with its zone (RFC 3339)": "ein Zeitpunkt mit Zeitzone (RFC 3339)",
    "{value} is not one of the words allowed here.": "{value} ist keines der Wörter, die hier erlaubt sind.",
    "{value} is not in the calendar.": "{value} steht in keinem Kalender.",
    "Check month and day.": "Prüfen Sie Monat und Tag.",
    "{day} is outside {first} to {last}.": "Erlaubt ist {first} bis {last}, nicht {day}.",
    "Check the year.": "Prüfen Sie das Jahr.",
    "The list has {count:d} items; at most {limit:d} are read.": (
        "Die Liste hat {count:d} Einträge; gelesen werden höchstens {limit:d}."
    ),
    "Leave out what does not matter, or split the case.": "Lassen Sie Unwichtiges weg, oder teilen Sie den Fall auf.",
    # ---- numbers and units
    "{value} has no unit.": "{value} hat keine Einheit.",
    "{value} is not a number with a unit.": "{value} ist keine Zahl mit Einheit.",
    "{text} is not a number with a unit.": "{text} ist keine Zahl mit Einheit.",
    "Write {example}.": "Schreiben Sie {example}.",
    "{low:,g} to {high:,.0f}": "{low:,g} bis {high:,.0f}",
    "{low:,g} to {high:,.0f} {unit}": "{low:,g} bis {high:,.0f} {unit}",
    "{low:g} to {high:g}": "{low:g} bis {high:g}",
    "{value} {unit} is outside {limits}.": "Erlaubt ist {limits}, nicht {value} {unit}.",
    "{value} {unit} is outside {low:g} to {high:g} {target}.": (
        "Erlaubt ist {low:g} bis {high:g} {target}, nicht {value} {unit}."
    ),
    "Check the number and its unit.": "Prüfen Sie die Zahl und ihre Einheit.",
    "Check the number.": "Prüfen Sie die Zahl.",
    "Write digits, a space and a unit, such as 140000 km or 2.5 h, without thousands separators.": (
        "Schreiben Sie Ziffern, ein Leerzeichen und eine Einheit, etwa 140000 km oder 2.5 h, ohne Punkte zwischen "
        "den Tausendern."
    ),
    "{unit} is no unit known here.": "{unit} ist hier keine bekannte Einheit.",
    "Known units: {known}.": "Bekannte Einheiten: {known}.",
    "{unit} measures {here}, not {there}.": "Die Einheit {unit} misst {here}; nötig: {there}.",
    "Write it in {unit}.": "Schreiben Sie es in {unit}.",
    "{other} is another currency than {own}.": "{other} ist eine andere Währung als {own}.",
    "{value} is not a finite number.": "{value} ist keine endliche Zahl.",
    "Give a plain number.": "Geben Sie eine einfache Zahl an.",
    "distance": "Strecke",
    "age": "Alter",
    "time": "Zeit",
    "share": "Anteil",
    "factor": "Faktor",
    "count": "Anzahl",
    "pressure": "Druck",
    "temperature": "Temperatur",
    "temperature difference": "Temperaturunterschied",
    "angle": "Winkel",
    "length": "Länge",
    "volume": "Volumen",
    "oil use": "Ölverbrauch",
    "rotation": "Drehzahl",
    "mass flow": "Massenstrom",
    "voltage": "Spannung",
    "current": "Stromstärke",
    "resistance": "Widerstand",
    "mass": "Masse",
    "content": "Gehalt",
    "money": "Geld",
    "money rate": "Geld je Stunde",
    "years": "Jahre",
    "year": "Jahr",
    "months": "Monate",
    "month": "Monat",
    "days": "Tage",
    "day": "Tag",
    "quart": "US-Quart",
    # ---- the engine
    "The engine family {family} is not in the knowledge pack.": "Die Motorfamilie {family} ist nicht im Wissenspaket.",
    "An engine that is not known can be described by its traits.": (
        "Ein Motor, der nicht bekannt ist, lässt sich durch seine Merkmale beschreiben."
    ),
    "{family} has no revision {revision}.": "{family} hat keinen Baustand {revision}.",
    "No revision of {family} has the code {code}.": "Kein Baustand von {family} hat den Motorcode {code}.",
    "Leave it out when the code cannot be read.": "Lassen Sie ihn weg, wenn er sich nicht lesen lässt.",
    "The revision {revision} does not have the code {code}.": "Der Baustand {revision} hat nicht den Motorcode {code}.",
    "Its codes are {codes}; keep what is certain.": "Er hat {codes}; behalten Sie, was sicher ist.",
    "No {family} engine that fits this case has {trait} {value}.": (
        "Kein {family}, der zu diesem Fall passt, hat dieses Merkmal: {trait} {value}."
    ),
    "It has {values}: mend the trait or the family.": (
        "Möglich ist {values}: Berichtigen Sie das Merkmal oder die Familie."
    ),
    "The revision is stated without its engine family.": "Der Baustand ist ohne seine Motorfamilie angegeben.",
    "The code is stated without its engine family.": "Der Motorcode ist ohne seine Motorfamilie angegeben.",
    "Without an engine family {trait} has to be known.": (
        "Ohne Motorfamilie muss dieses Merkmal bekannt sein: {trait}."
    ),
    "State {trait}, or name the engine family.": "Geben Sie es an ({trait}), oder nennen Sie die Motorfamilie.",
    "The engine is described neither by its family nor by at least the traits fuel and cylinders.": (
        "Der Motor ist weder durch seine Familie beschrieben noch wenigstens durch Kraftstoff und Zylinderzahl."
    ),
    'Add "family", or at least "traits": {{"fuel": "petrol", "cylinders": 4}}.': (
        'Ergänzen Sie "family", oder wenigstens "traits": {{"fuel": "petrol", "cylinders": 4}}.'
    ),
    'Add "family": {families}.': 'Ergänzen Sie "family": {families}.',
    'Add "family"; an engine that is not in the knowledge pack is described by "traits".': (
        'Ergänzen Sie "family"; ein Motor, der nicht im Wissenspaket ist, wird durch "traits" beschrieben.'
    ),
    "The trait {trait} is not known.": "Das Merkmal {trait} ist nicht bekannt.",
    "{trait} cannot be {value}.": "{trait}: {value} ist nicht möglich.",
    "{trait} is a number, not {value}.": "{trait}: Nötig ist eine Zahl, nicht {value}.",
    "Write a number from {low:g} to {high:g}.": "Schreiben Sie eine Zahl von {low:g} bis {high:g}.",
    "{trait} {value} is outside {span}.": "{trait}: Erlaubt ist {span}, nicht {value}.",
    "{trait} {value} is not a whole number.": "{trait}: {value} ist keine ganze Zahl.",
    "Count again.": "Zählen Sie noch einmal.",
    "The installation is {stated} here and {trait} among the engine's traits.": (
        "Die Einbaulage ist hier {stated} und unter den Merkmalen des Motors {trait}."
    ),
    "Keep the right one.": "Behalten Sie die richtige.",
    "No revision of {family} fits the dates and the engine code given.": (
        "Zu den angegebenen Daten und dem Motorcode passt kein Baustand von {family}."
    ),
    "Correct the date or the code, or name the revision. Revisions: {spans}.": (
        "Berichtigen Sie Datum oder Motorcode, oder nennen Sie den Baustand. Baustände: {spans}."
    ),
    "{revision} {since} to {until} ({codes})": "{revision} {since} bis {until} ({codes})",
    "now": "heute",
    "no code": "kein Motorcode",
    "No revision of {family} that fits the rest of the case has this serial number.": (
        "Kein Baustand von {family}, der zum Rest des Falls passt, hat diese Seriennummer."
    ),
    "Read it again, or leave it out where the engine was exchanged. Serial numbers: {spans}.": (
        "Lesen Sie sie noch einmal ab, oder lassen Sie sie weg, wenn der Motor getauscht wurde. Seriennummern: {spans}."
    ),
    "{revision} {first} to {last}": "{revision} {first} bis {last}",
    "{count:,d} combinations would have to be told apart; at most {limit:d} are.": (
        "Zu unterscheiden wären {count:,d} Kombinationen; möglich sind höchstens {limit:d}."
    ),
    "State these traits: {traits}.": "Geben Sie diese Merkmale an: {traits}.",
    "{trait} was looked at, but not stated.": "{trait}: angesehen, aber nicht angegeben.",
    "Write one of {values}.": "Schreiben Sie eines von {values}.",
    # ---- the VIN
    "This is no VIN.": "Das ist keine Fahrzeugnummer.",
    "It is no text.": "Es ist kein Text.",
    "It has {count:d} characters, a VIN has {length:d}.": (
        "Sie hat {count:d} Zeichen, eine Fahrzeugnummer hat {length:d}."
    ),
    "No VIN has the character at position {places}.": (
        "Ein solches Zeichen hat keine Fahrzeugnummer an Stelle {places}."
    ),
    "It has characters that no VIN has.": "Sie hat Zeichen, die keine Fahrzeugnummer hat.",
    "{length:d} capital letters and digits without I, O and Q (ISO 3779)": (
        "{length:d} Großbuchstaben und Ziffern ohne I, O und Q (ISO 3779)"
    ),
    "Write {shape}; leave it out where it cannot be read whole.": (
        "Hierher gehören {shape}; lassen Sie die Angabe weg, wenn sich die Nummer nicht ganz lesen lässt."
    ),
    # ---- the history
    "{day} is after the assessment date {as_of}.": "{day} liegt nach dem Tag der Beurteilung, {as_of}.",
    "{day} is before the car was built ({built}).": "{day} liegt vor dem Bau des Autos ({built}).",
    "First registration {first} is before the car was built ({built}).": (
        "Die Erstzulassung ({first}) liegt vor dem Bau des Autos ({built})."
    ),
    'Mend the date or "as_of".': 'Berichtigen Sie das Datum oder "as_of".',
    'Mend the date or "build_date".': 'Berichtigen Sie das Datum oder "build_date".',
    'Mend "{key}" or "as_of".': 'Berichtigen Sie "{key}" oder "as_of".',
    "Mend one of the two dates.": "Berichtigen Sie eines der beiden Daten.",
    "The odometer runs backwards: {first}, then {then}.": "Der Kilometerstand läuft rückwärts: {first}, dann {then}.",
    "{far:,.0f} km on {day} ({place})": "{far:,.0f} km, {day} ({place})",
    "Correct the wrong one, or, if it was really read so, mark the doubtful entry ({entries}) with \"doubtful\": true: "
    "the longer distance is then scored and the report states the disagreement.": (
        "Berichtigen Sie den falschen, oder kennzeichnen Sie, wenn wirklich so abgelesen wurde, den zweifelhaften "
        'Eintrag ({entries}) mit "doubtful": true: Gerechnet wird dann mit der längeren Strecke, und der Bericht nennt '
        "den Widerspruch."
    ),
    "{item} is no kind of engine to fit.": "{item} ist keine Art von Motor, die eingebaut wird.",
    "The weak point {weak_point} is not known.": "Die Schwachstelle {weak_point} ist nicht bekannt.",
    "This engine has no weak point {weak_point} ({name}).": (
        "Dieser Motor hat keine Schwachstelle {weak_point} ({name})."
    ),
    "Remove the entry, or mend the engine's traits.": (
        "Entfernen Sie den Eintrag, oder berichtigen Sie die Merkmale des Motors."
    ),
    "The weak point {weak_point} has no part revision {part}.": (
        "Die Schwachstelle {weak_point} hat keinen Teilestand {part}."
    ),
    "It has {parts}; leave it out when unknown.": "Es gibt {parts}; lassen Sie die Angabe weg, wenn sie unbekannt ist.",
    '"{work}" needs "{key}", which is missing.': '"{work}" braucht "{key}", und das fehlt.',
    'Add "{key}".': 'Ergänzen Sie "{key}".',
    "Add {engines}.": "Ergänzen Sie {engines}.",
    "Add the id of a check.": "Ergänzen Sie die Kennung einer Prüfung.",
    "Add the id of a weak point.": "Ergänzen Sie die Kennung einer Schwachstelle.",
    '"{key}" means nothing with the work "{work}".': '"{key}" bedeutet nichts bei der Arbeit "{work}".',
    "Remove it; it is for {works}.": "Entfernen Sie es; es gehört zu {works}.",
    "As the knowledge pack describes it, this cannot have failed then: {name}.": (
        "So wie das Wissenspaket es beschreibt, kann das damals nicht ausgefallen sein: {name}."
    ),
    "Mend the date or the weak point; leave the entry out if the part was renewed for another reason.": (
        "Berichtigen Sie Datum oder Schwachstelle; lassen Sie den Eintrag weg, wenn das Teil aus anderem Grund "
        "erneuert wurde."
    ),
    "What the history says cannot have happened to any engine of this kind as the knowledge pack describes it.": (
        "Was die Wartungsgeschichte sagt, kann keinem Motor dieser Art so geschehen sein, wie das Wissenspaket ihn "
        "beschreibt."
    ),
    "Look at 'never_renewed' entries and past checks first; mark what is only told as evidence 'told'.": (
        "Sehen Sie zuerst die Einträge 'never_renewed' und frühere Prüfungen an; kennzeichnen Sie, was nur erzählt "
        "ist, mit evidence 'told'."
    ),
    "The results of past checks can have come about in so many ways that {count:,d} combinations would have to be told "
    "apart; at most {limit:d} are.": (
        "Die Ergebnisse früherer Prüfungen können auf so viele Weisen zustande gekommen sein, dass {count:,d} "
        "Kombinationen zu unterscheiden wären; möglich sind höchstens {limit:d}."
    ),
    "Leave out this result of {check}, or state more of the engine and its history.": (
        "Lassen Sie dieses Ergebnis von {check} weg, oder geben Sie mehr über den Motor und seine Geschichte an."
    ),
})  # fmt: skip
