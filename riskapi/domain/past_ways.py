"""The ways in which past results can have come about, as looks at single weak points."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from math import prod

import numpy as np

from riskapi.domain.lane import PastLook
from riskapi.domain.past_levels import Factor, Term
from riskapi.domain.timeline import Floats

Looks = tuple[PastLook, ...]
Products = tuple[tuple[float, Looks], ...]  # signed products of looks


@dataclass(frozen=True, slots=True)
class Way:
    """One alternative: its weight, and per weak point the signed products of looks that make up its part (one product,
    unless a weak point with several copies is what made a symptom show).

    `explains`: weak points that made a symptom show, so that they are there.
    """

    label: str
    weight: float
    looks: Mapping[str, Products]
    explains: frozenset[str]


def way_of(days: Sequence[tuple[float, Term, str]], weight: float, several: frozenset[str]) -> Way:
    """One term of every day with the day's time [years] and a name for it; `several`: weak points with copies."""
    factors: dict[str, list[tuple[float, Factor]]] = {}
    for t, term, _ in days:
        for name, row in term.factors:
            factors.setdefault(name, []).extend((t, factor) for factor in row)
    return Way(
        label="__".join(name for _, _, name in days if name),
        weight=weight * prod(term.weight for _, term, _ in days),
        looks={name: _products(row, several=name in several) for name, row in factors.items()},
        explains=frozenset(name for name, row in factors.items() if any(low is not None for _, (_, low) in row)),
    )


def _products(factors: Sequence[tuple[float, Factor]], *, several: bool) -> Products:
    """A part present once is weighed by the difference itself; for several copies 'at most this level' is a product
    over them, so that the difference is one of products."""
    if not several:
        return ((1.0, _looks([(t, high if low is None else high - low) for t, (high, low) in factors])),)
    choices = [[(1.0, high)] if low is None else [(1.0, high), (-1.0, low)] for _, (high, low) in factors]
    times = [t for t, _ in factors]
    return tuple(
        (prod(sign for sign, _ in choice), _looks(list(zip(times, [v for _, v in choice], strict=True))))
        for choice in product(*choices)
    )


def _looks(rows: Sequence[tuple[float, Floats]]) -> Looks:
    """One look for each day, in order of time; those of a day multiply."""
    by_day: dict[float, Floats] = {}
    for t, values in rows:
        by_day[t] = by_day.get(t, np.ones(3)) * values
    days = [(t, *by_day[t].tolist()) for t in sorted(by_day)]
    return tuple(PastLook(t, (sound, degraded, faulty)) for t, sound, degraded, faulty in days)
