"""A sentence is its English text and keeps what it was made from."""

from __future__ import annotations

import copy
import pickle
from datetime import date

import pytest

from riskapi.domain.sentence import Kilometres, Measured, Sentence, told


def test_a_sentence_is_its_english_text() -> None:
    inner = told("{far} or {years:g} years", far=Kilometres(15000.0), years=1.5)
    made = told("On {day}: {inner} ({names})", day=date(2026, 11, 3), inner=inner, names=("a", "b"))
    assert made == "On 2026-11-03: 15,000 km or 1.5 years (a, b)"
    assert isinstance(made, str)
    assert made.facts["inner"] is inner
    assert told("{measured}", measured=Measured((11.5, 12.0), "bar")) == "11.5, 12 bar"


def test_braces_in_a_fact_are_no_pattern() -> None:
    assert told("{name}!", name="{day}") == "{day}!"


@pytest.mark.parametrize("again", [copy.copy, copy.deepcopy, lambda s: pickle.loads(pickle.dumps(s))])  # noqa: S301
def test_a_copy_remembers_as_much(again: object) -> None:
    made = told("{name}: {count:g}", name="a", count=2.0)
    other = again(made)  # type: ignore[operator]
    assert isinstance(other, Sentence)
    assert (other, other.pattern, dict(other.facts)) == (made, made.pattern, dict(made.facts))


def test_a_missing_fact_is_an_error() -> None:
    with pytest.raises(KeyError):
        told("{name}")
