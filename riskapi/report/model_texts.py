"""The sentences that the model makes itself, in the language spoken: English by their own pattern."""

from __future__ import annotations

from riskapi.report.german.model_texts import MODEL_TEXTS
from riskapi.report.language import DEFAULT, spoken

TABLES = {"de": MODEL_TEXTS}


def pattern_of(pattern: str) -> str:
    """The pattern of a sentence in the language spoken now. Raises KeyError for a pattern without a translation."""
    return pattern if spoken() == DEFAULT else TABLES[spoken()][pattern]
