"""What `riskapi what-if` and `riskapi sensitivity` do: other plans, prices or budget beside the figures as they stand,
and what moves these most."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from riskapi import service
from riskapi.catalogue.load import load_pack
from riskapi.commands.cases import case_of, name_of, read_file
from riskapi.commands.screen import waiting
from riskapi.intake.what_if import changes_from_json, written_changes
from riskapi.report.audit import json_bytes
from riskapi.report.language import DEFAULT, METRIC, speaking
from riskapi.report.sensitivity import sensitivity_json, sensitivity_text
from riskapi.report.translate import pack_in_words
from riskapi.report.what_if import both_json, what_if_text


def what_if(case: Path, settings: tuple[str, ...], *, as_json: bool) -> None:
    """Other plans, prices or budget for the car in the file CASE, beside the figures as the case stands."""
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


def sensitivity(case: Path, *, as_json: bool) -> None:
    """What moves the expected cost of the car in the file CASE most: findings, assumptions, doubtful lifetimes."""
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
