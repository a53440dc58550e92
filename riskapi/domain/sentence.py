"""Texts that the program makes itself: English, and able to be said in another language.

A `Sentence` is its English text, so that whoever only shows it need not know more. It also keeps the pattern and the
facts that it was made from; a report looks the pattern up in its own language and puts the same facts in. What the
model says is made of sentences, and so is every fault that a user can meet (`at_fault`).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import reduce
from types import MappingProxyType
from typing import Union

from riskapi.errors import Fault


class Kilometres(float):
    """A distance among the facts of a sentence [km]; '15,000 km' in English."""

    __slots__ = ()

    def __format__(self, _spec: str) -> str:
        return f"{float(self):,.0f} km"


@dataclass(frozen=True, slots=True)
class Measured:
    """Measured values among the facts of a sentence [unit]; '11.5, 12 bar' in English."""

    values: tuple[float, ...]
    unit: str

    def __format__(self, _spec: str) -> str:
        return f"{', '.join(f'{value:g}' for value in self.values)} {self.unit}"


class Written(str):
    """A text among the facts of a sentence that is the same in every language: an id, a key, what somebody wrote."""

    __slots__ = ()


class WrittenNumber(Written):
    """A number as it was written, with a decimal point; the language may have another mark for that."""

    __slots__ = ()


@dataclass(frozen=True, slots=True)
class Listed:
    """Words among the facts of a sentence, joined as the language does: 'a, b or c', or with 'and'."""

    words: tuple[str, ...]
    joint: str = "or"  # or | and

    def __format__(self, _spec: str) -> str:
        *before, last = self.words
        return f"{', '.join(before)} {self.joint} {last}" if before else last


Fact = Union[str, int, float, date, Measured, Listed, "Sentence", tuple["Fact", ...]]


class Sentence(str):
    """An English text with the pattern (as of str.format) and the facts behind it.

    Facts in a pattern: text, numbers with a format, dates, `Kilometres`, `Measured`, `Written`, `Listed`, other
    sentences, tuples of these (told with commas between).
    """

    __slots__ = ("facts", "pattern")

    def __new__(cls, pattern: str, facts: tuple[tuple[str, Fact], ...] = ()) -> Sentence:
        """The sentence; facts are (name, value). Raises KeyError when the pattern asks for a fact that is not there."""
        made = super().__new__(cls, pattern.format_map({name: _english(fact) for name, fact in facts}))
        made.pattern, made.facts = pattern, MappingProxyType(dict(facts))
        return made

    def __getnewargs__(self) -> tuple[str, tuple[tuple[str, Fact], ...]]:  # type: ignore[override]
        return self.pattern, tuple(self.facts.items())

    def __reduce__(self) -> tuple[type[Sentence], tuple[str, tuple[tuple[str, Fact], ...]]]:
        return Sentence, self.__getnewargs__()

    pattern: str
    facts: MappingProxyType[str, Fact]


def told(pattern: str, **facts: Fact) -> Sentence:
    """The sentence of this pattern with these facts."""
    return Sentence(pattern, tuple(facts.items()))


def in_a_row(first: Sentence, *others: Sentence) -> Sentence:
    """Sentences one after the other."""
    return reduce(lambda one, other: told("{one} {other}", one=one, other=other), others, first)


def at_fault(place: str, message: Sentence, mend: Sentence) -> Fault:
    """A fault that can be told in every language."""
    return Fault(place, message, mend)


def _english(fact: Fact) -> Fact:
    return ", ".join(format(_english(item), "") for item in fact) if isinstance(fact, tuple) else fact
