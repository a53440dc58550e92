"""The sentences that the program makes itself, in the language spoken: English by their own pattern."""

from __future__ import annotations

from riskapi.report.german.fault_texts import FAULT_TEXTS
from riskapi.report.german.finding_fault_texts import FINDING_FAULT_TEXTS
from riskapi.report.german.model_texts import MODEL_TEXTS
from riskapi.report.german.problem_texts import PROBLEM_TEXTS
from riskapi.report.language import DEFAULT, spoken

PARTS = {"de": (MODEL_TEXTS, FAULT_TEXTS, FINDING_FAULT_TEXTS, PROBLEM_TEXTS)}
TABLES = {
    language: {english: said for part in parts for english, said in part.items()} for language, parts in PARTS.items()
}


def pattern_of(pattern: str) -> str:
    """The pattern of a sentence in the language spoken now. Raises KeyError for a pattern without a translation."""
    return pattern if spoken() == DEFAULT else TABLES[spoken()][pattern]
