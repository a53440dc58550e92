"""Traits that nobody stated and on which several things hang: an engine for every combination of their values."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import product
from math import prod

from riskapi.domain.case import Case
from riskapi.domain.knowledge import Pack, Traits, WeakPoint, When
from tests.simulator.findings import answers, odds
from tests.simulator.scenery import Candidate


def opened(case: Case, pack: Pack, candidate: Candidate) -> list[Candidate]:
    """The candidate with every value of every such trait, weighted by how common the values are."""
    looked_at = {check.root for check, _, _ in answers(case, pack)}
    names = [name for name in _tied(case, pack, candidate, looked_at) if name not in case.vehicle.engine.unknown]
    words = [word for word in pack.traits if word.name in names]
    engines = []
    for values in product(*(zip(word.values, word.base_rates, strict=True) for word in words)):
        known = tuple((word.name, value) for word, (value, _) in zip(words, values, strict=True))
        weight = candidate.weight * prod(rate for _, rate in values) / prod(sum(word.base_rates) for word in words)
        if weight > 0:
            named = tuple(f"{name} {value}" for name, value in known)
            engines.append(
                replace(candidate, weight=weight, traits=candidate.traits.merged(Traits(known)), named=named)
            )
    return engines


def _tied(case: Case, pack: Pack, candidate: Candidate, looked_at: set[str | None]) -> set[str]:
    """Open traits that decide how something shows, or more than one thing, or that were looked at and decide any."""
    found: dict[str, set[tuple[str, str]]] = {}
    for point in pack.weak_points:
        if odds(point.applies, candidate.traits, pack) > 0:
            for kind, when in _conditions(case, pack, candidate, point):
                for name in _asked(when, candidate.traits, pack):
                    found.setdefault(name, set()).add((point.id, kind))
    words = {word.name for word in pack.traits if word.values}
    return {
        name
        for name, uses in found.items()
        if name in words and (len(uses) > 1 or name in looked_at or any(kind == "shows" for _, kind in uses))
    }


def _asked(when: When, traits: Traits, pack: Pack) -> list[str]:
    """Unstated traits that decide whether a condition holds."""
    return [name for name, _ in when.terms if traits.get(name) is None] if odds(when, traits, pack) > 0 else []


def _conditions(case: Case, pack: Pack, candidate: Candidate, point: WeakPoint) -> Iterator[tuple[str, When]]:
    """Every condition of a weak point by what it decides; what is fitted is none where the family says it."""
    yield "there", point.applies
    name, revision = case.vehicle.engine.family, candidate.revision
    if not (name and revision and pack.family(name).fit(point.id, revision.id)):
        for part in point.parts:
            yield "there", part.when
    for effect in point.effects:
        yield "shows", effect.when
    for row in (*point.in_service.rows, *point.found_faulty.rows):
        yield "price", row.when
