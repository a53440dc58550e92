"""Random small networks, and their translation into the arrays that the product's sweep works on."""

from __future__ import annotations

from itertools import product
from math import prod

import numpy as np
from numpy.random import Generator

from riskapi.domain.network import CheckNode, Network, ParentLink, RootNode, SymptomNode, WeakPointNode
from riskapi.domain.sweep import OpenSymptom, Sweep, make_plan

Cdf = tuple[float, ...]


def random_network(
    rng: Generator,
    causes: int = 4,
    symptoms: int = 4,
    arcs: bool = True,
    positives: float = 0.6,
    most_parents: int | None = None,
) -> Network:
    """Noisy-MAX network with one root of two values, imperfect readers, several looks at one symptom, and arcs."""
    combinations = 2
    weak_points = tuple(
        WeakPointNode(
            f"w{i}", tuple(_shares(rng, np.array([8.0, 1.0, 1.0]), rng.uniform(0.3, 1.0)) for _ in range(combinations))
        )
        for i in range(causes)
    )
    nodes: list[SymptomNode] = []
    for k in range(symptoms):
        levels = int(rng.integers(2, 5))
        who = rng.permutation(causes)[: rng.integers(0, (most_parents or causes) + 1)]
        links = [ParentLink(f"w{i}", "weak_point", ((_quiet(levels), *_cdfs(rng, 2, levels)),)) for i in sorted(who)]
        if arcs and k and rng.random() < 0.5:
            above = nodes[int(rng.integers(k))]
            links.append(
                ParentLink(above.id, "symptom", ((_quiet(levels), *_cdfs(rng, len(above.levels) - 1, levels)),))
            )
        nodes.append(
            SymptomNode(f"s{k}", tuple(f"l{x}" for x in range(levels)), _cdfs(rng, 1, levels)[0], tuple(links))
        )
    checks, evidence = [], []
    for node in nodes:
        for look in range(int(rng.integers(0, 3))):
            name, results = f"c_{node.id}_{look}", int(rng.integers(2, 4))
            rows = tuple(_shares(rng, np.ones(results), 1.0) for _ in node.levels)
            checks.append(CheckNode(name, "symptom", node.id, tuple(f"r{x}" for x in range(results)), rows))
            evidence.append((name, f"r{results - 1 if rng.random() < positives else 0}"))
    care = CheckNode(
        "c_care", "root", "care", ("r0", "r1"), (_shares(rng, np.ones(2), 1.0), _shares(rng, np.ones(2), 1.0))
    )
    roots = (RootNode("care", ("kept", "left"), _shares(rng, np.ones(2), 1.0)),)
    history = tuple(float(x) for x in rng.uniform(0.1, 1.0, combinations))
    return Network(
        roots, history, weak_points, tuple(nodes), (*checks, care), (*evidence, ("c_care", f"r{rng.integers(2)}"))
    )


def _shares(rng: Generator, weight: np.ndarray, total: float) -> tuple[float, ...]:
    """A random distribution; `total` below 1 leaves the first entry the rest."""
    values = rng.dirichlet(weight) * total
    values[0] += 1.0 - values.sum()
    return tuple(float(v) for v in values)


def _quiet(levels: int) -> Cdf:
    return (1.0,) * levels


def _cdfs(rng: Generator, count: int, levels: int) -> list[Cdf]:
    """Cumulative chances of reaching each level; worse states (later rows) reach higher ones."""
    rows = np.sort(rng.uniform(0.0, 1.0, (count, levels)), axis=1)
    rows = np.sort(rows, axis=0)[::-1].copy()
    rows[:, -1] = 1.0
    return [tuple(float(v) for v in row) for row in rows]


def open_symptoms(network: Network, revision: int = 0) -> tuple[list[OpenSymptom], list[np.ndarray]]:
    """Every symptom left open at full depth, with the likelihood of its readings per level, under one revision."""
    place = {w.id: i for i, w in enumerate(network.weak_points)}
    rank = {s.id: i for i, s in enumerate(network.symptoms)}
    results = dict(network.evidence)
    found, weights = [], []
    for symptom in network.symptoms:
        links = [(p, np.array(p.cdf[revision if len(p.cdf) > 1 else 0])) for p in symptom.parents]
        parents = {place[p.id]: cdf for p, cdf in links if p.kind == "weak_point"}
        higher = {rank[p.id]: cdf for p, cdf in links if p.kind == "symptom"}
        found.append(OpenSymptom(symptom.id, np.array(symptom.background_cdf), parents, higher))
        weight = np.ones(len(symptom.levels))
        for check in network.checks:
            if check.parent == symptom.id and check.id in results:
                weight *= np.array(check.table)[:, check.results.index(results[check.id])]
        weights.append(weight[:, None])
    return found, weights


def swept(network: Network) -> tuple[float, dict[str, np.ndarray]]:
    """P(history and findings) and posterior states by the product's sweep, roots mixed by hand."""
    symptoms, weights = open_symptoms(network)
    masses = np.moveaxis(np.array([w.chances for w in network.weak_points]), 1, 2)
    total, joint = Sweep(make_plan(len(network.weak_points), symptoms), weights).marginals(masses)
    above = root_weights(network)
    chance = float((above * total).sum())
    return chance, {w.id: (joint[i] @ above) / chance for i, w in enumerate(network.weak_points)}


def swept_without_roots(network: Network) -> tuple[float, dict[str, np.ndarray]]:
    """P(findings) and posterior states by the product's sweep, for a network that has no roots."""
    symptoms, weights = open_symptoms(network)
    masses = np.array([w.chances[0] for w in network.weak_points])[..., None]
    total, joint = Sweep(make_plan(len(masses), symptoms), weights).marginals(masses)
    return float(total[0]), {w.id: joint[i, :, 0] / (total[0] or 1.0) for i, w in enumerate(network.weak_points)}


def root_weights(network: Network) -> np.ndarray:
    """Prior times history times what was read about the one root."""
    (root,) = network.roots
    weight = np.array(root.prior) * np.array(network.history_likelihood or [1.0] * len(root.prior))
    results = dict(network.evidence)
    for check in network.checks:
        if check.parent_kind == "root" and check.id in results:
            weight = weight * np.array(check.table)[:, check.results.index(results[check.id])]
    return weight


def swept_with_roots(network: Network) -> dict[str, np.ndarray]:
    """Posterior states by the product's sweep for any number of roots: one sweep per combination, mixed by hand."""
    results, mixed = dict(network.evidence), np.zeros((len(network.weak_points), 3))
    for index, values in enumerate(product(*(range(len(root.values)) for root in network.roots))):
        at = {root.name: v for root, v in zip(network.roots, values, strict=True)}
        weight = network.history_likelihood[index] * prod(
            r.prior[v] for r, v in zip(network.roots, values, strict=True)
        )
        for check in network.checks:
            if check.parent_kind == "root" and check.id in results:
                weight *= check.table[at[check.parent]][check.results.index(results[check.id])]
        symptoms, weights = open_symptoms(network, at.get("revision", 0))
        masses = np.array([w.chances[index] for w in network.weak_points])[..., None]
        mixed += weight * Sweep(make_plan(len(masses), symptoms), weights).marginals(masses)[1][..., 0]
    return {w.id: row / row.sum() for w, row in zip(network.weak_points, mixed, strict=True)}
