"""What `riskapi checklist` does."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path

import click

from riskapi import service
from riskapi.catalogue.load import load_pack
from riskapi.commands.cases import STDIO, case_of, name_of, read_file
from riskapi.commands.paper import link_of
from riskapi.commands.screen import waiting
from riskapi.commands.seal import sealed_pdf
from riskapi.commands.sheets import draw_into
from riskapi.domain.case import Case
from riskapi.domain.checklist import Checklist
from riskapi.domain.knowledge import Pack
from riskapi.errors import CaseError
from riskapi.report.audit import json_bytes
from riskapi.report.checklist_content import checklist_report
from riskapi.report.checklist_result import checklist_to_json
from riskapi.report.clipboard import call_sheet, clipboard_report
from riskapi.report.files import write_whole
from riskapi.report.plain import plain_text
from riskapi.report.sealing import midnight
from riskapi.report.sections import Report


@dataclass(frozen=True, slots=True)
class Sheets:
    """The PDFs that are asked for, and the address of the same list for a phone."""

    pdf: Path | None
    clipboard: Path | None
    call_sheet: Path | None
    link: str | None


def checklist(case: Path, json_file: Path | None, sheets: Sheets, language: str) -> None:
    """Say what to look at on the car that a file describes: in the files asked for, else as text."""
    pack = load_pack()
    read, made = _listed(read_file(case), pack, name_of(case))
    result = json_bytes(checklist_to_json(made, pack))
    contents: dict[Path, bytes] = {}
    if json_file is not None and str(json_file) != STDIO:
        contents[json_file] = result

    def sealed(report: Report) -> bytes:
        return sealed_pdf(report, midnight(read.as_of), result)

    def by_hand() -> bytes:
        return sealed(clipboard_report(made, read, pack, language=language, link=link_of(read, sheets.link)))

    report = checklist_report(made, read, pack, language=language)
    draw_into(contents, "--pdf", sheets.pdf, lambda: sealed(report))
    draw_into(contents, "--clipboard", sheets.clipboard, by_hand)
    draw_into(
        contents, "--call-sheet", sheets.call_sheet, lambda: sealed(call_sheet(made, read, pack, language=language))
    )
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
