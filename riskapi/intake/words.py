"""How faults speak: what was written is shown short, and a near word is offered."""

from __future__ import annotations

import difflib
import json
from collections.abc import Iterable
from typing import Any

from riskapi.domain.sentence import Listed, Sentence, Written, WrittenNumber, told

SHOWN = 60  # characters of a value that are repeated in a message
LISTED = 12  # choices that are listed in full
_LARGE = 1e15  # from here on a number is shown with its exponent
NONE = told("none")


class Wrong(str):
    """A message that also says how to mend what it complains about; a text, since marshmallow takes nothing else."""

    message: Sentence
    mend: Sentence

    def __new__(cls, message: Sentence, mend: Sentence) -> Wrong:
        wrong = super().__new__(cls, message)
        wrong.message, wrong.mend = message, mend
        return wrong


def shown(value: Any) -> Written:
    """A value as JSON, a whole number without decimals, cut to SHOWN characters."""
    whole = isinstance(value, float) and value.is_integer() and abs(value) < _LARGE
    text = json.dumps(int(value) if whole else value, ensure_ascii=False, default=str)
    text = text.encode("utf-8", "backslashreplace").decode()
    if len(text) > SHOWN:
        return Written(text[: SHOWN - 3] + "...")
    bare = isinstance(value, int | float) and not isinstance(value, bool)
    return WrittenNumber(text) if bare else Written(text)


def nearest(word: str, choices: Iterable[str]) -> list[str]:
    """At most two choices that look like the word."""
    if len(word) > SHOWN:
        return []
    lowered = {choice.lower(): choice for choice in sorted(choices)}
    return [lowered[near] for near in difflib.get_close_matches(word.lower(), list(lowered), n=2, cutoff=0.6)]


def choose(word: Any, choices: Iterable[str]) -> Sentence:
    """The mend for a word that is none of the choices."""
    known = sorted(choices)
    if not known:
        return told("There is nothing to choose from here; leave it out.")
    near = nearest(word, known) if isinstance(word, str) else []
    if near:
        return told("Did you mean {words}?", words=listed(near))
    if len(known) <= LISTED:
        return told("Write {words}.", words=listed(known))
    some = listed(known[:3])
    return told("Write one of the {count:d} known words, for example {words}.", count=len(known), words=some)


def listed(words: Iterable[str]) -> Listed:
    """a, b or c, each quoted; 'none' when there is no word."""
    quoted = tuple(Written(json.dumps(word, ensure_ascii=False)) for word in words)
    return Listed(quoted or (NONE,))
