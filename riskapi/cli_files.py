"""Files and folders as options and arguments."""

from __future__ import annotations

from pathlib import Path

import click

CASE_FILE = click.Path(dir_okay=False, path_type=Path, allow_dash=True)
"""A case, or what is written of it; '-' is standard input or output."""

NEW_FILE = click.Path(dir_okay=False, path_type=Path)
OLD_FILE = click.Path(exists=True, dir_okay=False, path_type=Path)
FOLDER = click.Path(file_okay=False, path_type=Path)
