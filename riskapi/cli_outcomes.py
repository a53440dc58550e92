"""`riskapi outcomes`: what was told about the assessed cars, for whoever learns from it."""

from __future__ import annotations

import click


@click.command()
@click.option("--csv", "as_table", is_flag=True, help="As a table, one line for everything found.")
def outcomes(as_table: bool) -> None:
    """Print every outcome that was told to the service, of all accounts, the first one first.

    One JSON object per line, or a table with --csv.

    \b
    riskapi outcomes > outcomes.ndjson
    riskapi outcomes --csv > outcomes.csv
    """
    from riskapi.commands import outcomes as do

    do.outcomes(as_table)
