"""`riskapi verify` and `riskapi seal-keys`."""

from __future__ import annotations

from pathlib import Path

import click

from riskapi.cli_files import OLD_FILE


@click.command()
@click.argument("file", type=OLD_FILE)
@click.option(
    "--key", "key_file", type=OLD_FILE, help="The public key (PEM) of who made it; without, the keys known here."
)
@click.pass_context
def verify(ctx: click.Context, file: Path, key_file: Path | None) -> None:
    """Has the PDF FILE changed since it was sealed? Exit status 0: not one byte; 1: it has, or nobody here can say.

    Asks nobody. It tells nothing about the car itself.

    \b
    riskapi verify report.pdf
    riskapi verify report.pdf --key public.pem
    """
    from riskapi.commands import seal as do

    do.verify(ctx, file, key_file)


@click.group("seal-keys")
def seal_keys() -> None:
    """The keys that seal PDFs; they are in the database of the service, or in the embedded one.

    \b
    riskapi seal-keys list
    """


@seal_keys.command("list")
def show() -> None:
    """List the keys, the newest first.

    \b
    riskapi seal-keys list
    """
    from riskapi.commands import seal as do

    do.show()


@seal_keys.command()
def rotate() -> None:
    """Seal with a new key from now on. Old seals still check; the old private half is thrown away.

    \b
    riskapi seal-keys rotate
    """
    from riskapi.commands import seal as do

    do.rotate()


@seal_keys.command()
@click.argument("identifier", metavar="ID", required=False)
def export(identifier: str | None) -> None:
    """Print the public half of the key ID (default: the one in use) as PEM, for whoever wants to check offline.

    \b
    riskapi seal-keys export > public.pem
    """
    from riskapi.commands import seal as do

    do.export(identifier)
