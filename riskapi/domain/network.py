"""The Bayesian network of one case, resolved to numbers: what the sweep computes on and --audit exports.

Level tables are cumulative: `cdf[state][l]` is the chance that this parent alone stays at or below level l.
Root combinations are the product of the roots' values in row-major order (last root fastest).
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class RootNode:
    """revision, care, tune or an unstated trait, with its chances before any finding and before history."""

    name: str
    values: tuple[str, ...]
    prior: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class WeakPointNode:
    """`chances[combination]` are the chances of sound / degraded / faulty given the roots and the history."""

    id: str
    chances: tuple[tuple[float, float, float], ...]


@dataclass(frozen=True, slots=True)
class ParentLink:
    """A parent of a symptom: kind 'weak_point' (three states) or 'symptom' (a higher zone, its levels).

    `cdf[v][state][level]`: v runs over the combinations of the roots `by` (row-major) when the effect depends on
    them, else there is the single entry 0.
    """

    id: str
    kind: str
    cdf: tuple[tuple[tuple[float, ...], ...], ...]
    by: tuple[str, ...] = ("revision",)


@dataclass(frozen=True, slots=True)
class SymptomNode:
    """Noisy-MAX: P(level <= l | parents) = background_cdf[l] * product of the parents' cdf[..][l]."""

    id: str
    levels: tuple[str, ...]
    background_cdf: tuple[float, ...]
    parents: tuple[ParentLink, ...]


@dataclass(frozen=True, slots=True)
class CheckNode:
    """`table[value][result]` = P(result | value of the parent); parent_kind is 'symptom' or 'root'."""

    id: str
    parent_kind: str
    parent: str
    results: tuple[str, ...]
    table: tuple[tuple[float, ...], ...]


@dataclass(frozen=True, slots=True)
class Network:
    """`history_likelihood[combination]`: probability of the recorded history given the roots, up to a factor."""

    roots: tuple[RootNode, ...]
    history_likelihood: tuple[float, ...]
    weak_points: tuple[WeakPointNode, ...]
    symptoms: tuple[SymptomNode, ...]
    checks: tuple[CheckNode, ...]
    evidence: tuple[tuple[str, str], ...]
