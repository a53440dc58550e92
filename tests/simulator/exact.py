"""Two slow, exact second methods for small noisy-MAX networks: enumeration, and the signed product expansion.

Both read a riskapi.domain.network.Network as plain data. Enumeration works in rational numbers and knows run-down
arcs; the expansion (quickscore, Heckerman 1989, extended to levels) knows none and loses digits with many positives.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from math import prod

from riskapi.domain.network import Network, ParentLink, SymptomNode


@dataclass(frozen=True)
class Answer:
    """P(history and findings), and the chances of each weak point's states and each root's values given them."""

    evidence: Fraction
    states: Mapping[str, tuple[Fraction, ...]]
    roots: Mapping[str, tuple[Fraction, ...]]


def enumerated(network: Network) -> Answer:
    """Add up every combination of roots and states."""
    total = Fraction(0)
    states = {w.id: [Fraction(0)] * 3 for w in network.weak_points}
    roots = {r.name: [Fraction(0)] * len(r.values) for r in network.roots}
    for index, values in enumerate(product(*(range(len(r.values)) for r in network.roots))):
        above = _above(network, index, values)
        for combination in product(range(3), repeat=len(network.weak_points)) if above else ():
            chance = above * prod(
                Fraction(w.chances[index][s]) for w, s in zip(network.weak_points, combination, strict=True)
            )
            if not chance:
                continue
            now = {w.id: s for w, s in zip(network.weak_points, combination, strict=True)}
            joint = chance * _read(network, _ordered(network.symptoms), now, _revision(network, values))
            total += joint
            for name, state in now.items():
                states[name][state] += joint
            for root, value in zip(network.roots, values, strict=True):
                roots[root.name][value] += joint
    return Answer(total, _shares(states, total), _shares(roots, total))


def expanded(network: Network) -> tuple[float, dict[str, tuple[float, ...]]]:
    """P(history and findings) and the states of each weak point, in floating point, by the signed expansion."""
    total, states = 0.0, {w.id: [0.0] * 3 for w in network.weak_points}
    seen = [s for s in network.symptoms if _columns(network, s)]
    if any(p.kind == "symptom" for s in seen for p in s.parents):
        raise ValueError("the signed expansion knows no run-down arcs")
    for index, values in enumerate(product(*(range(len(r.values)) for r in network.roots))):
        above = float(_above(network, index, values))
        for levels in product(*(range(len(s.levels)) for s in seen)):
            factor = above * prod(_signed(network, s, level) for s, level in zip(seen, levels, strict=True))
            if not factor:
                continue
            terms = [_terms(network, seen, levels, w.id, w.chances[index], values) for w in network.weak_points]
            sums = [sum(t) for t in terms]
            total += factor * prod(sums)
            for place, (w, term) in enumerate(zip(network.weak_points, terms, strict=True)):
                others = factor * prod(s for k, s in enumerate(sums) if k != place)
                for state in range(3):
                    states[w.id][state] += others * term[state]
    return total, {name: tuple(value / total for value in row) for name, row in states.items()}


def _shares(table: Mapping[str, Sequence[Fraction]], total: Fraction) -> dict[str, tuple[Fraction, ...]]:
    return {name: tuple(value / total if total else value for value in row) for name, row in table.items()}


def _above(network: Network, index: int, values: Sequence[int]) -> Fraction:
    """Prior of a root combination, times its history, times what was read about the roots themselves."""
    chance = prod((Fraction(r.prior[v]) for r, v in zip(network.roots, values, strict=True)), start=Fraction(1))
    if network.history_likelihood:
        chance *= Fraction(network.history_likelihood[index])
    at = {r.name: v for r, v in zip(network.roots, values, strict=True)}
    results = dict(network.evidence)
    for check in network.checks:
        if check.parent_kind == "root" and check.id in results:
            chance *= Fraction(check.table[at[check.parent]][check.results.index(results[check.id])])
    return chance


def _revision(network: Network, values: Sequence[int]) -> int:
    return next((v for r, v in zip(network.roots, values, strict=True) if r.name == "revision"), 0)


def _columns(network: Network, symptom: SymptomNode) -> list[list[Fraction]]:
    """Per finding about this symptom: P(result | level)."""
    results = dict(network.evidence)
    return [
        [Fraction(row[check.results.index(results[check.id])]) for row in check.table]
        for check in network.checks
        if check.parent_kind == "symptom" and check.parent == symptom.id and check.id in results
    ]


def _cdf(link: ParentLink, revision: int, state: int) -> Sequence[float]:
    return (link.cdf[revision] if len(link.cdf) > 1 else link.cdf[0])[state]


def _ordered(symptoms: Sequence[SymptomNode]) -> tuple[SymptomNode, ...]:
    waiting, done = list(symptoms), []
    while waiting:
        names = {s.id for s in waiting}
        free = [s for s in waiting if not any(p.id in names for p in s.parents if p.kind == "symptom")]
        if not free:
            raise ValueError("run-down arcs in a circle")
        done += free
        waiting = [s for s in waiting if s not in free]
    return tuple(done)


def _read(network: Network, symptoms: Sequence[SymptomNode], known: Mapping[str, int], revision: int) -> Fraction:
    """P(all results read from these symptoms | states and levels above them), level by level."""
    if not symptoms:
        return Fraction(1)
    first, rest = symptoms[0], symptoms[1:]
    below = [
        Fraction(first.background_cdf[level])
        * prod(Fraction(_cdf(p, revision, known[p.id])[level]) for p in first.parents)
        for level in range(len(first.levels))
    ]
    columns = _columns(network, first)
    chance = [
        (b - a) * prod(c[k] for c in columns)
        for k, (a, b) in enumerate(zip([Fraction(0), *below], below, strict=False))
    ]
    if not any(p.id == first.id and p.kind == "symptom" for s in rest for p in s.parents):
        return sum(chance, Fraction(0)) * _read(network, rest, known, revision)
    return sum(
        (c * _read(network, rest, {**known, first.id: k}, revision) for k, c in enumerate(chance) if c), Fraction(0)
    )


def _signed(network: Network, symptom: SymptomNode, level: int) -> float:
    """Summed by parts: the factor of P(level <= l) in the sum over levels of P(read | level) P(level)."""
    weight = [float(prod(column[k] for column in _columns(network, symptom))) for k in range(len(symptom.levels))]
    return (weight[level] - (weight[level + 1] if level + 1 < len(weight) else 0.0)) * symptom.background_cdf[level]


def _terms(
    network: Network,
    seen: Sequence[SymptomNode],
    levels: Sequence[int],
    name: str,
    chances: Sequence[float],
    values: Sequence[int],
) -> list[float]:
    """Per state of one weak point: its chance times how far it keeps every symptom down."""
    revision, terms = _revision(network, values), list(chances)
    for symptom, level in zip(seen, levels, strict=True):
        for link in symptom.parents:
            if link.id == name and link.kind == "weak_point":
                terms = [t * _cdf(link, revision, s)[level] for s, t in enumerate(terms)]
    return terms
