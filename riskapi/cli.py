"""The command `riskapi`.

Exit status: 0 done; 1 the input is at fault, and standard error says what, where and how to mend it, every fault
at once; 2 wrong usage; 3 a fault of the program itself. Files are written whole or not at all.
"""

from __future__ import annotations

import hashlib
import os
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path
from typing import Any

import click

from riskapi import __version__, service
from riskapi.catalogue.load import load_pack
from riskapi.cli_cases import CASE_FILE, STDIO, case_of, name_of, read_file
from riskapi.cli_completion import completion, sample_names, samples
from riskapi.cli_engines import engines
from riskapi.cli_erase import erase, retain_command
from riskapi.cli_faults import ending
from riskapi.cli_kept import reprint, rescore_command
from riskapi.cli_keys import keys
from riskapi.cli_knowledge import knowledge
from riskapi.cli_language import spoken_in
from riskapi.cli_operate import backup, doctor, restore
from riskapi.cli_outcomes import outcomes
from riskapi.cli_paper import edition_of, link_of, photos_of
from riskapi.cli_screen import screen_of, waiting
from riskapi.cli_seal import seal_keys, sealed_pdf, verify
from riskapi.cli_what_if import sensitivity, what_if
from riskapi.cli_worker import worker
from riskapi.domain.assessment import Assessment
from riskapi.domain.case import Case
from riskapi.domain.checklist import Checklist
from riskapi.domain.identity import Identity
from riskapi.domain.knowledge import Pack
from riskapi.errors import CaseError
from riskapi.intake.identity import read_identity
from riskapi.report.audit import audit_files, json_bytes
from riskapi.report.calendar_file import calendar_file
from riskapi.report.checklist_content import checklist_report
from riskapi.report.checklist_result import checklist_to_json
from riskapi.report.clipboard import call_sheet as call_report
from riskapi.report.clipboard import clipboard_report
from riskapi.report.content import build_report
from riskapi.report.edition import BUYER, EDITIONS, NOTHING, AtHand, Edition
from riskapi.report.files import write_whole
from riskapi.report.plain import plain_text
from riskapi.report.result import result_to_json
from riskapi.report.screen import on_screen
from riskapi.report.sealing import midnight
from riskapi.report.sections import Report
from riskapi.report.texts import say
from riskapi.samples import sample

DEMO_CASE = "noisy_early"
DEMO_SECTIONS = ("advice", "price", "reasons", "next", "plan", "weak_points", "known")

_FILE = click.Path(dir_okay=False, path_type=Path)
_READ = click.Path(exists=True, dir_okay=False, path_type=Path)
_FOLDER = click.Path(file_okay=False, path_type=Path)


class Commands(click.Group):
    """A group whose commands end with a message and an exit status, never with a traceback."""

    def invoke(self, ctx: click.Context) -> Any:
        with ending(ctx):
            with on_screen(screen_of(sys.stdout, os.environ)):
                done = super().invoke(ctx)
            sys.stdout.flush()
            return done


@click.group(cls=Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(__version__, prog_name="riskapi")
def main() -> None:
    """From a used car's engine, its history and what was found on it to a score, a cost, a price and a PDF.

    \b
    Try it:      riskapi demo
    Before:      riskapi checklist case.json --pdf checklist.pdf
    Assess:      riskapi assess case.json --pdf report.pdf
    Browse:      riskapi engines
    Serve:       riskapi serve --port 8000

    The knowledge pack is the one that came with the program, or the folder that RISKAPI_KNOWLEDGE names.
    Exit status: 0 done, 1 the input is at fault, 2 wrong usage, 3 a fault of the program itself.
    """


# ---- assess ----------------------------------------------------------------------------------------------


@main.command()
@click.argument("case", type=CASE_FILE)
@click.option("--json", "json_file", type=CASE_FILE, help="Write the result to FILE, or to standard output for '-'.")
@click.option("--pdf", "pdf_file", type=click.Path(dir_okay=False, path_type=Path), help="Write the report to FILE.")
@click.option("--audit", "audit_folder", type=_FOLDER, help="Write all that is needed to recompute it to DIR.")
@click.option(
    "--calendar", "calendar", type=click.Path(dir_okay=False, path_type=Path), help="Write looks and services to FILE."
)
@click.option("--edition", type=click.Choice(EDITIONS), default="buyer", show_default=True, help="For whom the PDF is.")
@click.option("--without-price", is_flag=True, help="Leave advice and price out of the PDF.")
@click.option("--letterhead", type=_READ, help="A letterhead for the PDF: a JSON file with name, lines and logo.")
@click.option("--photos", type=_FOLDER, help="Folder with the pictures that findings name, for the PDF.")
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
    done = _assess(read_file(case), load_pack(), name_of(case), language)
    if pdf_file is not None:
        shown = {} if photos is None else photos_of(done.case, photos)
        done = replace(done, edition=edition_of(edition, without_price, letterhead), photos=shown)
    result = json_bytes(done.result())
    contents: dict[Path, bytes] = {}
    if json_file is not None and str(json_file) != STDIO:
        contents[json_file] = result
    for option, file, make in (("--pdf", pdf_file, done.pdf), ("--calendar", calendar, done.calendar)):
        if file is not None:
            if file in contents:
                raise click.UsageError(f"{option} names a file that another option names too.")
            with waiting("progress_draw"):
                contents[file] = make()
    if audit_folder is not None:
        contents |= {audit_folder / name: data for name, data in done.audit().items()}
        audit_folder.mkdir(parents=True, exist_ok=True)
    write_whole(contents)
    if str(json_file) == STDIO or (json_file is None and not contents):
        sys.stdout.buffer.write(result)


@dataclass(frozen=True, slots=True)
class Done:
    """An assessment with what it was made from; id and time follow from the input alone."""

    assessment: Assessment
    case: Case
    pack: Pack
    identifier: str
    language: str
    identity: Identity
    edition: Edition = BUYER
    photos: Mapping[str, bytes] = field(default_factory=dict, repr=False)

    @property
    def created_at(self) -> datetime:
        return midnight(self.case.as_of)

    def result(self) -> dict[str, object]:
        return result_to_json(self.assessment, self.identifier, self.created_at)

    def pdf(self) -> bytes:
        moves = service.sensitivity(service.base_of(self.case, self.pack))
        return sealed_pdf(self._report(AtHand(self.photos, moves)), self.created_at, json_bytes(self.result()))

    def audit(self) -> dict[str, bytes]:
        return audit_files(self.assessment, self.case, self.pack, self.result())

    def calendar(self) -> bytes:
        return calendar_file(self.assessment, self.pack, self.identifier, language=self.language)

    def summary(self) -> str:
        return plain_text(self._report(), DEMO_SECTIONS, brief=True)

    def _report(self, at_hand: AtHand = NOTHING) -> Report:
        return build_report(
            self.assessment,
            self.case,
            self.pack,
            assessment_id=self.identifier,
            created_at=self.created_at,
            language=self.language,
            identity=self.identity,
            edition=self.edition,
            at_hand=at_hand,
        )


def _assess(data: bytes, pack: Pack, name: str, language: str) -> Done:
    case = case_of(data, pack, name)
    try:
        with waiting("progress_assess"):
            assessment = service.assess(case, pack)
    except CaseError as error:
        error.add_note(name)
        raise
    identifier = hashlib.sha256(data + pack.digest.encode() + __version__.encode()).hexdigest()[:16]
    return Done(assessment, case, pack, identifier, language, read_identity(data))


@main.command()
@click.argument("case", type=CASE_FILE)
@click.option("--json", "json_file", type=CASE_FILE, help="Write it as JSON to FILE, or to standard output for '-'.")
@click.option("--pdf", "pdf_file", type=_FILE, help="Write it as PDF to FILE.")
@click.option("--clipboard", type=_FILE, help="Write a list to be filled in by hand as PDF to FILE.")
@click.option("--call-sheet", type=_FILE, help="Write a sheet for the telephone before the visit as PDF to FILE.")
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
    pack = load_pack()
    read, made = _listed(read_file(case), pack, name_of(case))
    result = json_bytes(checklist_to_json(made, pack))
    report = checklist_report(made, read, pack, language=language)
    contents: dict[Path, bytes] = {}
    if json_file is not None and str(json_file) != STDIO:
        contents[json_file] = result
    sheets: tuple[tuple[str, Path | None, Callable[[], Report]], ...] = (
        ("--pdf", pdf_file, lambda: report),
        (
            "--clipboard",
            clipboard,
            lambda: clipboard_report(made, read, pack, language=language, link=link_of(read, link)),
        ),
        ("--call-sheet", call_sheet, lambda: call_report(made, read, pack, language=language)),
    )
    for option, file, make in sheets:
        if file is not None:
            if file in contents:
                raise click.UsageError(f"{option} names a file that another option names too.")
            with waiting("progress_draw"):
                contents[file] = sealed_pdf(make(), midnight(read.as_of), result)
    write_whole(contents)
    if str(json_file) == STDIO:
        sys.stdout.buffer.write(result)
    elif not contents:
        click.echo(plain_text(report), nl=False)


def _listed(data: bytes, pack: Pack, name: str) -> tuple[Case, Checklist]:
    case = case_of(data, pack, name)
    try:
        with waiting("progress_checklist"):
            return case, service.checklist(case, pack)
    except CaseError as error:
        error.add_note(name)
        raise


# ---- serve and demo --------------------------------------------------------------------------------------


@main.command()
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to listen on.")
@click.option("--port", default=8000, show_default=True, type=click.IntRange(1, 65535), help="Port to listen on.")
@click.option("--workers", default=2, show_default=True, type=click.IntRange(1, 64), help="Processes that answer.")
@click.option(
    "--access", type=click.Choice(["alone", "keys"]), help="Whether this machine itself needs no key ('alone') or does."
)
@click.option("--worker/--no-worker", "background", default=True, help="Whether a background worker runs beside it.")
def serve(host: str, port: int, workers: int, access: str | None, background: bool) -> None:
    """Serve over HTTP; the description of the interface is at /v1/openapi.json.

    On the loopback address a single user needs no key; on any other address every request shows one (riskapi keys
    create). Assessments are kept in an embedded database, or in the one that RISKAPI_DATABASE_URL names. 'riskapi
    doctor' lists the settings and looks whether all is well.

    \b
    riskapi serve --port 8000
    riskapi serve --host 192.0.2.10 --workers 4
    """
    from riskapi.web.serve import run  # noqa: PLC0415 (no other command needs the web server)

    run(host=host, port=port, workers=workers, access=access, background=background)


@main.command()
@click.argument("name", metavar="[SAMPLE]", default=DEMO_CASE, shell_complete=samples)
@click.option(
    "--pdf",
    "pdf_file",
    type=click.Path(dir_okay=False, path_type=Path),
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
    if name not in sample_names():
        raise click.BadParameter(f"{name}: there are {', '.join(sample_names())}.", param_hint="SAMPLE")
    done = _assess(sample(f"{name}.json"), load_pack(), f"{name}.json", language)
    with waiting("progress_draw"):
        report = done.pdf()
    write_whole({pdf_file: report})
    click.echo(done.summary())
    click.echo(say("whole_report", file=str(pdf_file.resolve())))


main.add_command(completion)
main.add_command(engines)
main.add_command(keys)
main.add_command(erase)
main.add_command(retain_command)
main.add_command(reprint)
main.add_command(rescore_command)
main.add_command(knowledge)
main.add_command(outcomes)
main.add_command(seal_keys)
main.add_command(verify)
main.add_command(what_if)
main.add_command(sensitivity)
main.add_command(worker)
for command in (doctor, backup, restore):
    main.add_command(command)
