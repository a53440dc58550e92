"""`riskapi what-if`: other plans, prices or budget beside the figures as they stand."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from riskapi import service
from riskapi.catalogue.load import load_pack
from riskapi.cli_cases import CASE_FILE, case_of, name_of, read_file
from riskapi.intake.what_if import changes_from_json, written_changes
from riskapi.report.audit import json_bytes
from riskapi.report.what_if import both_json, what_if_text


@click.command("what-if")
@click.argument("case", type=CASE_FILE)
@click.option("--set", "settings", multiple=True, metavar="NAME=QUANTITY", help="What is different; may be repeated.")
@click.option("--json", "as_json", is_flag=True, help="Write JSON instead of a table.")
def what_if(case: Path, settings: tuple[str, ...], as_json: bool) -> None:
    """Other plans, prices or budget for the car in the file CASE, beside the figures as the case stands.

    NAME is ownership.years, .annual_distance or .repair_budget, or market.labour_rate, .parts_index, .tax,
    .asking_price or .sound_value; a QUANTITY is a number with its unit.

    \b
    riskapi what-if case.json --set ownership.years="5 years" --set market.labour_rate="120 EUR/h"
    """
    pack, wanted = load_pack(), written_changes(settings)
    asked = case_of(read_file(case), pack, name_of(case))
    base, changes = service.base_of(asked, pack), changes_from_json(wanted, asked, pack)
    figures, currency = (
        (service.what_if(base, service.Changes()), service.what_if(base, changes)),
        base.terms.level.currency,
    )
    if as_json:
        sys.stdout.buffer.write(json_bytes(both_json(*figures, currency)))
    else:
        click.echo(what_if_text(*figures, currency), nl=False)
