"""What `riskapi reprint` and `riskapi rescore` do: assessments that this installation keeps, whose ever they are."""

from __future__ import annotations

import json
import sys
from dataclasses import dataclass, replace
from pathlib import Path

import click

from riskapi.commands.faults import sentences
from riskapi.commands.screen import counted, waiting
from riskapi.desk import AUDIT, REPORT, WATCH, Desk, open_desk, printed, rescore
from riskapi.errors import RiskapiError
from riskapi.report.audit import json_bytes
from riskapi.report.files import write_whole
from riskapi.report.format import number
from riskapi.report.language import spoken_units
from riskapi.report.rescore import rescored_json, rescored_text
from riskapi.report.terminal_texts import tell
from riskapi.storage.operator import all_assessments, owner_of


def desk_of(identifier: str) -> Desk:
    """The desk of the account that has this assessment. Raises NotFound."""
    desk = open_desk()
    return replace(desk, repository=desk.repository.of(owner_of(desk.repository.engine, identifier)))


@dataclass(frozen=True, slots=True)
class Wanted:
    """The files that a kept assessment is printed to."""

    pdf: Path | None
    audit: Path | None
    calendar: Path | None

    def files(self) -> list[tuple[str, Path]]:
        """What is asked for, with its file."""
        kinds = ((REPORT, self.pdf), (AUDIT, self.audit), (WATCH, self.calendar))
        return [(kind, file) for kind, file in kinds if file is not None]


def reprint(identifier: str, files: list[tuple[str, Path]], language: str, *, unmarked: bool) -> None:
    """Print an assessment again, byte for byte, from what is kept."""
    desk, units = desk_of(identifier), spoken_units()
    with waiting("progress_print"):
        made = {
            file: printed(desk, identifier, kind, language, units, unmarked=unmarked).content for kind, file in files
        }
    write_whole(made)


def print_all(language: str) -> None:
    """Print and keep whatever was not printed yet; exit status 1 where some of it cannot be."""
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
    click.echo(tell("printed_all", done=number(done), failed=number(len(failed))))
    if failed:
        click.get_current_context().exit(1)


def rescore_again(identifier: str, *, as_json: bool) -> None:
    """Assess the car of an assessment again with the knowledge pack in use, and keep that as its next version."""
    with waiting("progress_rescore"):
        done = rescore(desk_of(identifier), identifier)
    sides = [json.loads(each.result_json) for each in (done.before, done.after)]
    if as_json:
        sys.stdout.buffer.write(json_bytes(rescored_json(sides[0], sides[1])))
    else:
        click.echo(rescored_text(sides[0], sides[1]), nl=False)
