"""Traits and their values in words: an id with its underscores as spaces in English, a table in German."""

from __future__ import annotations

from riskapi.report.german.trait_texts import TRAIT_TEXTS
from riskapi.report.language import Texts

_words = Texts(en={name: name.replace("_", " ") for name in TRAIT_TEXTS}, de=TRAIT_TEXTS)


def trait_word(name: str) -> str:
    """'cam drive' for 'cam_drive', 'Nockenwellenantrieb' in German; a trait or value of another pack by its id."""
    return _words(name) if name in _words else name.replace("_", " ")


def is_trait_word(name: str) -> bool:
    """Whether this is a trait or a value that the table knows."""
    return name in _words
