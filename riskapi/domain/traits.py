"""Conditions on traits that may not be stated: chances from how common each value is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import product
from math import prod

from riskapi.domain.knowledge import Pack, Traits, TraitValue, TraitWord, When


def base_rate(word: TraitWord, allowed: tuple[TraitValue, ...]) -> float:
    """How common the allowed values are where nothing is stated; a numeric trait counts as not excluded."""
    if not word.values:
        return 1.0
    return sum(rate for value, rate in zip(word.values, word.base_rates, strict=True) if value in allowed)


def chance(when: When, traits: Traits, pack: Pack) -> float:
    """Chance that the condition holds: 0 or 1 where the traits are stated, else the product of base rates."""
    words = {word.name: word for word in pack.traits}
    result = 1.0
    for name, allowed in when.terms:
        value = traits.get(name)
        if value is not None:
            result *= 1.0 if value in allowed else 0.0
        elif name in words:
            result *= base_rate(words[name], allowed)
        else:
            return 0.0
    return result


def unstated(when: When, traits: Traits) -> tuple[str, ...]:
    """Traits that decide the condition and are not stated."""
    return tuple(name for name, _ in when.terms if traits.get(name) is None)


def settled(when: When, traits: Traits) -> Traits:
    """The traits, with those that a holding condition settles (one allowed value) filled in."""
    return Traits(tuple((name, allowed[0]) for name, allowed in when.terms if len(allowed) == 1)).merged(traits)


def completions(conditions: Iterable[When], traits: Traits, pack: Pack) -> Iterator[tuple[float, Traits]]:
    """Every way to fill in what these conditions ask for and nobody stated, with its chance (numeric traits stay)."""
    asked = {name for when in conditions for name in unstated(when, traits)}
    words = [word for word in pack.traits if word.name in asked and word.values]
    for values in product(*(zip(word.values, word.base_rates, strict=True) for word in words)):
        filled = Traits(tuple((word.name, value) for word, (value, _) in zip(words, values, strict=True)))
        yield prod(rate for _, rate in values), traits.merged(filled)
