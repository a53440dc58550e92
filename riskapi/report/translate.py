"""Packs, answers and single texts in the language that is spoken: the pack's texts and the program's sentences."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import TypeVar

from riskapi.domain.display import ANSWER_TEXTS, reworded, translated
from riskapi.domain.knowledge import Pack
from riskapi.domain.sentence import Fact, Kilometres, Listed, Measured, Sentence, Written, WrittenNumber
from riskapi.report import format as fmt
from riskapi.report.language import DEFAULT, spoken
from riskapi.report.model_texts import pattern_of
from riskapi.report.trait_texts import is_trait_word, trait_word

_T = TypeVar("_T")


def pack_in_words(pack: Pack) -> Pack:
    """The pack in the language spoken now; what its language file lacks stays English."""
    return pack if spoken() == DEFAULT else translated(pack, spoken())


def in_words(answer: _T, pack: Pack) -> _T:
    """An assessment or a checklist made with `pack` (as loaded), its texts in the language and units spoken now."""
    words = pack.languages.get(spoken(), {})
    return reworded(answer, ANSWER_TEXTS, lambda text: _said(text, words))


def text_in_words(text: str, pack: Pack | None) -> str:
    """A text of the program in the language spoken now; `pack` has words for the facts in it."""
    return _said(text, {} if pack is None else pack.languages.get(spoken(), {}))


def _said(text: str, words: Mapping[str, str]) -> str:
    if not isinstance(text, Sentence):
        return words.get(text, text)
    facts = {name: _fact(fact, words) for name, fact in text.facts.items()}
    return pattern_of(text.pattern).format_map(facts)


def _fact(fact: Fact, words: Mapping[str, str]) -> object:
    """A fact as it goes into a pattern."""
    match fact:
        case Sentence():
            return _said(fact, words)
        case Written():
            return fmt.with_separators(fact) if isinstance(fact, WrittenNumber) else fact
        case Listed():
            return fmt.joined(tuple(str(_fact(word, words)) for word in fact.words), fact.joint)
        case str():
            return trait_word(fact) if fact not in words and is_trait_word(fact) else words.get(fact, fact)
        case tuple():
            return ", ".join(format(_fact(item, words), "") for item in fact)
    return _quantity(fact)


def _quantity(fact: float | date | Measured) -> object:
    match fact:
        case Kilometres():
            return fmt.distance(fact)
        case Measured():
            return _measured(fact)
        case date():
            return fmt.day(fact)
    return _Number(fact)


def _measured(fact: Measured) -> str:
    told = [fmt.measured(value, fact.unit) for value in fact.values]
    numbers = ", ".join(number for number, _ in told)
    return f"{numbers} {told[0][1]}" if told else fact.unit


class _Number(float):
    """A number that is written with the separators of the language, whatever the format."""

    def __format__(self, spec: str) -> str:
        return fmt.written(int(self) if spec.endswith("d") else float(self), spec)
