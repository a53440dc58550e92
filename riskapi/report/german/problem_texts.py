"""The German texts of problems over HTTP and of what the command line stops with: their English pattern -> the German
one."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

PROBLEM_TEXTS: Mapping[str, str] = MappingProxyType({
    # ---- types of problems
    "The request body is not JSON.": "Der Inhalt der Anfrage ist kein JSON.",
    "The case has faults; each is listed with its place and how to mend it.": (
        "Der Fall hat Fehler; jeder ist mit seiner Stelle aufgeführt und damit, wie er sich beheben lässt."
    ),
    "The findings cannot be true together.": "Die Befunde können nicht zugleich zutreffen.",
    "The findings hang together too closely for an exact answer; leaving out the least telling helps.": (
        "Die Befunde hängen für eine exakte Antwort zu eng zusammen; es hilft, den wegzulassen, der am wenigsten sagt."
    ),
    "The picture cannot be read, or it is too large.": "Das Bild lässt sich nicht lesen, oder es ist zu groß.",
    "A header of the request is at fault.": "Ein Kopffeld der Anfrage ist fehlerhaft.",
    "The idempotency key belongs to another request.": "Der Idempotenzschlüssel gehört zu einer anderen Anfrage.",
    "Another version came in between.": "Eine andere Fassung kam dazwischen.",
    "The knowledge pack and the program are those that this was made with.": (
        "Wissenspaket und Programm sind noch die, mit denen das gemacht wurde."
    ),
    "This assessment cannot be shown to the public now.": (
        "Diese Beurteilung kann der Öffentlichkeit jetzt nicht gezeigt werden."
    ),
    "No more of these are taken today.": "Davon wird heute nichts mehr angenommen.",
    "It is not known who asks.": "Es ist nicht bekannt, wer fragt.",
    "A page of another site asked.": "Eine Seite von anderswo hat gefragt.",
    "The role of this key does not allow it.": "Die Rolle dieses Schlüssels erlaubt es nicht.",
    "This was made by another version of the program, which comes to another result now.": (
        "Das wurde mit einer anderen Version des Programms gemacht; die heutige kommt zu einem anderen Ergebnis."
    ),
    "More requests than are allowed.": "Mehr Anfragen als erlaubt.",
    "The database does not answer for the moment.": "Die Datenbank antwortet im Augenblick nicht.",
    "There is no room left to keep anything.": "Es ist kein Platz mehr, um etwas aufzubewahren.",
    "A parameter of the query is at fault.": "Ein Parameter der Adresse ist fehlerhaft.",
    # ---- statuses
    "Bad Request": "Fehlerhafte Anfrage",
    "Unauthorized": "Nicht angemeldet",
    "Forbidden": "Nicht erlaubt",
    "Not Found": "Nicht gefunden",
    "Method Not Allowed": "Methode nicht erlaubt",
    "Content Too Large": "Inhalt zu groß",
    "Unsupported Media Type": "Medientyp nicht unterstützt",
    "Unprocessable Content": "Inhalt nicht verwendbar",
    "Too Many Requests": "Zu viele Anfragen",
    "Internal Server Error": "Interner Fehler",
    "Service Unavailable": "Dienst nicht verfügbar",
    "Insufficient Storage": "Kein Speicherplatz",
    # ---- what happened
    "There is no {kind} with this id.": "Unter dieser Kennung gibt es nichts ({kind}).",
    "This is for the roles {roles}.": "Das ist für die Rollen {roles}.",
    "In {seconds:d} seconds there is room again for this {kind}.": (
        "Wieder möglich in {seconds:d} Sekunden; begrenzt ist: {kind}."
    ),
    "Read the latest version of this {kind}, then send it again.": (
        "Lesen Sie die neueste Fassung ({kind}), und senden Sie es dann noch einmal."
    ),
    "There is nothing else to say yet; nothing was kept.": (
        "Es gibt noch nichts anderes zu sagen; aufbewahrt wurde nichts."
    ),
    "At most {most:d} {kind} are taken in a day.": "An einem Tag angenommen werden höchstens {most:d}: {kind}.",
    "This {kind} was made by version {version}. Nothing else is printed in its place: what was printed before is kept, "
    "and /rescore says what this version makes of it.": (
        "Gemacht mit Version {version} ({kind}). Etwas anderes wird nicht an seiner Stelle gedruckt: Was schon "
        "gedruckt wurde, ist aufbewahrt, und /rescore sagt, was diese Version daraus macht."
    ),
    "Ask from a page of this server, or show a key.": (
        "Fragen Sie von einer Seite dieses Servers aus, oder zeigen Sie einen Schlüssel."
    ),
    "This key came with another body before.": "Dieser Schlüssel kam schon mit einem anderen Inhalt.",
    "Send a new key with a new body.": "Senden Sie zu einem neuen Inhalt einen neuen Schlüssel.",
    "This is no key.": "Das ist kein Schlüssel.",
    "Send 1 to 255 printable ASCII characters.": "Senden Sie 1 bis 255 druckbare ASCII-Zeichen.",
    "This key is unknown, revoked or has expired.": "Dieser Schlüssel ist unbekannt, widerrufen oder abgelaufen.",
    "Send a key as 'Authorization: Bearer KEY'. 'riskapi keys create' makes one.": (
        "Senden Sie einen Schlüssel als 'Authorization: Bearer KEY'. 'riskapi keys create' macht einen."
    ),
    "Of a case at most {case:,d} bytes are read, of a picture {picture:,d}, of a PDF {pdf:,d}.": (
        "Von einem Fall werden höchstens {case:,d} Byte gelesen, von einem Bild {picture:,d}, von einem PDF {pdf:,d}."
    ),
    "Nothing of this request was kept. Tell the operator.": (
        "Von dieser Anfrage wurde nichts aufbewahrt. Sagen Sie es dem Betreiber."
    ),
    "Nothing of this request was kept. Send it again in a while.": (
        "Von dieser Anfrage wurde nichts aufbewahrt. Senden Sie sie in einer Weile noch einmal."
    ),
    "The program failed. Tell the operator the request id; nothing was kept.": (
        "Das Programm hat versagt. Nennen Sie dem Betreiber die Nummer der Anfrage; aufbewahrt wurde nichts."
    ),
    'Send the case with "Content-Type: application/json".': (
        'Senden Sie den Fall mit "Content-Type: application/json".'
    ),
    "Send the case without a content encoding.": "Senden Sie den Fall ohne Content-Encoding.",
    "Send the picture itself, as {types}.": "Senden Sie das Bild selbst, als {types}.",
    'Send the cases with "Content-Type: {type}", one per line.': (
        'Senden Sie die Fälle mit "Content-Type: {type}", einen je Zeile.'
    ),
    'Send the PDF as the body with "Content-Type: {pdf}", or as the field "file" of a form ({form}).': (
        'Senden Sie das PDF als Inhalt mit "Content-Type: {pdf}", oder als Feld "file" eines Formulars ({form}).'
    ),
    "The batch broke off here.": "Der Stapel ist hier abgebrochen.",
    "Send the rest; at most {limit:,d} bytes at once.": "Senden Sie den Rest; höchstens {limit:,d} Byte auf einmal.",
    "The line is longer than {limit:,d} bytes.": "Die Zeile ist länger als {limit:,d} Byte.",
    "Send one case per line.": "Senden Sie einen Fall je Zeile.",
    # ---- the command line
    "no {kind} has the id {id}.": "unbekannte Kennung {id} ({kind}).",
    "'riskapi engines' and 'riskapi engines FAMILY' list what there is.": (
        "'riskapi engines' und 'riskapi engines FAMILIE' zeigen, was es gibt."
    ),
    "the {kind} {id} was made by version {version}, and this version comes to another result: print it with version "
    "{version}, or ask for a new version of it.": (
        "gemacht mit Version {version} ({kind} {id}), und diese Version kommt zu einem anderen Ergebnis: Drucken Sie "
        "mit Version {version}, oder verlangen Sie eine neue Fassung."
    ),
    "another version of the {kind} {id} came in between.": "eine andere Fassung kam dazwischen ({kind} {id}).",
    "the {kind} {id} was made with the knowledge pack and the program in use.": (
        "gemacht mit dem Wissenspaket und dem Programm von heute ({kind} {id})."
    ),
    "{name}: {why}. Check the name and who may read or write there.": (
        "{name}: {why}. Prüfen Sie den Namen, und wer dort lesen oder schreiben darf."
    ),
    "No such file or directory": "Datei oder Ordner gibt es nicht",
    "Permission denied": "keine Berechtigung",
    "Is a directory": "das ist ein Ordner",
    "Not a directory": "das ist kein Ordner",
    "No space left on device": "kein Platz mehr auf dem Datenträger",
    "Read-only file system": "hier darf nur gelesen werden",
    "File name too long": "der Name ist zu lang",
    "this is a folder, a file was expected": "das ist ein Ordner, erwartet wurde eine Datei",
    "riskapi: a fault of the program itself ({what}). Please report it with the input; RISKAPI_TRACEBACK=1 shows where "
    "it is.": (
        "riskapi: ein Fehler des Programms selbst ({what}). Bitte melden Sie ihn mit der Eingabe; RISKAPI_TRACEBACK=1 "
        "zeigt, wo er steckt."
    ),
    "This is no address of a service.": "Das ist keine Adresse eines Dienstes.",
    "Write https://cars.example or https://cars.example/folder, without a query.": (
        "Schreiben Sie https://cars.example oder https://cars.example/folder, ohne Abfrage."
    ),
    # ---- kinds of things
    "access step": "Arbeitsschritt für den Zugang",
    "account": "Konto",
    "address": "Adresse",
    "assessment": "Beurteilung",
    "check": "Prüfung",
    "dispute": "Einwand",
    "disputes of one publication": "Einwände zu einer Veröffentlichung",
    "engine family": "Motorfamilie",
    "identity": "Identität",
    "key": "Schlüssel",
    "knowledge pack": "Wissenspaket",
    "operation": "Arbeit",
    "photo": "Foto",
    "publication": "Veröffentlichung",
    "revision": "Baustand",
    "source": "Quelle",
    "special tool": "Spezialwerkzeug",
    "symptom": "Anzeichen",
    "weak point": "Schwachstelle",
    "webhook": "Webhook",
    # ---- the query
    "{message}": "{message}",
    "Not a valid integer.": "Das ist keine ganze Zahl.",
    "Not a valid number.": "Das ist keine Zahl.",
    "Not a valid boolean.": "Das ist weder true noch false.",
    "Not a valid string.": "Das ist kein Text.",
    "Not a valid utf-8 string.": "Das ist kein Text in UTF-8.",
    "Number too large.": "Die Zahl ist zu groß.",
    "Special numeric values (nan or infinity) are not permitted.": "Erlaubt sind nur endliche Zahlen.",
    "Field may not be null.": "Der Wert darf nicht null sein.",
    "Invalid value.": "Der Wert ist nicht erlaubt.",
    "Must be greater than or equal to {least} and less than or equal to {most}.": "Erlaubt ist {least} bis {most}.",
    "Longer than maximum length {most}.": "Länger als die erlaubten {most} Zeichen.",
    "Must be one of: {choices}.": "Erlaubt ist eines von: {choices}.",
    "Write km or mi, bar or psi, L or qt in this order, with commas between.": (
        "Schreiben Sie km oder mi, bar oder psi, L oder qt in dieser Reihenfolge, mit Kommas dazwischen."
    ),
    "no such unit: {unit}; choose from {units}.": "Diese Einheit gibt es nicht: {unit}; zur Wahl stehen {units}.",
    "two units of one kind: {one} and {other}.": "Zwei Einheiten derselben Art: {one} und {other}.",
    "Mend or leave out this parameter.": "Berichtigen Sie diesen Parameter, oder lassen Sie ihn weg.",
    # ---- webhooks and recalls
    "This is no address to send to.": "Das ist keine Adresse, an die gesendet werden kann.",
    "Write for example https://host.example/hook.": "Schreiben Sie zum Beispiel https://host.example/hook.",
    "A user name, password or fragment has no place here.": (
        "Benutzername, Passwort oder ein Teil nach # gehören nicht hierher."
    ),
    "This address is not public.": "Diese Adresse ist nicht öffentlich.",
    "Give one that is, or ask the operator to allow it.": (
        "Geben Sie eine an, die es ist, oder bitten Sie den Betreiber, diese zu erlauben."
    ),
    "Events go over https only.": "Ereignisse gehen nur über https.",
    "Write https:// in front.": "Schreiben Sie https:// davor.",
    "{network} is no network.": "{network} ist kein Netz.",
    "Write networks such as 10.1.0.0/16 or fd00::/8, separated by commas.": (
        "Schreiben Sie Netze wie 10.1.0.0/16 oder fd00::/8, durch Kommas getrennt."
    ),
    "No event is named.": "Es ist kein Ereignis genannt.",
    "Name at least one type of event.": "Nennen Sie wenigstens eine Art von Ereignis.",
    "There are {count:d} webhooks already.": "Webhooks, die es schon gibt: {count:d}.",
    "Delete one that is not needed.": "Löschen Sie einen, der nicht gebraucht wird.",
    "This is too short.": "Das ist zu kurz.",
    "Give at least {count:d} digits of it.": "Geben Sie wenigstens {count:d} Stellen davon an.",
    "This is no reason.": "Das ist kein Grund.",
    "Give 1 to {most:,d} printable characters.": "Geben Sie 1 bis {most:,d} druckbare Zeichen an.",
})  # fmt: skip
