"""Reading a case for a command: from a file, or from standard input."""

from __future__ import annotations

import sys
from pathlib import Path

from riskapi.domain.case import Case
from riskapi.domain.knowledge import Pack
from riskapi.errors import CaseError
from riskapi.intake import BYTES_LIMIT, read_case
from riskapi.report.terminal_texts import tell

STDIO = "-"


def case_of(data: bytes, pack: Pack, name: str) -> Case:
    """The case in these bytes. Raises CaseError with the name of the file."""
    try:
        return read_case(data, pack)
    except CaseError as error:
        error.add_note(name)
        raise


def name_of(path: Path) -> str:
    """What a fault calls the file."""
    return tell("standard_input") if str(path) == STDIO else str(path)


def read_file(path: Path) -> bytes:
    """The bytes of a file or of standard input, no more than intake reads and one (so that it can refuse them)."""
    if str(path) == STDIO:
        return sys.stdin.buffer.read(BYTES_LIMIT + 1)
    with path.open("rb") as file:
        return file.read(BYTES_LIMIT + 1)
