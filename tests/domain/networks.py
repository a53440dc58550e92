"""Random small networks with zones, and their posterior by summing over every state and every level."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product

import numpy as np
from numpy.random import Generator

from riskapi.domain.evidence import SymptomTables, lowest_first
from riskapi.domain.knowledge import Symptom

WEAK_POINTS = 4
ARCS = {"top": ("middle", "low"), "middle": ("low",)}  # wetness runs down these
NAMES = ("rattle", "smoke", "top", "middle", "low")


def random_cdf(rng: Generator, levels: int) -> np.ndarray:
    """Cumulative chances of `levels` + 1 levels."""
    return np.append(np.sort(rng.uniform(0.2, 1.0, levels)), 1.0)


def random_tables(rng: Generator) -> dict[str, SymptomTables]:
    """Two symptoms of one to three levels above nothing, and three zones that run down into each other."""
    tables = {}
    for name in NAMES:
        levels = int(rng.integers(1, 4)) if name in ("rattle", "smoke") else 2
        parents = {
            i: np.array([np.ones(levels + 1), random_cdf(rng, levels), random_cdf(rng, levels)])
            for i in range(WEAK_POINTS)
            if rng.random() < 0.6
        }
        arcs = tuple(
            (low, np.array([np.ones(3), random_cdf(rng, 2), random_cdf(rng, 2)])) for low in ARCS.get(name, ())
        )
        symptom = Symptom(name, name, tuple(f"l{k}" for k in range(levels + 1)), (0.0,) * levels, None, (), "test")
        tables[name] = SymptomTables(symptom, random_cdf(rng, levels), parents, arcs)
    return tables


def random_likelihoods(rng: Generator, tables: Mapping[str, SymptomTables]) -> dict[str, np.ndarray]:
    """About two in three symptoms were looked at: level known for certain, or by a reader that errs; (levels,) each."""
    found = {}
    for name, table in tables.items():
        if rng.random() < 0.7:
            levels = table.background.size
            certain = np.eye(levels)[rng.integers(0, levels)]
            found[name] = certain if rng.random() < 0.6 else rng.random(levels)
    return found


def summed(
    tables: Mapping[str, SymptomTables], likelihoods: Mapping[str, np.ndarray], masses: np.ndarray
) -> tuple[float, np.ndarray]:
    """Evidence, and joint masses (weak points, 3) of the states with it."""
    return joined(read_by_states(tables, likelihoods, masses.shape[0]), masses)


def read_by_states(
    tables: Mapping[str, SymptomTables], likelihoods: Mapping[str, np.ndarray], count: int
) -> np.ndarray:
    """Likelihood of all readings for every combination of states, shape (3,) * count."""
    order = lowest_first(tables)[::-1]
    found = np.empty((3,) * count)
    for states in product(range(3), repeat=count):
        found[states] = _read(tables, likelihoods, states, order, {})
    return found


def joined(likelihood: np.ndarray, masses: np.ndarray) -> tuple[float, np.ndarray]:
    """Evidence and joint masses (weak points, 3) from the likelihood of every combination of states."""
    joint = likelihood
    for i, row in enumerate(masses):
        joint = joint * row.reshape([-1 if axis == i else 1 for axis in range(masses.shape[0])])
    others = [tuple(k for k in range(masses.shape[0]) if k != i) for i in range(masses.shape[0])]
    return float(joint.sum()), np.array([joint.sum(axis=axes) for axes in others])


def _read(
    tables: Mapping[str, SymptomTables],
    likelihoods: Mapping[str, np.ndarray],
    states: tuple[int, ...],
    order: list[str],
    levels: dict[str, int],
) -> float:
    """Likelihood of all readings given the states, level by level from the highest zone down."""
    if not order:
        return 1.0
    name, rest = order[0], order[1:]
    cdf = tables[name].background.copy()
    for i, parent in tables[name].parents.items():
        cdf *= parent[states[i]]
    for above, level in levels.items():
        for lower, arc in tables[above].runs_down:
            if lower == name:
                cdf *= arc[level]
    seen = likelihoods.get(name, np.ones(cdf.size))
    chances = np.diff(cdf, prepend=0.0) * seen
    return float(
        sum(
            chance * _read(tables, likelihoods, states, rest, {**levels, name: level})
            for level, chance in enumerate(chances)
            if chance != 0.0
        )
    )
