"""How faults speak: what was written is shown short, and a near word is offered."""

from __future__ import annotations

import difflib
import json
from collections.abc import Iterable
from typing import Any

SHOWN = 60  # characters of a value that are repeated in a message
LISTED = 12  # choices that are listed in full


class Wrong(str):
    """A message that also says how to mend what it complains about."""

    mend: str

    def __new__(cls, message: str, mend: str) -> Wrong:
        wrong = super().__new__(cls, message)
        wrong.mend = mend
        return wrong


def shown(value: Any) -> str:
    """A value as JSON, cut to SHOWN characters."""
    text = json.dumps(value, ensure_ascii=False, default=str)
    text = text.encode("utf-8", "backslashreplace").decode()
    return text if len(text) <= SHOWN else text[: SHOWN - 3] + "..."


def nearest(word: str, choices: Iterable[str]) -> list[str]:
    """At most two choices that look like the word."""
    if len(word) > SHOWN:
        return []
    lowered = {choice.lower(): choice for choice in sorted(choices)}
    return [lowered[near] for near in difflib.get_close_matches(word.lower(), list(lowered), n=2, cutoff=0.6)]


def choose(word: Any, choices: Iterable[str], otherwise: str = "") -> str:
    """The mend for a word that is none of the choices."""
    known = sorted(choices)
    near = nearest(word, known) if isinstance(word, str) else []
    if near:
        return f"Did you mean {listed(near)}?"
    if known and len(known) <= LISTED:
        return f"Write {listed(known)}."
    return otherwise or f"Write one of the {len(known)} known words, for example {listed(known[:3])}."


def listed(words: Iterable[str]) -> str:
    """a, b or c, each quoted; 'none' when there is no word."""
    quoted = [json.dumps(word, ensure_ascii=False) for word in words] or ["none"]
    return quoted[0] if len(quoted) == 1 else ", ".join(quoted[:-1]) + " or " + quoted[-1]
