"""Laws that every exact answer obeys, on random networks, and agreement with two slow exact methods."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from riskapi.domain.network import CheckNode, Network, SymptomNode
from tests.simulator.exact import enumerated, expanded
from tests.simulator.networks import random_network, root_weights, swept

SEEDS = st.integers(0, 2**32 - 1)
SHORT = settings(max_examples=25, deadline=None, derandomize=True)


def network(seed: int, **more: object) -> Network:
    return random_network(np.random.default_rng(seed), **more)  # type: ignore[arg-type]


@SHORT
@given(SEEDS)
def test_sweep_equals_enumeration_in_rational_numbers(seed: int) -> None:
    net = network(seed)
    exact, (chance, states) = enumerated(net), swept(net)
    assert chance == pytest.approx(float(exact.evidence), rel=1e-12)
    for name, row in exact.states.items():
        assert states[name] == pytest.approx([float(v) for v in row], abs=1e-13)


@SHORT
@given(SEEDS)
def test_sweep_equals_the_signed_expansion_without_arcs(seed: int) -> None:
    net = network(seed, arcs=False)
    (want, rows), (chance, states) = expanded(net), swept(net)
    assert chance == pytest.approx(want, rel=1e-9)
    for name, row in rows.items():
        assert states[name] == pytest.approx(row, abs=1e-9)


@SHORT
@given(SEEDS)
def test_states_sum_to_one(seed: int) -> None:
    for row in swept(network(seed, causes=7, symptoms=7))[1].values():
        assert row.sum() == pytest.approx(1.0, abs=1e-12)
        assert row.min() >= 0.0


@SHORT
@given(SEEDS)
def test_without_findings_the_prior_stays(seed: int) -> None:
    net = replace(network(seed, causes=6), evidence=())
    weight = root_weights(net)
    _, states = swept(net)
    for point in net.weak_points:
        assert states[point.id] == pytest.approx(weight @ np.array(point.chances) / weight.sum(), abs=1e-14)


@SHORT
@given(SEEDS)
def test_the_order_of_findings_symptoms_and_weak_points_does_not_matter(seed: int) -> None:
    net, rng = network(seed, causes=6, symptoms=6), np.random.default_rng(seed)
    shuffled = replace(net, **{
        field: tuple(getattr(net, field)[i] for i in rng.permutation(len(getattr(net, field))))
        for field in ("evidence", "symptoms", "weak_points", "checks")
    })  # fmt: skip
    (one, first), (two, second) = swept(net), swept(shuffled)
    assert one == pytest.approx(two, rel=1e-12)
    for name, row in first.items():
        assert second[name] == pytest.approx(row, abs=1e-13)


@SHORT
@given(SEEDS)
def test_a_check_of_a_symptom_without_parents_changes_nothing(seed: int) -> None:
    net = network(seed)
    stray = SymptomNode("stray", ("no", "yes"), (0.7, 1.0), ())
    look = CheckNode("look", "symptom", "stray", ("r0", "r1"), ((0.9, 0.1), (0.2, 0.8)))
    more = replace(
        net, symptoms=(*net.symptoms, stray), checks=(*net.checks, look), evidence=(*net.evidence, ("look", "r1"))
    )
    (one, first), (two, second) = swept(net), swept(more)
    assert two == pytest.approx(one * (0.7 * 0.1 + 0.3 * 0.8), rel=1e-12)
    for name, row in first.items():
        assert second[name] == pytest.approx(row, abs=1e-13)


@SHORT
@given(SEEDS)
def test_two_looks_at_one_symptom_never_prove_more_than_the_symptom_itself(seed: int) -> None:
    """A posterior after any number of looks lies between those of the symptom's levels, each known for certain."""
    net = network(seed)
    symptom = net.symptoms[-1]
    others = [c.id for c in net.checks if c.parent == symptom.id]
    base = replace(net, evidence=tuple(e for e in net.evidence if e[0] not in others))
    levels = len(symptom.levels)
    reader = CheckNode("known", "symptom", symptom.id, tuple(f"r{k}" for k in range(levels)),
                       tuple(tuple(float(a == b) for b in range(levels)) for a in range(levels)))  # fmt: skip
    rng = np.random.default_rng(seed)
    rough = tuple(
        CheckNode(
            f"look{k}",
            "symptom",
            symptom.id,
            ("r0", "r1"),
            tuple((1 - v, v) for v in np.sort(rng.uniform(0, 1, levels))),
        )
        for k in range(2)
    )
    known = [swept(replace(base, checks=(*base.checks, reader), evidence=(*base.evidence, ("known", f"r{k}"))))
             for k in range(levels)]  # fmt: skip
    looks = replace(base, checks=(*base.checks, *rough), evidence=(*base.evidence, ("look0", "r1"), ("look1", "r1")))
    _, states = swept(looks)
    for name, row in states.items():
        bad = [1 - level[1][name][0] for level in known if level[0] > 0]
        assume(bad)
        assert min(bad) - 1e-12 <= 1 - row[0] <= max(bad) + 1e-12
