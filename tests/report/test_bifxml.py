"""The XMLBIF file is well-formed and keeps every number."""

from __future__ import annotations

from itertools import chain
from xml.etree import ElementTree

from riskapi.report.bifxml import bifxml
from riskapi.report.tables import Table

TABLES = (
    Table("care", ("careful", "neglected"), (), ((0.1, 0.9),)),
    Table("seal", ("sound", "faulty"), ("care",), ((1 / 3, 2 / 3), (1e-9, 1 - 1e-9))),
)


def test_variables_and_their_states_are_listed_in_order() -> None:
    network = ElementTree.fromstring(bifxml(TABLES).encode())  # noqa: S314 (our own text)
    space = {"b": network.tag[1:].split("}")[0]}
    names = [item.text for item in network.iterfind("b:NETWORK/b:VARIABLE/b:NAME", space)]
    outcomes = [item.text for item in network.iterfind("b:NETWORK/b:VARIABLE/b:OUTCOME", space)]
    assert names == ["care", "seal"]
    assert outcomes == ["careful", "neglected", "sound", "faulty"]


def test_a_table_runs_over_the_variable_fastest_and_keeps_its_doubles() -> None:
    network = ElementTree.fromstring(bifxml(TABLES).encode())  # noqa: S314
    space = {"b": network.tag[1:].split("}")[0]}
    given = [item.text for item in network.iterfind("b:NETWORK/b:DEFINITION/b:GIVEN", space)]
    numbers = [item.text or "" for item in network.iterfind("b:NETWORK/b:DEFINITION/b:TABLE", space)]
    assert given == ["care"]
    assert [[float(n) for n in text.split()] for text in numbers] == [
        list(chain.from_iterable(table.rows)) for table in TABLES
    ]
