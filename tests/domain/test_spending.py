"""Masses times characteristic functions of spends, lane by lane."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from riskapi.domain.costing import REPAIRS, make_transforms, spender_of
from riskapi.domain.lattice import Lattice, compound
from riskapi.domain.spending import IMMEDIATE, unplanned
from tests.domain.weighed import full

BASIS = full().basis
TRANSFORMS = make_transforms(BASIS.prices, Lattice(50.0, 256), REPAIRS)
ONE = BASIS.counting[0]
SPENDER = spender_of(BASIS.outlook, TRANSFORMS, ONE.uses)


def by_hand(events: np.ndarray, service: np.ndarray, found: np.ndarray) -> np.ndarray:
    """sum_f sum_n events[s, f, n] found ** f service ** n, term by term."""
    terms = [found**f * compound(events[:, f], service) for f in range(events.shape[1])]
    return np.sum(terms, axis=0)


def singles(u: int) -> tuple[np.ndarray, np.ndarray]:
    return tuple(kind.rows[kind.index[u]] for kind in (SPENDER.service, SPENDER.found))


def test_rows_are_the_sums_over_counts() -> None:
    rows = SPENDER.rows([IMMEDIATE, unplanned(0), unplanned(2)])
    for u, spend in enumerate(SPENDER.spends):
        service, found = singles(u)
        mean = spend.events.mean(axis=0)[:, :3]
        for kind, events in enumerate((mean[-1].sum(axis=2, keepdims=True), mean[0], mean[2])):
            assert rows[u, kind] == pytest.approx(by_hand(events, service, found), abs=1e-13)


def test_a_renewed_weak_point_starts_with_a_new_part_whatever_its_state() -> None:
    w = int(ONE.uses.weak_points[0])
    rows = SPENDER.rows([unplanned(2, [w])])[:, 0]
    for u in np.flatnonzero(ONE.uses.weak_points == w):
        spend, (service, found) = SPENDER.spends[u], singles(u)
        new = (spend.state[:, :, None, None] * spend.events[:, -1, 3][:, None]).mean(axis=0)  # node by node
        assert rows[u] == pytest.approx(by_hand(new, service, found), abs=1e-13)


def test_with_factors_the_states_are_weighted_and_summed() -> None:
    factors = np.random.default_rng(3).random((ONE.uses.lanes.size, 3))
    summed = SPENDER.rows([unplanned(1)], factors)[:, 0, 0]
    assert summed == pytest.approx((SPENDER.rows([unplanned(1)])[:, 0] * factors[..., None]).sum(axis=1), abs=1e-13)


def test_free_repairs_leave_the_masses() -> None:
    flat = replace(TRANSFORMS, single=np.ones_like(TRANSFORMS.single))
    rows = spender_of(BASIS.outlook, flat, ONE.uses).rows([unplanned(2)])[:, 0]
    masses = ONE.uses.by_root(rows)[..., 0].real
    assert masses == pytest.approx(BASIS.outlook.table.masses[..., ONE.roots], abs=1e-9)


def test_slopes_per_node_are_those_of_the_nodes_one_by_one() -> None:
    """The readable way: the transform of every node by itself, then its product with the slopes."""
    rng = np.random.default_rng(5)
    frequencies = TRANSFORMS.single.shape[1]
    slopes = rng.normal(size=(ONE.uses.lanes.size, 3, frequencies)) + 1j * rng.normal(
        size=(ONE.uses.lanes.size, 3, frequencies)
    )
    found = SPENDER.per_node(slopes)
    for u, spend in enumerate(SPENDER.spends):
        service, at_once = singles(u)
        for node, events in enumerate(spend.events[:, -1, :3]):
            assert found[u, node] == pytest.approx((slopes[u] * by_hand(events, service, at_once)).sum().real)
