"""`riskapi reprint` and `riskapi rescore`: assessments that this installation keeps, whose ever they are."""

from __future__ import annotations

from pathlib import Path

import click

from riskapi.cli_files import NEW_FILE
from riskapi.cli_language import spoken_in


@click.command()
@click.argument("identifier", metavar="[ID]", required=False)
@click.option("--pdf", type=NEW_FILE, help="Write the report to FILE.")
@click.option("--audit", type=NEW_FILE, help="Write the audit to FILE, a ZIP.")
@click.option("--calendar", type=NEW_FILE, help="Write looks and services to FILE.")
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
    from riskapi.commands import kept as do

    files = do.Wanted(pdf, audit, calendar).files()
    if everything:
        if identifier or files:
            raise click.UsageError("--all goes without ID and without files.")
        do.print_all(language)
    elif identifier is None or not files:
        raise click.UsageError("Give an ID and at least one of --pdf, --audit and --calendar.")
    else:
        do.reprint(identifier, files, language, unmarked=unmarked)


@click.command()
@click.argument("identifier", metavar="ID")
@click.option("--json", "as_json", is_flag=True, help="Write JSON instead of a table.")
@spoken_in
def rescore(identifier: str, as_json: bool, language: str) -> None:  # noqa: ARG001
    """Assess the car of the assessment ID again with the knowledge pack in use, and keep that as its next version.

    Both are shown side by side. Where the pack and the program are those it was made with, nothing is made.

    \b
    riskapi rescore ID
    riskapi rescore ID --language de
    """
    from riskapi.commands import kept as do

    do.rescore_again(identifier, as_json=as_json)
