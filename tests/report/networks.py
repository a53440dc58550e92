"""Made-up networks for the tests of the export, and their posterior by plain enumeration of every possible car."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product
from math import prod

import numpy as np

from riskapi.domain.network import CheckNode, Network, ParentLink, RootNode, SymptomNode, WeakPointNode

LEVELS = ("nothing", "a_little", "much", "very_much")
Random = np.random.Generator


def random_network(
    seed: int, *, weak_points: int = 4, symptoms: int = 3, levels: int = 3, parents: int = 3, by_revision: bool = True
) -> Network:
    """Two revisions, three cares, symptoms of which the first run down to the last, imperfect readers, a history."""
    random = np.random.default_rng(seed)
    roots = (
        RootNode("revision", ("early", "late"), _chances(random, 2)),
        RootNode("care", ("careful", "average", "neglected"), _chances(random, 3)),
    )
    points = tuple(f"point_{k}" for k in range(weak_points))
    zones = tuple(_symptom(random, k, points, levels, parents, by_revision) for k in range(symptoms))
    checks = (*(_reader(random, symptom) for symptom in zones), _care_check(random))
    nodes = tuple(WeakPointNode(i, tuple(_three(random) for _ in range(6))) for i in points)
    likelihood = tuple(random.uniform(0.2, 3.0, 6).tolist())
    found = tuple((check.id, str(random.choice(check.results))) for check in checks[1:])
    return Network(roots, likelihood, nodes, zones, checks, found)


def brute_force(network: Network) -> dict[str, list[float]]:
    """P(state | evidence) of each weak point, summed over every combination of roots, states and levels."""
    total = {point.id: np.zeros(3) for point in network.weak_points}
    for roots, weight in _root_combinations(network):
        for states in product(range(3), repeat=len(network.weak_points)):
            index = list(product(*(range(len(root.values)) for root in network.roots))).index(roots)
            chance = prod(point.chances[index][s] for point, s in zip(network.weak_points, states, strict=True))
            chance *= weight * _chance_of_findings(network, roots, states)
            for point, state in zip(network.weak_points, states, strict=True):
                total[point.id][state] += chance
    return {name: (values / values.sum()).tolist() for name, values in total.items()}


def _root_combinations(network: Network) -> Iterator[tuple[tuple[int, ...], float]]:
    combinations = product(*(range(len(root.values)) for root in network.roots))
    for index, values in enumerate(combinations):
        prior = prod(root.prior[v] for root, v in zip(network.roots, values, strict=True))
        yield values, prior * network.history_likelihood[index]


def _chance_of_findings(network: Network, roots: tuple[int, ...], states: tuple[int, ...]) -> float:
    """Sum over all levels of all symptoms; symptoms are listed from the highest zone to the lowest."""
    value = {root.name: v for root, v in zip(network.roots, roots, strict=True)}
    value |= {point.id: s for point, s in zip(network.weak_points, states, strict=True)}
    sizes = {root.name: len(root.values) for root in network.roots}
    total = 0.0
    for levels in product(*(range(len(symptom.levels)) for symptom in network.symptoms)):
        at = {symptom.id: level for symptom, level in zip(network.symptoms, levels, strict=True)}
        chance = prod(_level_chance(symptom, at, value, sizes) for symptom in network.symptoms)
        total += chance * prod(_result_chance(network, check, result, at, value) for check, result in network.evidence)
    return total


def _variant(parent: ParentLink, value: dict[str, int], sizes: dict[str, int]) -> int:
    """Which of the parent's tables holds: by the roots that decide it, row-major."""
    index = 0
    for root in parent.by if len(parent.cdf) > 1 else ():
        index = index * sizes[root] + value[root]
    return index


def _level_chance(symptom: SymptomNode, at: dict[str, int], value: dict[str, int], sizes: dict[str, int]) -> float:
    def at_most(level: int) -> float:
        if level < 0:
            return 0.0
        chance = symptom.background_cdf[level]
        for parent in symptom.parents:
            state = at[parent.id] if parent.kind == "symptom" else value[parent.id]
            chance *= parent.cdf[_variant(parent, value, sizes)][state][level]
        return chance

    return at_most(at[symptom.id]) - at_most(at[symptom.id] - 1)


def _result_chance(network: Network, identifier: str, result: str, at: dict[str, int], value: dict[str, int]) -> float:
    check = next(check for check in network.checks if check.id == identifier)
    row = at[check.parent] if check.parent_kind == "symptom" else value[check.parent]
    return check.table[row][check.results.index(result)]


# ---- random parts ----------------------------------------------------------------------------------------


def _chances(random: Random, count: int) -> tuple[float, ...]:
    values = random.dirichlet(np.ones(count)).tolist()
    return (*values[:-1], 1 - sum(values[:-1]))


def _three(random: Random) -> tuple[float, float, float]:
    sound, degraded, faulty = _chances(random, 3)
    return sound, degraded, faulty


def _cdf(random: Random, levels: int) -> tuple[float, ...]:
    return (*np.sort(random.uniform(0.05, 0.95, levels - 1)).tolist(), 1.0)


def _link(random: Random, identifier: str, kind: str, states: int, levels: int, variants: int) -> ParentLink:
    sound = (1.0,) * levels
    cdf = tuple((sound, *(_cdf(random, levels) for _ in range(states - 1))) for _ in range(variants))
    return ParentLink(identifier, kind, cdf)


def _symptom(
    random: Random, k: int, points: tuple[str, ...], levels: int, parents: int, by_revision: bool
) -> SymptomNode:
    """Symptom k, caused by `parents` neighbouring weak points; the zone above runs down to it.

    Its first link asks the revision.
    """
    chosen = [points[(2 * k + i) % len(points)] for i in range(parents)]
    variants = [2 if by_revision and i == 0 else 1 for i in range(parents)]
    links = [_link(random, p, "weak_point", 3, levels, v) for p, v in zip(chosen, variants, strict=True)]
    links += [_link(random, f"zone_{higher}", "symptom", levels, levels, 1) for higher in range(max(0, k - 1), k)]
    return SymptomNode(f"zone_{k}", LEVELS[:levels], _cdf(random, levels), tuple(links))


def _reader(random: Random, symptom: SymptomNode) -> CheckNode:
    table = tuple(_chances(random, 3) for _ in symptom.levels)
    return CheckNode(f"look_at_{symptom.id}", "symptom", symptom.id, ("clean", "damp", "wet"), table)


def _care_check(random: Random) -> CheckNode:
    return CheckNode("cap_deposits", "root", "care", ("none", "some"), tuple(_chances(random, 2) for _ in range(3)))
