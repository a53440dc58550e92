"""The German texts about seals."""

from __future__ import annotations

from collections.abc import Mapping

from riskapi.report.seal import CHANGED, NOT_SEALED, UNCHANGED, UNKNOWN_KEY

SEAL_TEXTS: Mapping[str, str] = {
    "mark": "Unverändert, seit es gemacht wurde? Das sagt „riskapi verify DATEI.pdf“{where}. Schlüssel {key}, "
    "Prüfsumme {digest}. Über das Auto selbst sagt es nichts.",
    "or_at": " oder {address}",
    UNCHANGED: "Kein Byte hat sich geändert, seit diese Datei versiegelt wurde. Über das Auto selbst sagt das nichts.",
    CHANGED: "Diese Datei ist nicht so, wie sie versiegelt wurde.",
    UNKNOWN_KEY: "Der Schlüssel, der diese Datei versiegelt hat, ist hier nicht bekannt; ob sie sich geändert hat, "
    "kann hier niemand sagen.",
    NOT_SEALED: "Diese Datei trägt kein Siegel.",
}
