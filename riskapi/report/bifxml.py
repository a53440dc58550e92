"""The network as an XMLBIF 0.3 file, with 17 significant digits.

Source of the format: Fabio Cozman, 'The Interchange Format for Bayesian Networks', XMLBIF version 0.3
(1998). A TABLE lists the rows of the conditional table with the variable itself running fastest, then the
last GIVEN, and so on.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from riskapi.report.bif import number
from riskapi.report.tables import Table

_HEAD = """<?xml version="1.0" encoding="UTF-8"?>
<BIF VERSION="0.3" xmlns="http://www.cs.ubc.ca/labs/lci/fopi/ve/XMLBIFv0_3"
     xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance"
     xsi:schemaLocation="http://www.cs.ubc.ca/labs/lci/fopi/ve/XMLBIFv0_3
                         http://www.cs.ubc.ca/labs/lci/fopi/ve/XMLBIFv0_3/XMLBIFv0_3.xsd">
"""


def bifxml(tables: Sequence[Table], name: str = "assessment") -> str:
    """The tables (parents before children) as the text of an XMLBIF file.

    Names and states are plain words ([a-z][a-z0-9_]*), so nothing needs escaping.
    """
    lines = ["<NETWORK>", f"<NAME>{name}</NAME>"]
    for table in tables:
        lines += _variable(table)
    for table in tables:
        lines += _definition(table)
    return _HEAD + "\n".join([*lines, "</NETWORK>", "</BIF>"]) + "\n"


def _variable(table: Table) -> Iterator[str]:
    yield '<VARIABLE TYPE="nature">'
    yield f"  <NAME>{table.name}</NAME>"
    yield from (f"  <OUTCOME>{state}</OUTCOME>" for state in table.states)
    yield "</VARIABLE>"


def _definition(table: Table) -> Iterator[str]:
    yield "<DEFINITION>"
    yield f"  <FOR>{table.name}</FOR>"
    yield from (f"  <GIVEN>{parent}</GIVEN>" for parent in table.parents)
    yield "  <TABLE>"
    yield from (f"    {' '.join(number(value) for value in row)}" for row in table.rows)
    yield "  </TABLE>"
    yield "</DEFINITION>"
