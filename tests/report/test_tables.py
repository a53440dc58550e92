"""The network as plain tables: names, sums, order, what is left out."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from riskapi.domain.network import CheckNode, Network, ParentLink, RootNode, SymptomNode, WeakPointNode
from riskapi.errors import KnowledgeError
from riskapi.report.tables import conditional_tables, evidence, whole, word
from tests.report.networks import random_network


def one_root(rows: tuple[tuple[float, float, float], ...], likelihood: tuple[float, ...] = (1.0, 1.0)) -> Network:
    root = RootNode("revision", ("early", "late"), (0.4, 0.6))
    return Network((root,), likelihood, (WeakPointNode("seal", rows),), (), (), ())


@given(st.lists(st.floats(1e-12, 1), min_size=2, max_size=6))
def test_a_whole_row_sums_to_one_and_keeps_small_chances(weights: list[float]) -> None:
    row = [weight / math.fsum(weights) for weight in weights]
    made = whole(row)
    assert math.fsum(made) == 1
    assert made == pytest.approx(row, rel=1e-14)


@pytest.mark.parametrize("row", [(0.5, 0.4), (1.2, -0.2)])
def test_what_is_no_distribution_is_refused(row: tuple[float, float]) -> None:
    with pytest.raises(ValueError, match="not a distribution"):
        whole(row)


def test_every_row_sums_to_one_and_every_name_is_plain() -> None:
    tables = conditional_tables(random_network(5, weak_points=9, parents=8))
    known: set[str] = set()
    for table in tables:
        assert all(math.fsum(row) == 1 for row in table.rows)
        assert all(re.fullmatch(r"[a-z][a-z0-9_]*", name) for name in (table.name, *table.states))
        assert set(table.parents) <= known
        known.add(table.name)


def test_a_root_that_changes_nothing_is_no_parent() -> None:
    same = (0.7, 0.2, 0.1)
    table = conditional_tables(one_root((same, same)))[-1]
    assert (table.name, table.parents, table.rows) == ("seal", (), (same,))


def test_a_root_that_changes_something_is_a_parent() -> None:
    rows = ((0.75, 0.125, 0.125), (0.5, 0.25, 0.25))
    table = conditional_tables(one_root(rows))[-1]
    assert (table.parents, table.rows) == (("revision",), rows)


def test_the_middle_root_is_dropped_from_the_right_axis() -> None:
    roots = tuple(RootNode(name, ("no", "yes"), (0.5, 0.5)) for name in ("one", "two", "three"))
    rows = tuple((0.5 + a / 8 + c / 16, 0.25, 0.25 - a / 8 - c / 16) for a in (0, 1) for _ in (0, 1) for c in (0, 1))
    table = conditional_tables(Network(roots, (1.0,) * 8, (WeakPointNode("seal", rows),), (), (), ()))[-1]
    assert table.parents == ("one", "three")
    assert table.rows == (rows[0], rows[1], rows[4], rows[5])


def test_history_is_an_observed_variable_scaled_to_its_best_explanation() -> None:
    network = one_root(((0.7, 0.2, 0.1),) * 2, (0.01, 0.04))
    history = next(table for table in conditional_tables(network) if table.name == "history")
    assert history.rows == ((0.25, 0.75), (1.0, 0.0))
    assert evidence(network) == {"history": "as_recorded"}


def test_a_history_that_tells_nothing_is_left_out() -> None:
    network = one_root(((0.7, 0.2, 0.1),) * 2, (0.3, 0.3))
    assert [table.name for table in conditional_tables(network)] == ["revision", "seal"]
    assert evidence(network) == {}


def test_zones_are_put_in_downhill_order() -> None:
    network = random_network(6)
    upside_down = replace(network, symptoms=tuple(reversed(network.symptoms)))
    assert conditional_tables(upside_down) == conditional_tables(network)


def test_a_circle_of_zones_is_refused() -> None:
    def zone(name: str, other: str) -> SymptomNode:
        return SymptomNode(name, ("dry", "wet"), (0.9, 1.0), (ParentLink(other, "symptom", (((1, 1), (0.5, 1)),)),))

    network = replace(one_root(((0.7, 0.2, 0.1),) * 2), symptoms=(zone("a", "b"), zone("b", "a")))
    with pytest.raises(ValueError, match="circle"):
        conditional_tables(network)


def test_two_things_of_one_name_are_named() -> None:
    check = CheckNode("seal", "root", "revision", ("yes", "no"), ((0.5, 0.5), (0.5, 0.5)))
    network = replace(one_root(((0.7, 0.2, 0.1),) * 2), checks=(check,))
    with pytest.raises(KnowledgeError, match="seal"):
        conditional_tables(network)


@pytest.mark.parametrize(("text", "name"), [("lapwing_1a", "lapwing_1a"), ("4", "v_4"), ("Direct Port", "direct_port")])
def test_any_text_becomes_a_plain_word(text: str, name: str) -> None:
    assert word(text) == name
