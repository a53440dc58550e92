"""Conditions on traits: certain where stated, averaged over base rates where not."""

from __future__ import annotations

import pytest

from riskapi.domain.knowledge import Traits, When
from riskapi.domain.traits import base_rate, chance, settled, unstated
from tests.simulator import tiny

PACK = tiny.pack()  # induction: natural 60 %, turbocharged 40 %; interference: yes 80 %, no 20 %
TURBO = When((("induction", ("turbocharged",)),))
BOTH = When((("induction", ("turbocharged",)), ("interference", ("yes",))))


@pytest.mark.parametrize(("value", "expected"), [("turbocharged", 1.0), ("natural", 0.0)])
def test_a_stated_trait_decides(value: str, expected: float) -> None:
    assert chance(TURBO, Traits((("induction", value),)), PACK) == expected


def test_an_unstated_trait_counts_by_how_common_it_is() -> None:
    assert chance(TURBO, Traits(), PACK) == pytest.approx(0.4)
    assert chance(BOTH, Traits(), PACK) == pytest.approx(0.32)
    assert chance(BOTH, Traits((("interference", "yes"),)), PACK) == pytest.approx(0.4)


def test_no_condition_always_holds() -> None:
    assert chance(When(), Traits(), PACK) == 1.0


def test_a_word_outside_the_vocabulary_never_holds_unless_stated() -> None:
    """The family's own parts carry such a condition: they are reached by a fit only."""
    assert chance(When((("family", ("tiny",)),)), Traits(), PACK) == 0.0


def test_base_rates_of_all_values_sum_to_one() -> None:
    for word in PACK.traits:
        assert base_rate(word, word.values) == pytest.approx(1.0)


def test_a_numeric_trait_is_not_excluded() -> None:
    assert chance(When((("cylinders", (3, 4)),)), Traits(), PACK) == 1.0


def test_unstated_names_what_decides() -> None:
    assert unstated(BOTH, Traits((("interference", "no"),))) == ("induction",)


def test_a_holding_condition_settles_traits_but_never_overrides_what_is_stated() -> None:
    assert settled(TURBO, Traits()).get("induction") == "turbocharged"
    assert settled(TURBO, Traits((("induction", "natural"),))).get("induction") == "natural"
    assert settled(When((("induction", ("natural", "turbocharged")),)), Traits()).get("induction") is None
