"""`riskapi assess`, `checklist` and `demo`."""

from __future__ import annotations

from pathlib import Path

import click

from riskapi.cli_completion import samples
from riskapi.cli_files import CASE_FILE, FOLDER, NEW_FILE, OLD_FILE
from riskapi.cli_language import spoken_in
from riskapi.domain.choices import EDITIONS

DEMO_CASE = "noisy_early"


@click.command()
@click.argument("case", type=CASE_FILE)
@click.option("--json", "json_file", type=CASE_FILE, help="Write the result to FILE, or to standard output for '-'.")
@click.option("--pdf", "pdf_file", type=NEW_FILE, help="Write the report to FILE.")
@click.option("--audit", "audit_folder", type=FOLDER, help="Write all that is needed to recompute it to DIR.")
@click.option("--calendar", "calendar", type=NEW_FILE, help="Write looks and services to FILE.")
@click.option("--edition", type=click.Choice(EDITIONS), default="buyer", show_default=True, help="For whom the PDF is.")
@click.option("--without-price", is_flag=True, help="Leave advice and price out of the PDF.")
@click.option("--letterhead", type=OLD_FILE, help="A letterhead for the PDF: a JSON file with name, lines and logo.")
@click.option("--photos", type=FOLDER, help="Folder with the pictures that findings name, for the PDF.")
@spoken_in
def assess(
    case: Path,
    json_file: Path | None,
    pdf_file: Path | None,
    audit_folder: Path | None,
    calendar: Path | None,
    edition: str,
    without_price: bool,
    letterhead: Path | None,
    photos: Path | None,
    language: str,
) -> None:
    """Assess the car that the file CASE describes ('-' reads standard input).

    Without an option the result goes to standard output. The same input gives the same bytes.

    \b
    riskapi assess case.json
    riskapi assess case.json --json result.json --pdf report.pdf --audit audit/ --calendar watch.ics
    riskapi assess case.json --pdf bericht.pdf --language de
    riskapi assess case.json --pdf report.pdf --edition inspector --without-price --photos photos/ --letterhead us.json
    riskapi assess - --json - < case.json
    """
    from riskapi.commands import assess as do

    printed = do.Printed(pdf_file, edition, without_price, letterhead, photos)
    do.assess(case, json_file, printed, audit_folder, calendar, language)


@click.command()
@click.argument("case", type=CASE_FILE)
@click.option("--json", "json_file", type=CASE_FILE, help="Write it as JSON to FILE, or to standard output for '-'.")
@click.option("--pdf", "pdf_file", type=NEW_FILE, help="Write it as PDF to FILE.")
@click.option("--clipboard", type=NEW_FILE, help="Write a list to be filled in by hand as PDF to FILE.")
@click.option("--call-sheet", type=NEW_FILE, help="Write a sheet for the telephone before the visit as PDF to FILE.")
@click.option("--link", help="Address of the same list for a phone, as a code on the clipboard list.")
@spoken_in
def checklist(
    case: Path,
    json_file: Path | None,
    pdf_file: Path | None,
    clipboard: Path | None,
    call_sheet: Path | None,
    link: str | None,
    language: str,
) -> None:
    """What to look at on the car that the file CASE describes ('-' reads standard input), in the order of a visit.

    No findings are needed; "visit" in the case says how many minutes there are, with which equipment and consents.
    Without an option the list goes to standard output as text.

    \b
    riskapi checklist case.json
    riskapi checklist case.json --pdf checklist.pdf --json checklist.json
    riskapi checklist case.json --call-sheet call.pdf --clipboard clipboard.pdf
    """
    from riskapi.commands import checklist as do

    do.checklist(case, json_file, do.Sheets(pdf_file, clipboard, call_sheet, link), language)


@click.command()
@click.argument("name", metavar="[SAMPLE]", default=DEMO_CASE, shell_complete=samples)
@click.option(
    "--pdf",
    "pdf_file",
    type=NEW_FILE,
    default=Path("riskapi_demo.pdf"),
    show_default=True,
    help="Where to write the report.",
)
@spoken_in
def demo(name: str, pdf_file: Path, language: str) -> None:
    """A full run on a shipped sample case: print what was found, write the report, say where it is.

    \b
    riskapi demo
    riskapi demo port_injected --language de
    """
    from riskapi.commands import assess as do

    do.demo(name, pdf_file, language)
