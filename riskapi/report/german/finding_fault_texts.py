"""The German texts of the faults of findings, money, photos and what is told later: their English pattern -> the German
one."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

FINDING_FAULT_TEXTS: Mapping[str, str] = MappingProxyType({
    # ---- findings
    "The check {check} is not known.": "Die Prüfung {check} ist nicht bekannt.",
    "The check {check} has no result {result}.": "Die Prüfung {check} hat kein Ergebnis {result}.",
    "The condition {condition} is not known.": "Die Bedingung {condition} ist nicht bekannt.",
    "The stress condition {condition} is not known.": "Die Belastung {condition} ist nicht bekannt.",
    "The check {check} observed by {observer} stands in {place} already.": (
        "Die Prüfung {check} mit observed_by {observer} steht schon in {place}."
    ),
    "Keep one of them; the same look by somebody else has another observed_by.": (
        "Behalten Sie eines davon; derselbe Blick eines anderen hat ein anderes observed_by."
    ),
    "The check {check} has its result from the measurement in {place} already.": (
        "Die Prüfung {check} hat ihr Ergebnis schon aus der Messung in {place}."
    ),
    "Remove this finding.": "Entfernen Sie diesen Befund.",
    "The check {check} is answered by /vehicle/moves_under_own_power already.": (
        "Die Prüfung {check} ist schon durch /vehicle/moves_under_own_power beantwortet."
    ),
    "The check {check} is answered twice, here and at {place}.": (
        "Die Prüfung {check} ist doppelt beantwortet, hier und in {place}."
    ),
    "Keep one of the two; a measurement may already answer it.": (
        "Behalten Sie eines von beiden; vielleicht beantwortet sie schon eine Messung."
    ),
    "The check {check} reads no trouble codes.": "Die Prüfung {check} liest keine Fehlercodes.",
    "The check {check} is not measured.": "Die Prüfung {check} wird nicht gemessen.",
    'Give "result": {results}.': 'Geben Sie "result" an: {results}.',
    "This check needs one value per cylinder.": "Diese Prüfung braucht einen Wert je Zylinder.",
    'Give "values", in order.': 'Geben Sie "values" an, der Reihe nach.',
    "This check needs one value.": "Diese Prüfung braucht einen einzelnen Wert.",
    'Give "value".': 'Geben Sie "value" an.',
    "{count:d} values for an engine with {cylinders:d} cylinders.": (
        "Werte: {count:d}, Zylinder des Motors: {cylinders:d}."
    ),
    "Give one for each cylinder, in order; a check not finished is not_checked.": (
        "Geben Sie für jeden Zylinder einen an, der Reihe nach; eine Prüfung, die nicht fertig wurde, ist not_checked."
    ),
    "Fewer than two values.": "Weniger als zwei Werte.",
    "Give one for each cylinder, in order.": "Geben Sie für jeden Zylinder einen an, der Reihe nach.",
    "The finding": "Der Befund",
    '"measured"': '"measured"',
    "{subject} says nothing.": "{subject} sagt nichts.",
    "{subject} says more than one thing: {things}.": "{subject} sagt mehr als eines: {things}.",
    'Give one of "result", "measured" or "not_checked".': (
        'Geben Sie eines an: "result", "measured" oder "not_checked".'
    ),
    'Give one of "value", "values", "codes".': 'Geben Sie eines an: "value", "values" oder "codes".',
    "A measured value without its unit.": "Ein Messwert ohne Einheit.",
    'Add "unit", for example "bar".': 'Ergänzen Sie "unit", zum Beispiel "bar".',
    "Trouble codes have no unit.": "Fehlercodes haben keine Einheit.",
    "{finding} hangs together with the others named here: the same weak points show in all of them.": (
        "Dieser Befund hängt mit den anderen hier genannten zusammen, in allen zeigen sich dieselben Schwachstellen: "
        "{finding}."
    ),
    "Leave out the least telling of these findings; the answer is then exact for the rest.": (
        "Lassen Sie den dieser Befunde weg, der am wenigsten sagt; für die übrigen ist die Antwort dann exakt."
    ),
    "{count:d} symptoms hang together so closely through the weak points they share that the exact answer needs an "
    "array of {size:,d} entries; at most {limit:,d} are computed.": (
        "{count:d} Anzeichen hängen über gemeinsame Schwachstellen so eng zusammen, dass die exakte Antwort ein Feld "
        "mit {size:,d} Einträgen braucht; gerechnet werden höchstens {limit:,d}."
    ),
    "These findings cannot all be true of one engine: {findings}.": (
        "Diese Befunde können nicht alle auf einen Motor zutreffen: {findings}."
    ),
    "Check which of them was entered wrongly, or leave the doubtful one out.": (
        "Prüfen Sie, welcher davon falsch eingetragen ist, oder lassen Sie den zweifelhaften weg."
    ),
    # ---- what was found since
    "Nothing was sent.": "Es wurde nichts gesendet.",
    'Send for example {{"findings": [...]}} with what was found.': (
        'Senden Sie zum Beispiel {{"findings": [...]}} mit dem, was gefunden wurde.'
    ),
    "In the case so far: {message}": "Im bisherigen Fall: {message}",
    "In the case so far, at {place}: {message}": "Im bisherigen Fall, an der Stelle {place}: {message}",
    # ---- money
    "{other} is another currency than this case's, {own}.": (
        "{other} ist eine andere Währung als die dieses Falls, {own}."
    ),
    'Write it in {unit}, or state "market": {{"currency": "{other}"}}.': (
        'Schreiben Sie es in {unit}, oder geben Sie "market": {{"currency": "{other}"}} an.'
    ),
    "The knowledge pack has its prices in {own}, so {missing} cannot be left out here.": (
        "Das Wissenspaket hat seine Preise in {own}; hier darf daher nicht fehlen: {missing}."
    ),
    "Add the labour rate in {currency}/h and a parts index that also holds the exchange rate.": (
        "Ergänzen Sie den Stundensatz in {currency}/h und einen Teilepreisfaktor, in dem auch der Wechselkurs steckt."
    ),
    "{word} has a price already.": "{word} hat schon einen Preis.",
    "It is not said what the contract covers.": "Es fehlt, was der Reparaturvertrag abdeckt.",
    'Add "weak_points" or "systems".': 'Ergänzen Sie "weak_points" oder "systems".',
    "What is faulty at the purchase lies within the waiting period, in which nothing is paid.": (
        "Was beim Kauf schon defekt ist, liegt in der Wartezeit, in der nichts bezahlt wird."
    ),
    "Leave out one of {either}.": "Lassen Sie eines davon weg: {either}.",
    # ---- what if
    "{name} cannot be set.": "{name} lässt sich nicht setzen.",
    "This is not a number with a unit.": "Das ist keine Zahl mit Einheit.",
    'Write for example ownership.years="5 years" or market.tax="19 %".': (
        'Schreiben Sie zum Beispiel ownership.years="5 years" oder market.tax="19 %".'
    ),
    # ---- what happened since
    "This lies before the assessment of {assessed}.": "Das liegt vor der Beurteilung, {assessed}.",
    "Check the date.": "Prüfen Sie das Datum.",
    "The car was not bought.": "Das Auto wurde nicht gekauft.",
    'Leave it out, or write "bought": "yes" with {key}.': (
        'Lassen Sie die Angabe weg, oder schreiben Sie "bought": "yes" zu {key}.'
    ),
    "This lies after the telling of {told_on}.": "Das liegt nach dem Tag, an dem es erzählt wird, {told_on}.",
    "Check the dates.": "Prüfen Sie die Daten.",
    "The case is in {own}, this is in {other}.": "Der Fall rechnet in {own}, das hier ist in {other}.",
    "Convert it to {own}.": "Rechnen Sie es in {own} um.",
    # ---- photos
    "The picture has {size:,d} bytes; at most {limit:,d} are read.": (
        "Das Bild hat {size:,d} Byte; gelesen werden höchstens {limit:,d}."
    ),
    "The picture has more than {limit:,d} pixels.": "Das Bild hat mehr als {limit:,d} Bildpunkte.",
    "Make it smaller.": "Machen Sie es kleiner.",
    "This is no picture that can be read.": "Das ist kein Bild, das sich lesen lässt.",
    "Send a JPEG, PNG or WebP file.": "Senden Sie eine JPEG-, PNG- oder WebP-Datei.",
    "There is no photo with this id.": "Ein Foto mit dieser Kennung gibt es nicht.",
    "Send the photo to /v1/photos first and name it by the photo_id of the answer.": (
        "Senden Sie das Foto zuerst an /v1/photos, und nennen Sie es mit der photo_id der Antwort."
    ),
    "There is no picture {picture}.": "Es gibt kein Bild {picture}.",
    "Put it there as {picture}.jpg, .png or .webp, or take its name out of the finding.": (
        "Legen Sie es dort als {picture}.jpg, .png oder .webp ab, oder nehmen Sie seinen Namen aus dem Befund."
    ),
    # ---- publications
    "Nobody says that these photos were looked over.": "Niemand sagt, dass diese Fotos durchgesehen wurden.",
    "Look at each photo for faces, plates and papers; if there is none, set photos_looked_over to true.": (
        "Sehen Sie jedes Foto auf Gesichter, Kennzeichen und Papiere durch; ist keines darauf, setzen Sie "
        "photos_looked_over auf true."
    ),
    "It is not known where the public reaches this service.": (
        "Es ist nicht bekannt, wo die Öffentlichkeit diesen Dienst erreicht."
    ),
    "Set RISKAPI_PUBLIC_URL to where the public reaches this service, and start it again.": (
        "Setzen Sie RISKAPI_PUBLIC_URL auf die Adresse, unter der die Öffentlichkeit diesen Dienst erreicht, und "
        "starten Sie ihn neu."
    ),
    "No finding names {photos}.": "Kein Befund nennt {photos}.",
    "Name photos that a finding of this assessment names.": (
        "Nennen Sie Fotos, die ein Befund dieser Beurteilung nennt."
    ),
    "This was made with a trial key.": "Das wurde mit einem Schlüssel zum Ausprobieren gemacht.",
    "Assess the car with a key that is not for trials.": (
        "Beurteilen Sie das Auto mit einem Schlüssel, der nicht zum Ausprobieren ist."
    ),
    "A later assessment of this car exists.": "Es gibt eine spätere Beurteilung dieses Autos.",
    "Publish the latest one.": "Veröffentlichen Sie die neueste.",
    "This assessment is published already, otherwise.": "Diese Beurteilung ist schon veröffentlicht, aber anders.",
    "Withdraw that publication first.": "Ziehen Sie zuerst jene Veröffentlichung zurück.",
    "This says too little.": "Das sagt zu wenig.",
    "Write {least:d} to {most:,d} characters.": "Schreiben Sie {least:d} bis {most:,d} Zeichen.",
})  # fmt: skip
