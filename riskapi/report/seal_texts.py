"""Texts about seals, in every language; the setting of language.py says which."""

from __future__ import annotations

from riskapi.report.german.seal_texts import SEAL_TEXTS
from riskapi.report.language import Texts
from riskapi.report.seal import CHANGED, NOT_SEALED, UNCHANGED, UNKNOWN_KEY

_TEXTS = {
    "mark": "Unchanged since it was made? 'riskapi verify FILE.pdf'{where} tells. Key {key}, digest {digest}. "
    "It says nothing about the car itself.",
    "or_at": " or {address}",
    UNCHANGED: "Not one byte has changed since this file was sealed. That says nothing about the car itself.",
    CHANGED: "This file is not as it was sealed.",
    UNKNOWN_KEY: "The key that sealed this file is not known here; nobody here can say whether it changed.",
    NOT_SEALED: "This file carries no seal.",
}
say = Texts(en=_TEXTS, de=SEAL_TEXTS)
