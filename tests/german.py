"""Whether what a user is told comes in German: all of it, with the facts of the English text."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

import pytest

from riskapi.domain.knowledge import Pack
from riskapi.domain.sentence import Fact, Listed, Sentence, Written, WrittenNumber
from riskapi.errors import CaseError, Fault, HeaderError, InputError, PhotoError
from riskapi.report.faults import faults_in_words
from riskapi.report.language import speaking

ENGLISH = re.compile(
    r"\b(?:the|and|of|with|not|is|are|or|worn|failed|taken|from|stated|without|years?|checks?|engine|oil|after|before|"
    r"told|needs?|repairs?|this|that|by|for|cars|about|than|more|every|month|page|now|day|cost)\b",
    re.IGNORECASE,
)
QUOTED = re.compile(r"""[\w.=]*"[^"]*"|'[^']*'|/[\w~./-]+|https?://\S+""")


def without_quotes(text: str) -> str:
    """The text without keys, ids, examples, places and addresses, which have to be written as they stand."""
    return QUOTED.sub("", text)


def english_in(text: str) -> list[str]:
    """English words in a German text with what stands around them; what is quoted is left out."""
    bare = without_quotes(text)
    return [bare[max(0, m.start() - 40) : m.end() + 40] for m in ENGLISH.finditer(bare)]


def check_told_in_german(fault: Fault, pack: Pack | None = None) -> None:
    """The fault is made of sentences, and in German nothing of them is English and no fact is lost."""
    with speaking("de"):
        (german,) = faults_in_words([fault], pack)
    assert german.place == fault.place
    for english, said in ((fault.message, german.message), (fault.mend, german.mend)):
        assert isinstance(english, Sentence), f"no sentence: {english}"
        assert said != english
        written = sorted(written_in(english), key=len, reverse=True)
        assert [fact for fact in written if fact not in said] == []
        assert english_in(without(said, written)) == [], f"{english} -> {said}"


def without(text: str, facts: Iterable[str]) -> str:
    for fact in facts:
        text = text.replace(fact, "")
    return text


def written_in(fact: Fact) -> Iterator[str]:
    """What stands in a sentence as it was written, in whatever other sentence of it."""
    if isinstance(fact, Written):
        yield fact.replace(".", ",") if isinstance(fact, WrittenNumber) else str(fact)
    elif isinstance(fact, Sentence):
        for inner in fact.facts.values():
            yield from written_in(inner)
    elif isinstance(fact, tuple | Listed):
        for inner in fact.words if isinstance(fact, Listed) else fact:
            yield from written_in(inner)


def faults_in_german(monkeypatch: pytest.MonkeyPatch, pack: Pack | None = None) -> Iterator[None]:
    """For a fixture: whatever fault of a case, a picture or a header the test meets can be told in German."""
    met: dict[Fault, None] = {}
    begin = InputError.__init__

    def remember(error: InputError, faults: Iterable[Fault]) -> None:
        begin(error, faults)
        if isinstance(error, CaseError | PhotoError | HeaderError):
            met.update(dict.fromkeys(error.faults))

    monkeypatch.setattr(InputError, "__init__", remember)
    yield
    for fault in met:
        check_told_in_german(fault, pack)
