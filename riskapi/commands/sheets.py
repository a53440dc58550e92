"""Files that a command draws, gathered before any of them is written."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import click

from riskapi.commands.screen import waiting


def draw_into(contents: dict[Path, bytes], option: str, file: Path | None, make: Callable[[], bytes]) -> None:
    """Make what the option asks for, where it names a file. Raises UsageError where another option names the same."""
    if file is None:
        return
    if file in contents:
        raise click.UsageError(f"{option} names a file that another option names too.")
    with waiting("progress_draw"):
        contents[file] = make()
