"""The German texts of the sentences that the model makes itself: their English pattern -> the German one.

Facts have the names of the English pattern. Formats of numbers are Python's; the separators follow the language.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

MODEL_TEXTS: Mapping[str, str] = MappingProxyType({
    # ---- joined as they are
    "": "",
    "{day}": "{day}",
    "{far}": "{far}",
    "{measured}": "{measured}",
    "{one} {other}": "{one} {other}",
    "{one} and {other}": "{one} und {other}",
    "{far} or {long}": "{far} oder {long}",
    "{check}: {result}": "{check}: {result}",
    "{how}{history}": "{how}{history}",
    "{years:g} year": "{years:g} Jahr",
    "{years:g} years": "{years:g} Jahre",
    "Oil service": "Ölwechsel",
    # ---- how the engine was established
    "described by its traits; no family of the pack": "nach seinen Merkmalen beschrieben; keine Familie des Pakets",
    "revision as stated": "Baustand wie angegeben",
    "family as stated; nothing narrows the revision": "Familie wie angegeben; nichts grenzt den Baustand ein",
    "from {clues}": "aus {clues}",
    "engine code": "Motorcode",
    "serial number": "Seriennummer",
    "build date": "Baudatum",
    "first registration": "Erstzulassung",
    "model year in the VIN": "Modelljahr in der Fahrzeugnummer",
    "{how}; then by features seen ({looks})": "{how}; dann nach gesehenen Merkmalen ({looks})",
    "; weighed with what the service history tells": "; gewichtet mit dem, was die Wartungsgeschichte sagt",
    # ---- what to ask about
    "in the papers": "in den Papieren",
    "on the body": "an der Karosserie",
    "in the control unit": "im Steuergerät",
    "The VIN {place} and the one {other_place} differ; ask.": (
        "Die Fahrzeugnummer {place} und die {other_place} stimmen nicht überein; fragen Sie nach."
    ),
    "The check digit of the VIN {place} does not fit the rest: read it again, or ask.": (
        "Die Prüfziffer der Fahrzeugnummer {place} passt nicht zum Rest: Lesen Sie sie noch einmal ab, oder "
        "fragen Sie nach."
    ),
    "Position 10 of the VIN is no code of a model year: read it again, or ask.": (
        "Stelle 10 der Fahrzeugnummer ist kein Zeichen für ein Modelljahr: Lesen Sie sie noch einmal ab, oder "
        "fragen Sie nach."
    ),
    "The VIN's model year {year:d} and the build date {built} do not go together; ask.": (
        "Das Modelljahr {year:d} der Fahrzeugnummer und das Baudatum ({built}) passen nicht zusammen; fragen Sie "
        "nach."
    ),
    "The VIN's model year {year:d} is later than the first registration {registered}; ask.": (
        "Das Modelljahr {year:d} der Fahrzeugnummer liegt nach der Erstzulassung ({registered}); fragen Sie nach."
    ),
    "The VIN's model year {year:d} is still to come: read positions 7 and 10 again, or ask.": (
        "Das Modelljahr {year:d} der Fahrzeugnummer steht noch aus: Lesen Sie die Stellen 7 und 10 noch einmal ab, "
        "oder fragen Sie nach."
    ),
    "No {family} was built for the VIN's model year {year:d}; ask.": (
        "Für das Modelljahr {year:d} der Fahrzeugnummer wurde kein {family} gebaut; fragen Sie nach."
    ),
    "The engine's serial number is outside those of {revision}: another engine may be fitted; ask.": (
        "Die Seriennummer des Motors liegt außerhalb derer von {revision}: Vielleicht ist ein anderer Motor eingebaut; "
        "fragen Sie nach."
    ),
    "the assessment": "Beurteilung",
    "the build date": "Baudatum",
    "The readings of {before} ({short}) and {after} ({long}) disagree; ask. The figures here are computed with the "
    "longer distance.": (
        "Diese Kilometerstände passen nicht zusammen: {before} ({short}) und {after} ({long}); fragen Sie nach. "
        "Gerechnet ist hier mit der längeren Strecke."
    ),
    "Between {before} and {after} the readings rise faster than a car is driven; ask which is right.": (
        "Diese Kilometerstände steigen schneller, als ein Auto gefahren wird: {before} bis {after}; fragen Sie, "
        "welcher stimmt."
    ),
    # ---- what was assumed
    "the model": "das Modell",
    "base rates of the knowledge pack": "Häufigkeiten aus dem Wissenspaket",
    "Build date not stated: taken as {built}, {lag:g} years before first registration.": (
        "Baudatum nicht angegeben: angenommen {built}, {lag:g} Jahre vor der Erstzulassung."
    ),
    "Neither build date nor first registration stated: the middle of {span}, {built}.": (
        "Weder Baudatum noch Erstzulassung angegeben: angenommen die Mitte der Zeit nach {span}, {built}."
    ),
    "the revision's span": "dem Baustand",
    "the VIN's model year": "dem Modelljahr der Fahrzeugnummer",
    "what the revision's span and the VIN's model year share": (
        "dem Baustand und zugleich dem Modelljahr der Fahrzeugnummer"
    ),
    "Neither build date nor first registration stated: age taken as {years:.1f} years, from the odometer at {far} a "
    "year.": (
        "Weder Baudatum noch Erstzulassung angegeben: Alter angenommen mit {years:.1f} Jahren, aus dem Kilometerstand "
        "bei {far} im Jahr."
    ),
    "Ownership taken as {years:g} years.": "Besitzdauer angenommen mit {years:g} Jahren.",
    "Distance taken as {far} a year.": "Fahrstrecke angenommen mit {far} im Jahr.",
    "Labour taken at {rate:g} {currency} an hour without tax.": (
        "Stundensatz angenommen mit {rate:g} {currency} ohne Steuer."
    ),
    "Parts at the prices of the knowledge pack.": "Teile zu den Preisen des Wissenspakets.",
    "Labour taken at {rate:g} an hour without tax: {source}, {day}.": (
        "Stundensatz angenommen mit {rate:g} ohne Steuer: {source}, {day}."
    ),
    "Parts taken at {index:g} times the prices of the knowledge pack: {source}, {day}.": (
        "Teile angenommen zum {index:g}-fachen der Preise des Wissenspakets: {source}, {day}."
    ),
    "Prices of the parts of {count} operations: {source}, {day}.": (
        "Preise der Teile von {count} Arbeiten: {source}, {day}."
    ),
    "Prices of the price feed are {age} days old.": "Alter der Preise aus der Preisquelle in Tagen: {age}.",
    "The price feed has not answered for {days} days. Its last prices are used, which are {age} days old.": (
        "Die Preisquelle hat seit {days} Tagen nicht geantwortet. Verwendet sind ihre letzten Preise; "
        "Alter in Tagen: {age}."
    ),
    "Tax taken as {share:g} %.": "Steuer angenommen mit {share:g} %.",
    "Fitting not stated: access hours are the mean of transverse and longitudinal.": (
        "Einbaulage nicht angegeben: Die Stunden für den Zugang sind das Mittel aus quer und längs."
    ),
    "Parts price class taken as mid.": "Preisklasse der Teile als mittlere angenommen.",
    "No price stated, so repairs are not capped by the value of the car, only by another engine.": (
        "Kein Preis angegeben; Reparaturen sind daher nicht durch den Wert des Autos begrenzt, nur durch einen anderen "
        "Motor."
    ),
    "Value of the car as usually sold not stated: repairs are capped by the asking price less scrap.": (
        "Üblicher Wert des Autos nicht angegeben: Reparaturen sind durch den verlangten Preis abzüglich Restwert "
        "begrenzt."
    ),
    "Value of the car as usually sold not stated, so work before the sale is not weighed.": (
        "Üblicher Wert des Autos nicht angegeben; Arbeiten vor dem Verkauf sind daher nicht abgewogen."
    ),
    "The buyer's use taken as ordinary: no short trips, towing or tune, oil service in time.": (
        "Nutzung durch den Käufer als gewöhnlich angenommen: keine Kurzstrecken, kein Anhänger, keine "
        "Leistungssteigerung, Ölwechsel pünktlich."
    ),
    "Software tune unknown: {count:g} of 100 cars are taken to have one.": (
        "Leistungssteigerung per Software unbekannt: angenommen ist sie bei {count:g} von 100 Autos."
    ),
    "Oil services count as in time up to {share:.0f} % beyond {due}, careful practice": (
        "Ölwechsel gelten als pünktlich bis {share:.0f} % über die sorgfältige Praxis hinaus ({due})"
    ),
    "{late} for engines in general.": "{late}, bei Motoren im Allgemeinen.",
    "{late} for the {family}; its maker asks for {makers}.": (
        "{late}, beim {family}; sein Hersteller verlangt: {makers}."
    ),
    "A renewal on {day} without papers ({name}): taken to have happened with {chance:g} in 100.": (
        "Eine Erneuerung ohne Beleg, {day} ({name}): angenommen, dass sie bei {chance:g} von 100 stattgefunden hat."
    ),
    "The past check \u201c{name}\u201d of {day} is kept on record but moves no number: {why}.": (
        "Die frühere Prüfung \u201e{name}\u201c, {day}, bleibt vermerkt, ändert aber keine Zahl: {why}."
    ),
    "it shows how the car was cared for until then only": "sie zeigt nur, wie das Auto bis dahin gepflegt wurde",
    "another engine was fitted since": "seitdem wurde ein anderer Motor eingebaut",
    "it was done just before the assessment or when the car was new; a finding of today can say it": (
        "sie lag kurz vor der Beurteilung oder am Neuwagen; ein Befund von heute kann dasselbe sagen"
    ),
    "so much may have run down from the places above that it cannot be told apart": (
        "von oben kann so vieles herabgelaufen sein, dass es sich nicht trennen lässt"
    ),
    "what it says hangs on a part that was renewed about then ({names})": (
        "was sie sagt, hängt an einem Teil, das um diese Zeit erneuert wurde ({names})"
    ),
    "A failure recorded on {day} ({name}): the part then in the car had failed shortly before and was renewed. "
    "{weighs}{several}": (
        "Ein belegter Ausfall, {day} ({name}): Das damals eingebaute Teil war kurz zuvor ausgefallen und wurde "
        "erneuert. {weighs}{several}"
    ),
    "A failure told of, on {day} ({name}): the part would have failed shortly before and been renewed. "
    "{weighs}{several} Without papers: taken to have happened with {chance:g} in 100.": (
        "Ein nur genannter Ausfall, {day} ({name}): Das Teil wäre kurz zuvor ausgefallen und erneuert worden. "
        "{weighs}{several} Ohne Beleg: angenommen, dass es bei {chance:g} von 100 so war."
    ),
    "How likely that was weighs on revision, on care and on how long the part lasts.": (
        "Wie wahrscheinlich das war, wirkt auf Baustand, Pflege und darauf, wie lange das Teil hält."
    ),
    " One of several: which one is not known, the others were not renewed then.": (
        " Eines von mehreren: Welches, ist nicht bekannt, die anderen wurden damals nicht erneuert."
    ),
    "Not stated, so that every figure is the mixture over the values, weighed by how common each is and by the "
    "findings: {traits}.": (
        "Nicht angegeben; jede Zahl ist daher die Mischung über die Werte, gewichtet nach ihrer Häufigkeit und nach "
        "den Befunden: {traits}."
    ),
    "Not stated although several things hang on each, and too many to tell all combinations apart: {traits}. Each "
    "weak point is averaged over the values by itself, which is an approximation; stating them makes it exact.": (
        "Nicht angegeben, obwohl an jedem mehreres hängt, und zu viele, um alle Kombinationen zu trennen: {traits}. "
        "Jede Schwachstelle ist für sich über die Werte gemittelt, das ist eine Näherung; mit Angabe wird es exakt."
    ),
    "Said to be unknown although several things hang on it: {traits}. Each weak point is averaged over the values by "
    "itself, which is an approximation.": (
        "Als unbekannt angegeben, obwohl mehreres daran hängt: {traits}. Jede Schwachstelle ist für sich über die "
        "Werte gemittelt, das ist eine Näherung."
    ),
    "Not stated, and therefore averaged over how common each is: {traits}.": (
        "Nicht angegeben und daher nach Häufigkeit gemittelt: {traits}."
    ),
    "What is faulty is repaired on day 0, everything else runs until it fails and is repaired at once with the part on "
    "sale then; planned work is done when due, overdue planned work on day 0.": (
        "Was defekt ist, wird am Tag 0 repariert, alles andere läuft bis zum Ausfall und wird dann sofort mit dem "
        "gerade erhältlichen Teil repariert; planbare Arbeiten werden bei Fälligkeit gemacht, überfällige am Tag 0."
    ),
    "Consequential damage is money inside the weak point that causes it: it resets no other part's age.": (
        "Folgeschäden sind Geld innerhalb der Schwachstelle, die sie verursacht: Sie setzen das Alter keines anderen "
        "Teils zurück."
    ),
    "A car may be for sale because it is ill; this is not in the figures.": (
        "Ein Auto kann verkauft werden, weil es krank ist; das steckt nicht in den Zahlen."
    ),
    "All money is at the prices of the assessment date.": "Alle Beträge gelten zu Preisen am Tag der Beurteilung.",
    "Equipment not stated: nothing but hands, eyes and ears.": (
        "Ausrüstung nicht angegeben: nur Hände, Augen und Ohren."
    ),
    "Consent not stated: what can be asked for beside the car, nothing that needs writing.": (
        "Einwilligung nicht angegeben: was sich am Auto erfragen lässt, nichts Schriftliches."
    ),
    "Time not stated: as long as it takes.": "Zeit nicht angegeben: so lange, wie es dauert.",
    "as stated": "wie angegeben",
    "{hours:g} labour hours at the labour rate with tax per {years:g} years of ownership": (
        "{hours:g} Arbeitsstunden zum Stundensatz mit Steuer je {years:g} Jahre Besitz"
    ),
    # ---- what was not checked
    "refused": "wurde nicht erlaubt",
    "not reachable": "nicht erreichbar",
    "no equipment for it": "kein Gerät dafür",
    "no time for it": "keine Zeit dafür",
    "{name}: not so": "{name}: nicht gegeben",
    # ---- lines of the price
    "Value of this car as usually sold": "Wert dieses Autos, wie es üblicherweise verkauft wird",
    "{name}: repair needed now": "{name}: Reparatur jetzt nötig",
    "Other": "übrige",
    "All": "alle",
    "{other} repairs needed now": "Jetzt nötige Reparaturen ({other})",
    "Saved where these repairs share dismantling": "Gespart, wo diese Reparaturen eine Demontage teilen",
    ", more than on the car as usually sold": ", mehr als beim üblicherweise verkauften Auto",
    ", less than on the car as usually sold": ", weniger als beim üblicherweise verkauften Auto",
    "{name}: later repairs{usual}": "{name}: spätere Reparaturen{usual}",
    "{other} later surprise repairs{usual}": "Spätere unerwartete Reparaturen ({other}){usual}",
    "{name}: planned work{usual}": "{name}: planbare Arbeit{usual}",
    "{other} planned work falling due{usual}": "Fällig werdende planbare Arbeiten ({other}){usual}",
    "No less than the scrap value": "Nicht weniger als der Restwert",
    "Room for a bad run": "Luft für einen schlechten Verlauf",
    "{name}: room for a bad run": "{name}: Luft für einen schlechten Verlauf",
    "{other} weak points: room for a bad run": "Schwachstellen ({other}): Luft für einen schlechten Verlauf",
    "Planned work, discounting and shared dismantling, which this room leaves aside": (
        "Planbare Arbeiten, Abzinsung und gemeinsame Demontage, die diese Luft außer Acht lässt"
    ),
})  # fmt: skip
