"""What `riskapi assess` and `riskapi demo` do."""

from __future__ import annotations

import hashlib
import sys
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path

import click

from riskapi import __version__, service
from riskapi.catalogue.load import load_pack
from riskapi.commands.cases import STDIO, case_of, name_of, read_file
from riskapi.commands.paper import edition_of, photos_of
from riskapi.commands.screen import waiting
from riskapi.commands.seal import sealed_pdf
from riskapi.commands.sheets import draw_into
from riskapi.domain.assessment import Assessment
from riskapi.domain.case import Case
from riskapi.domain.identity import Identity
from riskapi.domain.knowledge import Pack
from riskapi.domain.what_if import Base
from riskapi.errors import CaseError
from riskapi.intake.identity import read_identity
from riskapi.report.audit import audit_files, json_bytes
from riskapi.report.calendar_file import calendar_file
from riskapi.report.content import build_report
from riskapi.report.edition import BUYER, NOTHING, AtHand, Edition
from riskapi.report.files import write_whole
from riskapi.report.plain import plain_text
from riskapi.report.result import result_to_json
from riskapi.report.sealing import midnight
from riskapi.report.sections import Report
from riskapi.report.texts import say
from riskapi.samples import sample, sample_names

DEMO_SECTIONS = ("advice", "price", "reasons", "next", "plan", "weak_points", "known")


@dataclass(frozen=True, slots=True)
class Printed:
    """The PDF that is asked for: the file, for whom, with what, and the folder of its pictures."""

    file: Path | None
    edition: str
    without_price: bool
    letterhead: Path | None
    photos: Path | None


def assess(
    case: Path, json_file: Path | None, pdf: Printed, audit_folder: Path | None, calendar: Path | None, language: str
) -> None:
    """Assess the car that a file describes, and write what is asked for; the result to standard output where nothing
    else is."""
    done = _assess(read_file(case), load_pack(), name_of(case), language)
    if pdf.file is not None:
        shown = {} if pdf.photos is None else photos_of(done.case, pdf.photos)
        edition = edition_of(pdf.edition, pdf.without_price, pdf.letterhead)
        done = replace(done, edition=edition, photos=shown)
    result = json_bytes(done.result())
    contents: dict[Path, bytes] = {}
    if json_file is not None and str(json_file) != STDIO:
        contents[json_file] = result
    draw_into(contents, "--pdf", pdf.file, done.pdf)
    draw_into(contents, "--calendar", calendar, done.calendar)
    if audit_folder is not None:
        contents |= {audit_folder / name: data for name, data in done.audit().items()}
        audit_folder.mkdir(parents=True, exist_ok=True)
    write_whole(contents)
    if str(json_file) == STDIO or (json_file is None and not contents):
        sys.stdout.buffer.write(result)


def demo(name: str, pdf_file: Path, language: str) -> None:
    """Assess a shipped sample case: print what was found, write the report, say where it is."""
    if name not in sample_names():
        raise click.BadParameter(f"{name}: there are {', '.join(sample_names())}.", param_hint="SAMPLE")
    done = _assess(sample(f"{name}.json"), load_pack(), f"{name}.json", language)
    with waiting("progress_draw"):
        report = done.pdf()
    write_whole({pdf_file: report})
    click.echo(done.summary())
    click.echo(say("whole_report", file=str(pdf_file.resolve())))


@dataclass(frozen=True, slots=True)
class Done:
    """An assessment with what it was made from; id and time follow from the input alone."""

    assessment: Assessment
    base: Base
    identifier: str
    language: str
    identity: Identity
    edition: Edition = BUYER
    photos: Mapping[str, bytes] = field(default_factory=dict, repr=False)

    @property
    def case(self) -> Case:
        return self.base.case

    @property
    def pack(self) -> Pack:
        return self.base.pack

    @property
    def created_at(self) -> datetime:
        return midnight(self.case.as_of)

    def result(self) -> dict[str, object]:
        return result_to_json(self.assessment, self.identifier, self.created_at)

    def pdf(self) -> bytes:
        moves = service.sensitivity(self.base)
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
            base = service.base_of(case, pack)
            assessment = service.assess_from(base)
    except CaseError as error:
        error.add_note(name)
        raise
    identifier = hashlib.sha256(data + pack.digest.encode() + __version__.encode()).hexdigest()[:16]
    return Done(assessment, base, identifier, language, read_identity(data))
