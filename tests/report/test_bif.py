"""The exported network gives, in other programs, the posteriors it stands for."""

from __future__ import annotations

from pathlib import Path

import pytest
from numpy.testing import assert_allclose

from riskapi.domain.network import Network
from riskapi.report.bif import bif, number
from riskapi.report.bifxml import bifxml
from riskapi.report.tables import MOST_CELLS, conditional_tables, evidence
from tests.report.libraries import agrum_posteriors, pgmpy_posteriors
from tests.report.networks import brute_force, random_network

SMALL = [random_network(seed, levels=levels) for seed, levels in [(1, 2), (2, 3), (3, 3), (4, 4)]]
CHAINED = [
    random_network(11, weak_points=8, symptoms=1, parents=8),
    random_network(12, weak_points=7, symptoms=2, parents=7, levels=2),
    random_network(13, weak_points=8, symptoms=1, parents=8, by_revision=False),
]


def posteriors(network: Network, folder: Path) -> tuple[dict[str, list[float]], dict[str, list[float]]]:
    """By pgmpy from BIF, by pyAgrum from XMLBIF."""
    tables, seen = conditional_tables(network), evidence(network)
    names = [point.id for point in network.weak_points]
    file = folder / "network.bifxml"
    file.write_text(bifxml(tables), encoding="utf-8")
    return pgmpy_posteriors(bif(tables), seen, names), agrum_posteriors(file, seen, names)


@pytest.mark.parametrize("network", SMALL + CHAINED)
def test_two_libraries_and_plain_enumeration_agree(network: Network, tmp_path: Path) -> None:
    """Source: pgmpy 1.1.2 (variable elimination) and pyAgrum 3.3.1 (lazy propagation), two unrelated programs."""
    by_pgmpy, by_agrum = posteriors(network, tmp_path)
    by_hand = brute_force(network)
    for name, expected in by_hand.items():
        assert_allclose(by_pgmpy[name], expected, rtol=0, atol=1e-9)
        assert_allclose(by_agrum[name], expected, rtol=0, atol=1e-9)


def test_a_network_of_usual_size_is_the_same_in_both_libraries(tmp_path: Path) -> None:
    network = random_network(21, weak_points=20, symptoms=6, parents=9)
    by_pgmpy, by_agrum = posteriors(network, tmp_path)
    for name, expected in by_agrum.items():
        assert_allclose(by_pgmpy[name], expected, rtol=0, atol=1e-9)


def test_the_bif_file_is_readable_by_the_second_library_too(tmp_path: Path) -> None:
    """pyAgrum keeps single precision when it reads BIF, hence the wider tolerance."""
    network = SMALL[1]
    file = tmp_path / "network.bif"
    file.write_text(bif(conditional_tables(network)), encoding="utf-8")
    found = agrum_posteriors(file, evidence(network), [point.id for point in network.weak_points])
    for name, expected in brute_force(network).items():
        assert_allclose(found[name], expected, rtol=0, atol=1e-5)


@pytest.mark.parametrize("network", CHAINED)
def test_no_table_is_big(network: Network) -> None:
    tables = conditional_tables(network)
    assert max(len(table.rows) * len(table.states) for table in tables) <= MOST_CELLS
    assert any("__" in table.name for table in tables)


@pytest.mark.parametrize("value", [0.1, 1 / 3, 1e-12, 1 - 1e-16, 0.0, 1.0, 5e-324])
def test_a_number_reads_back_as_the_same_double(value: float) -> None:
    assert float(number(value)) == value
