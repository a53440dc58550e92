"""The network as a BIF file (Bayesian-network interchange format), with 17 significant digits.

Source of the format: the 'Interchange Format for Bayesian Networks', version 0.15 (1998), as general
libraries read it today: one `variable` block and one `probability` block per variable.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product

from riskapi.report.tables import Table


def bif(tables: Sequence[Table], name: str = "assessment") -> str:
    """The tables (parents before children) as the text of a BIF file."""
    states = {table.name: table.states for table in tables}
    blocks = [f"network {name} {{\n}}\n"]
    blocks += [_variable(table) for table in tables]
    blocks += [_probability(table, states) for table in tables]
    return "".join(blocks)


def number(value: float) -> str:
    """A chance with 17 significant digits: enough to read back the very same double."""
    return f"{value:.17g}"


def _variable(table: Table) -> str:
    values = ", ".join(table.states)
    return f"variable {table.name} {{\n  type discrete [ {len(table.states)} ] {{ {values} }};\n}}\n"


def _probability(table: Table, states: dict[str, tuple[str, ...]]) -> str:
    given = f" | {', '.join(table.parents)}" if table.parents else ""
    return f"probability ( {table.name}{given} ) {{\n{''.join(_lines(table, states))}}}\n"


def _lines(table: Table, states: dict[str, tuple[str, ...]]) -> Iterator[str]:
    combinations = product(*(states[parent] for parent in table.parents))
    for combination, row in zip(combinations, table.rows, strict=True):
        label = f"({', '.join(combination)})" if combination else "table"
        yield f"  {label} {', '.join(number(value) for value in row)};\n"
