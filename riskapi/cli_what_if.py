"""`riskapi what-if`: other plans, prices or budget beside the figures as they stand. `riskapi sensitivity`: what moves
them most."""

from __future__ import annotations

from pathlib import Path

import click

from riskapi.cli_files import CASE_FILE
from riskapi.cli_language import spoken_in


@click.command("what-if")
@click.argument("case", type=CASE_FILE)
@click.option("--set", "settings", multiple=True, metavar="NAME=QUANTITY", help="What is different; may be repeated.")
@click.option("--json", "as_json", is_flag=True, help="Write JSON instead of a table.")
@spoken_in
def what_if(case: Path, settings: tuple[str, ...], as_json: bool, language: str) -> None:  # noqa: ARG001
    """Other plans, prices or budget for the car in the file CASE, beside the figures as the case stands.

    NAME is ownership.years, .annual_distance or .repair_budget, or market.labour_rate, .parts_index, .tax,
    .asking_price or .sound_value; a QUANTITY is a number with its unit.

    \b
    riskapi what-if case.json --set ownership.years="5 years" --set market.labour_rate="120 EUR/h"
    """
    from riskapi.commands import what_if as do

    do.what_if(case, settings, as_json=as_json)


@click.command()
@click.argument("case", type=CASE_FILE)
@click.option("--json", "as_json", is_flag=True, help="Write JSON with every bar instead of a drawing of the widest.")
@spoken_in
def sensitivity(case: Path, as_json: bool, language: str) -> None:  # noqa: ARG001
    """What moves the expected cost of the car in the file CASE most: findings, assumptions, doubtful lifetimes.

    One thing is changed at a time: a finding left out, an assumption varied, a lifetime taken short and long.

    \b
    riskapi sensitivity case.json
    riskapi sensitivity case.json --language de
    """
    from riskapi.commands import what_if as do

    do.sensitivity(case, as_json=as_json)
