"""`riskapi what-if`: other plans, prices or budget beside the figures as they stand. `riskapi sensitivity`: what moves
them most."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from riskapi import service
from riskapi.catalogue.load import load_pack
from riskapi.cli_cases import CASE_FILE, case_of, name_of, read_file
from riskapi.cli_language import spoken_in
from riskapi.cli_screen import waiting
from riskapi.intake.what_if import changes_from_json, written_changes
from riskapi.report.audit import json_bytes
from riskapi.report.language import DEFAULT, METRIC, speaking
from riskapi.report.sensitivity import sensitivity_json, sensitivity_text
from riskapi.report.translate import pack_in_words
from riskapi.report.what_if import both_json, what_if_text


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
    pack, wanted = load_pack(), written_changes(settings)
    asked = case_of(read_file(case), pack, name_of(case))
    changes = changes_from_json(wanted, asked, pack)
    with waiting("progress_what_if"):
        base = service.base_of(asked, pack)
        figures = service.what_if(base, service.Changes()), service.what_if(base, changes)
    currency = base.terms.level.currency
    if as_json:
        sys.stdout.buffer.write(json_bytes(both_json(*figures, currency)))
    else:
        click.echo(what_if_text(*figures, currency), nl=False)


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
    pack = load_pack()
    asked = case_of(read_file(case), pack, name_of(case))
    with waiting("progress_sensitivity"):
        base = service.base_of(asked, pack)
        found, currency = service.sensitivity(base), base.terms.level.currency
    if as_json:
        with speaking(DEFAULT, METRIC):
            sys.stdout.buffer.write(json_bytes(sensitivity_json(found, pack, currency)))
    else:
        click.echo(sensitivity_text(found, pack_in_words(pack), currency), nl=False)
