"""What a look at symptoms on one day in the past says of the states then, as a sum of products over weak points.

The result of a check on a symptom with several parents is no product over them. But 'level in a class of levels' splits
into disjoint cases 'source i is the first that reaches it', sources being the background, the weak points and what ran
down from higher zones; and a likelihood that only falls with the level is a mixture of 'level at most l'. Both are
products, so that the likelihood is a sum of products with positive weights and nothing nearly equal is subtracted.
Each product is a *way* in which the result can have come about.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

import numpy as np

from riskapi.domain.timeline import Floats

MOST = 4096  # terms at which the expansion is given up


class TooMany(Exception):
    """The sum has too many terms to be of use."""


@dataclass(frozen=True, slots=True)
class PastSymptom:
    """Cumulative chances of one symptom: background (L + 1,), parents: weak point -> (3, L + 1), above: higher zone ->
    (its levels, L + 1); `seen` (L + 1,) is the likelihood of what was read from it, ones where nobody looked."""

    background: Floats
    parents: Mapping[str, Floats]
    above: Mapping[str, Floats]
    seen: Floats


Span = tuple[int, int | None]  # at most this level, and more than that one
Factor = tuple[Floats, Floats | None]  # chance per state (3,) of staying at or below a level, less that of a lower one


@dataclass(frozen=True, slots=True)
class Term:
    """One product: its constant, and per weak point the factors by its state; `label` names it."""

    weight: float
    label: str
    factors: tuple[tuple[str, tuple[Factor, ...]], ...]


def ways(symptoms: Mapping[str, PastSymptom]) -> tuple[Term, ...]:
    """P(everything read | states) as a sum of products; `symptoms` are closed upwards. Raises TooMany."""
    below = {name: [low for low, s in symptoms.items() if name in s.above] for name in symptoms}
    forks = [name for name in symptoms if len(below[name]) > 1]
    lowest = [name for name in symptoms if not below[name]]
    found: list[Term] = []
    for levels in product(*(range(symptoms[name].seen.size) for name in forks)):
        fixed = dict(zip(forks, levels, strict=True))
        expansion = _Expansion(symptoms, fixed)
        parts = [expansion.of(name, symptoms[name].seen) for name in lowest if name not in fixed]
        for name, level in fixed.items():
            only = np.where(np.arange(symptoms[name].seen.size) == level, symptoms[name].seen, 0.0)
            parts.append(expansion.of(name, only))
        found += _times(parts)
    return tuple(_merged(found))


class _Expansion:
    """Expands symptoms one below the other while the levels of some are fixed."""

    def __init__(self, symptoms: Mapping[str, PastSymptom], fixed: Mapping[str, int]) -> None:
        self._symptoms, self._fixed = symptoms, fixed

    def of(self, name: str, likelihood: Floats) -> list[Term]:
        """sum over l of likelihood[l] P(level = l | states), with all zones above summed out."""
        falling = np.minimum.accumulate(likelihood)
        terms: list[Term] = []
        count = 1 + len(self._symptoms[name].parents) + len(self._free(name))
        for level, step in enumerate(falling - np.append(falling[1:], 0.0)):
            if step > 0.0:
                terms += self._case(name, step, f"{name}_{level}", [(level, None)] * count)
        for first, last, rest in _classes(likelihood - falling):
            for source in range(count):
                terms += self._case(name, rest, f"{name}_{last}_{source}", _first_is(source, count, last, first - 1))
        return _merged(terms)

    def _free(self, name: str) -> list[str]:
        return [zone for zone in self._symptoms[name].above if zone not in self._fixed]

    def _case(self, name: str, weight: float, label: str, spans: Sequence[Span]) -> list[Term]:
        """Every source (the background, the weak points, the zones above) within its span of levels."""
        symptom, free = self._symptoms[name], self._free(name)
        constant = symptom.background
        for zone, level in self._fixed.items():
            if zone in symptom.above:
                constant = constant * symptom.above[zone][level]
        weight *= float(_within(constant, spans[0]))
        own = spans[1 : 1 + len(symptom.parents)]
        factors = [
            (weak_point, (table[:, high], None if low is None else table[:, low]))
            for (weak_point, table), (high, low) in zip(symptom.parents.items(), own, strict=True)
        ]
        if weight <= 0.0 or any(_impossible(factor) for _, factor in factors):
            return []
        mine = Term(weight, label, tuple((name, (factor,)) for name, factor in factors if not _certain(factor)))
        ran_down = [
            self.of(zone, self._symptoms[zone].seen * _within(symptom.above[zone], span))
            for zone, span in zip(free, spans[1 + len(own) :], strict=True)
        ]
        return _times([[mine], *ran_down])


def _first_is(source: int, count: int, high: int, low: int) -> list[Span]:
    """Spans of all sources when this one is the first to exceed `low`, and none exceeds `high`."""
    before: list[Span] = [(low, None)] * source
    return [*before, (high, low), *[(high, None)] * (count - source - 1)]


def _within(cumulative: Floats, span: Span) -> Floats:
    """Chance of a level within the span, from cumulative chances (.., L + 1)."""
    high, low = span
    return np.asarray(cumulative[..., high] - (0.0 if low is None else cumulative[..., low]))


def _classes(values: Floats) -> Iterator[tuple[int, int, float]]:
    """First level, last level and value of each run of equal positive values."""
    start = 0
    for level in range(1, values.size + 1):
        if level == values.size or values[level] != values[start]:
            if values[start] > 0.0:
                yield start, level - 1, float(values[start])
            start = level


def _certain(factor: Factor) -> bool:
    return factor[1] is None and bool((factor[0] == 1.0).all())


def _impossible(factor: Factor) -> bool:
    return factor[1] is not None and not (factor[0] - factor[1]).any()


def _times(parts: Sequence[Sequence[Term]]) -> list[Term]:
    """The product of sums of terms."""
    result = [Term(1.0, "", ())]
    for terms in parts:
        if len(result) * len(terms) > MOST:
            raise TooMany
        result = [_product(a, b) for a in result for b in terms]
    return result


def _product(a: Term, b: Term) -> Term:
    factors = dict(a.factors)
    for weak_point, row in b.factors:
        factors[weak_point] = (*factors.get(weak_point, ()), *row)
    return Term(a.weight * b.weight, "__".join(label for label in (a.label, b.label) if label), tuple(factors.items()))


def _merged(terms: Sequence[Term]) -> list[Term]:
    """Terms with the same factors are one."""
    known: dict[object, Term] = {}
    for term in terms:
        key = tuple(sorted((wp, tuple(sorted(map(_key, row)))) for wp, row in term.factors))
        same = known.get(key)
        known[key] = term if same is None else Term(same.weight + term.weight, same.label, same.factors)
    return list(known.values())


def _key(factor: Factor) -> tuple[tuple[float, ...], tuple[float, ...]]:
    high, low = factor
    return tuple(high.tolist()), () if low is None else tuple(low.tolist())
