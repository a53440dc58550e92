"""200 random cases recomputed by other programs from the exported files: pgmpy 1.1.2 reads the BIF (variable
elimination), pyAgrum 3.3.1 the XMLBIF (lazy propagation).

Small random networks with revision, care, history, zones, several levels and readers that err; and random findings on
engines of the shipped pack. RISKAPI_LONG=1 takes ten times as many networks and 200 cars.
"""

from __future__ import annotations

import json
import os
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.testing import assert_allclose

from riskapi.domain.assessment import Assessment
from riskapi.domain.knowledge import Pack
from riskapi.domain.network import Network
from riskapi.errors import FindingsClash
from riskapi.intake import case_from_json
from riskapi.report.bif import bif
from riskapi.report.bifxml import bifxml
from riskapi.report.tables import MOST_PARENTS, Table, conditional_tables, evidence
from riskapi.service import assess
from tests.conftest import ROOT
from tests.report.libraries import agrum_posteriors, pgmpy_posteriors
from tests.report.networks import brute_force, random_network
from tests.report.test_samples_recomputed import states
from tests.simulator.networks import swept_with_roots

LONG = bool(os.environ.get("RISKAPI_LONG"))
BATCH, BATCHES = 20, 100 if LONG else 10
CARS = 200 if LONG else 6


def network(seed: int) -> Network:
    """The size goes with the seed: two to six weak points, one to five symptoms of two to four levels."""
    rng = np.random.default_rng([seed, 4])
    points = int(rng.integers(2, 7))
    parents = int(rng.integers(1, min(points, 3) + 1))
    shape = {"weak_points": points, "symptoms": int(rng.integers(1, 6)), "levels": int(rng.integers(2, 5))}
    return random_network(seed, **shape, parents=parents, by_revision=bool(rng.integers(2)))


@pytest.mark.parametrize("batch", range(BATCHES))
def test_random_networks_by_both_libraries(batch: int, tmp_path: Path) -> None:
    """Each batch goes out as one file of networks side by side: pgmpy takes a second to get ready to read any."""
    nets = {f"n{seed}_": network(seed) for seed in range(batch * BATCH, (batch + 1) * BATCH)}
    tables = tuple(renamed(table, mark) for mark, net in nets.items() for table in conditional_tables(net))
    seen = {mark + name: result for mark, net in nets.items() for name, result in evidence(net).items()}
    expected = {mark + name: row for mark, net in nets.items() for name, row in swept_with_roots(net).items()}
    file = tmp_path / "networks.bifxml"
    file.write_text(bifxml(tables), encoding="utf-8")
    for found in (agrum_posteriors(file, seen, expected), pgmpy_posteriors(bif(tables), seen, expected)):
        for name, chances in expected.items():
            assert_allclose(found[name], chances, rtol=0, atol=1e-9, err_msg=name)


def renamed(table: Table, mark: str) -> Table:
    """The same table in a network whose variables all start with this mark."""
    return replace(table, name=mark + table.name, parents=tuple(mark + name for name in table.parents))


def test_a_symptom_with_many_parents_goes_out_through_auxiliary_nodes(tmp_path: Path) -> None:
    net = random_network(8, weak_points=8, symptoms=1, levels=3, parents=8)
    tables, seen, expected = conditional_tables(net), evidence(net), swept_with_roots(net)
    assert len(net.symptoms[0].parents) > MOST_PARENTS
    assert sum(table.name.startswith("symptom_zone_0__") for table in tables) == 7
    assert max(len(table.parents) for table in tables if table.name.startswith("symptom_")) <= MOST_PARENTS
    file = tmp_path / "network.bifxml"
    file.write_text(bifxml(tables), encoding="utf-8")
    by_hand = brute_force(net)
    for found in (agrum_posteriors(file, seen, expected), pgmpy_posteriors(bif(tables), seen, expected), by_hand):
        for name, chances in expected.items():
            assert_allclose(found[name], chances, rtol=0, atol=1e-9, err_msg=name)


# ---- random findings on engines of the shipped pack -----------------------------------------------------------


def random_findings(rng: np.random.Generator, pack: Pack) -> list[dict[str, Any]]:
    """Each check done with chance 0.4, its result the best one half of the time, and some only told by the seller."""
    found = []
    for check in pack.checks:
        if check.from_case is None and rng.random() < 0.4:
            result = 0 if rng.random() < 0.5 else int(rng.integers(len(check.results)))
            finding = {
                "check": check.id,
                "result": check.results[result].id,
                "conditions": dict.fromkeys(check.needs, True),
            }
            found.append(finding | ({"observed_by": "seller"} if rng.random() < 0.1 else {}))
    return found


def random_case(seed: int, pack: Pack) -> dict[str, Any]:
    rng = np.random.default_rng([seed, 44])
    name = str(rng.choice(["noisy_early", "clean_late", "port_injected", "filter_trouble"]))
    body: dict[str, Any] = json.loads((ROOT / "sample_requests" / f"{name}.json").read_text(encoding="utf-8"))
    body["vehicle"].pop("moves_under_own_power", None)
    return body | {"findings": random_findings(rng, pack)}


def first_possible(seed: int, pack: Pack) -> Assessment:
    """The first of the cars seed, seed + 1000, .. whose findings can be together."""
    while True:
        try:
            return assess(case_from_json(random_case(seed, pack), pack), pack, nodes=1)
        except FindingsClash:
            seed += 1000


@pytest.mark.parametrize("seed", range(CARS))
def test_random_findings_on_shipped_engines_by_pyagrum(seed: int, shipped: Pack, tmp_path: Path) -> None:
    assessment = first_possible(seed, shipped)
    file = tmp_path / "network.bifxml"
    file.write_text(bifxml(conditional_tables(assessment.network)), encoding="utf-8")
    expected = states(assessment)
    found = agrum_posteriors(file, evidence(assessment.network), expected)
    for name, chances in expected.items():
        assert_allclose(found[name], chances, rtol=0, atol=1e-9, err_msg=name)
