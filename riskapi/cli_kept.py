"""`riskapi reprint` and `riskapi rescore`: assessments that this installation keeps, whose ever they are."""

from __future__ import annotations

import json
import sys
from dataclasses import replace
from pathlib import Path

import click

from riskapi.cli_faults import sentences
from riskapi.cli_language import spoken_in
from riskapi.cli_screen import counted, waiting
from riskapi.desk import AUDIT, REPORT, WATCH, Desk, open_desk, printed, rescore
from riskapi.errors import RiskapiError
from riskapi.report.audit import json_bytes
from riskapi.report.files import write_whole
from riskapi.report.language import spoken_units
from riskapi.report.rescore import rescored_json, rescored_text
from riskapi.storage.operator import all_assessments, owner_of

_FILE = click.Path(dir_okay=False, path_type=Path)


def desk_of(identifier: str) -> Desk:
    """The desk of the account that has this assessment. Raises NotFound."""
    desk = open_desk()
    return replace(desk, repository=desk.repository.of(owner_of(desk.repository.engine, identifier)))


@click.command()
@click.argument("identifier", metavar="[ID]", required=False)
@click.option("--pdf", type=_FILE, help="Write the report to FILE.")
@click.option("--audit", type=_FILE, help="Write the audit to FILE, a ZIP.")
@click.option("--calendar", type=_FILE, help="Write looks and services to FILE.")
@click.option("--unmarked", is_flag=True, help="As it was before its knowledge was recalled.")
@click.option("--all", "everything", is_flag=True, help="Print and keep whatever was not printed yet.")
@spoken_in
def reprint(
    identifier: str | None,
    pdf: Path | None,
    audit: Path | None,
    calendar: Path | None,
    language: str,
    unmarked: bool,
    everything: bool,
) -> None:
    """Print the assessment ID again, byte for byte, from what is kept.

    What was printed before is handed out as it was. What was not is made from the kept case and the kept knowledge
    pack, if this program still comes to the kept result; else it says so and prints nothing. Before an update of the
    program, --all prints what nobody has asked for yet.

    \b
    riskapi reprint ID --pdf report.pdf
    riskapi reprint ID --pdf bericht.pdf --language de --units mi
    riskapi reprint --all
    """
    wanted = [(REPORT, pdf), (AUDIT, audit), (WATCH, calendar)]
    if everything:
        if identifier or any(file for _, file in wanted):
            raise click.UsageError("--all goes without ID and without files.")
        _print_all(language)
        return
    if identifier is None or not any(file for _, file in wanted):
        raise click.UsageError("Give an ID and at least one of --pdf, --audit and --calendar.")
    desk = desk_of(identifier)
    asked, units = [(kind, file) for kind, file in wanted if file is not None], spoken_units()
    with waiting("progress_print"):
        made = {
            file: printed(desk, identifier, kind, language, units, unmarked=unmarked).content for kind, file in asked
        }
    write_whole(made)


def _print_all(language: str) -> None:
    desk, done = open_desk(), 0
    failed: list[RiskapiError] = []
    for identifier, account in counted(list(all_assessments(desk.repository.engine)), "progress_print"):
        mine = replace(desk, repository=desk.repository.of(account))
        try:
            for kind in (REPORT, AUDIT, WATCH):
                printed(mine, identifier, kind, language, spoken_units())
            done += 1
        except RiskapiError as error:
            failed.append(error)
    for fault in failed:
        click.echo("\n".join(sentences(fault)), err=True)
    click.echo(f"{done} assessments are printed and kept; {len(failed)} are not.")
    if failed:
        click.get_current_context().exit(1)


@click.command("rescore")
@click.argument("identifier", metavar="ID")
@click.option("--json", "as_json", is_flag=True, help="Write JSON instead of a table.")
@spoken_in
def rescore_command(identifier: str, as_json: bool, language: str) -> None:  # noqa: ARG001
    """Assess the car of the assessment ID again with the knowledge pack in use, and keep that as its next version.

    Both are shown side by side. Where the pack and the program are those it was made with, nothing is made.

    \b
    riskapi rescore ID
    riskapi rescore ID --language de
    """
    with waiting("progress_rescore"):
        done = rescore(desk_of(identifier), identifier)
    sides = [json.loads(each.result_json) for each in (done.before, done.after)]
    if as_json:
        sys.stdout.buffer.write(json_bytes(rescored_json(sides[0], sides[1])))
    else:
        click.echo(rescored_text(sides[0], sides[1]), nl=False)
