"""Right to 1e-9 relative where the findings are as improbable as 1e-12 and less, against exact rational numbers.

The signed product expansion (quickscore, Heckerman 1989) on the same networks shows what is avoided: it subtracts
nearly equal numbers and keeps few digits or none.
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

import numpy as np
import pytest
from numpy.random import Generator

from riskapi.domain.copies import worst_state
from riskapi.domain.network import CheckNode, Network, ParentLink, RootNode, SymptomNode, WeakPointNode
from riskapi.domain.sweep import Sweep, make_plan
from riskapi.domain.sweep_matrices import MatrixSweep
from tests.simulator.exact import Answer, enumerated, expanded
from tests.simulator.networks import open_symptoms, root_weights

CAUSES, POSITIVES = 5, 13
CASES = range(4)
REQUIRED = 1e-9  # what is asked for; measured: 1.8e-15 and less, see below


def rare(rng: Generator, *, positives: int = POSITIVES, plain: bool = False, arcs: bool = False) -> Network:
    """Positives in a ring of five rare causes in three states, one of them four copies; two to four levels (`plain`:
    two), readers that err, two looks at some symptoms, backgrounds of one in a thousand, zones with `arcs`."""
    causes = [_cause(rng, copies=4 if i == 2 else 1) for i in range(CAUSES)]
    points = tuple(WeakPointNode(f"w{i}", chances) for i, chances in enumerate(causes))
    nodes: list[SymptomNode] = []
    for k in range(positives):
        levels = int(rng.integers(2, 5)) if k % 3 == 0 and not plain else 2
        links = [_link(rng, f"w{(k + j) % CAUSES}", "weak_point", 3, levels) for j in range(2)]
        if arcs and k % 4 == 3:
            links.append(_link(rng, nodes[-1].id, "symptom", len(nodes[-1].levels), levels))
        nodes.append(SymptomNode(f"s{k}", tuple(f"l{x}" for x in range(levels)), _cdf(rng, levels, 1e-3), tuple(links)))
    checks = [_reader(rng, node, look) for k, node in enumerate(nodes) for look in range(1 + (k % 5 == 0))]
    care = CheckNode("c_care", "root", "care", ("r0", "r1"), ((0.9, 0.1), (0.3, 0.7)))
    evidence = [(check.id, check.results[-1]) for check in checks]
    root = RootNode("care", ("kept", "left"), (0.75, 0.25))
    return Network((root,), (1.0, 0.4), points, tuple(nodes), (*checks, care), (*evidence, ("c_care", "r1")))


def _cause(rng: Generator, copies: int) -> tuple[tuple[float, float, float], ...]:
    bad = 10.0 ** rng.uniform(-3.0, -1.5, (2, 2))
    one = np.column_stack([1.0 - bad.sum(axis=1), bad])
    rows = worst_state(one, copies)
    return tuple((float(a), float(b), float(c)) for a, b, c in rows)


def _cdf(rng: Generator, levels: int, most: float) -> tuple[float, ...]:
    """Cumulative chances; level 1 is reached with a chance up to `most`, each further one with half of it or less."""
    reach = most * rng.uniform(0.3, 1.0) * np.cumprod(rng.uniform(0.1, 0.5, levels - 1)) * 2.0
    return (*(float(1.0 - x) for x in reach), 1.0)


def _link(rng: Generator, name: str, kind: str, states: int, levels: int) -> ParentLink:
    worse = sorted((_cdf(rng, levels, 0.5) for _ in range(states - 1)), reverse=True)
    return ParentLink(name, kind, (((1.0,) * levels, *worse),))


def _reader(rng: Generator, node: SymptomNode, look: int) -> CheckNode:
    """Says the last result rarely where there is nothing, mostly at the highest level."""
    chance = np.linspace(rng.uniform(0.001, 0.01), rng.uniform(0.7, 0.95), len(node.levels))
    rows = tuple((float(1.0 - p), float(p)) for p in chance)
    return CheckNode(f"c_{node.id}_{look}", "symptom", node.id, ("r0", "r1"), rows)


@lru_cache
def case(seed: int) -> tuple[Network, Answer]:
    net = rare(np.random.default_rng(seed), arcs=seed % 2 == 0)
    return net, enumerated(net)


def computed(net: Network, kind: type[Sweep] | type[MatrixSweep]) -> tuple[float, dict[str, np.ndarray]]:
    """P(history and findings) and posterior states by one of the product's sweeps."""
    symptoms, weights = open_symptoms(net)
    masses = np.moveaxis(np.array([w.chances for w in net.weak_points]), 1, 2)
    total, joint = kind(make_plan(len(net.weak_points), symptoms), weights).marginals(np.ascontiguousarray(masses))
    above = root_weights(net)
    chance = float(above @ total)
    return chance, {w.id: (joint[i] @ above) / chance for i, w in enumerate(net.weak_points)}


def worst(exact: Answer, chance: float, states: dict[str, np.ndarray]) -> float:
    """Largest relative error of the evidence and of every state's chance."""
    pairs = [(chance, exact.evidence)]
    pairs += [
        (float(x), wanted) for name, row in exact.states.items() for x, wanted in zip(states[name], row, strict=True)
    ]
    return max(float(abs(Fraction(found) - wanted) / wanted) for found, wanted in pairs)


@pytest.mark.parametrize("kind", [Sweep, MatrixSweep])
@pytest.mark.parametrize("seed", CASES)
def test_right_to_nine_digits(seed: int, kind: type[Sweep] | type[MatrixSweep]) -> None:
    net, exact = case(seed)
    assert exact.evidence < Fraction(1, 10**12)
    assert worst(exact, *computed(net, kind)) <= REQUIRED


def test_in_fact_the_sweep_loses_nothing() -> None:
    """Every term is positive, so errors only add up: some tens of roundings of 1.1e-16 each."""
    for seed in CASES:
        net, exact = case(seed)
        for kind in (Sweep, MatrixSweep):
            assert worst(exact, *computed(net, kind)) <= 1e-14


def test_the_signed_expansion_loses_the_digits_that_the_sweep_keeps() -> None:
    net = rare(np.random.default_rng(1), positives=12, plain=True)
    exact = enumerated(net)
    chance, rows = expanded(net)
    signed = worst(exact, chance, {name: np.array(row) for name, row in rows.items()})
    assert signed > 1e-7
    assert worst(exact, *computed(net, Sweep)) < 1e-7 * signed
