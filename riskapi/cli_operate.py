"""`riskapi doctor`, `backup` and `restore`: for whoever runs the service."""

from __future__ import annotations

from pathlib import Path

import click

from riskapi.cli_files import NEW_FILE


@click.command()
def doctor() -> None:
    """Show the settings and look whether everything is as it should be; exit status 1 where it is not.

    \b
    riskapi doctor
    """
    from riskapi.commands import operate as do

    do.doctor()


@click.command()
@click.argument("file", type=NEW_FILE)
def backup(file: Path) -> None:
    """Write everything in the database to a new FILE, while the service runs.

    The file holds personal data, keys that sign and secrets of webhooks: keep it as you keep the database.

    \b
    riskapi backup riskapi-2026-03-14.gz
    """
    from riskapi.commands import operate as do

    do.backup(file)


@click.command()
@click.argument("file", type=NEW_FILE)
def restore(file: Path) -> None:
    """Read a FILE that 'riskapi backup' wrote into an empty database, SQLite or PostgreSQL; all or nothing.

    \b
    RISKAPI_DATABASE_URL=postgresql://user@host/database riskapi restore riskapi-2026-03-14.gz
    """
    from riskapi.commands import operate as do

    do.restore(file)
