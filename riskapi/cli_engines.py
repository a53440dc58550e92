"""`riskapi engines`: the engine families, one family, one revision, or two revisions side by side."""

from __future__ import annotations

import click

from riskapi.cli_completion import families, revisions
from riskapi.cli_language import spoken_in
from riskapi.domain.choices import FARTHEST, OLDEST, YOUNGEST


@click.command()
@click.argument("family", required=False, shell_complete=families)
@click.argument("revision", required=False, shell_complete=revisions)
@click.option("--odometer", type=click.FloatRange(0.0, FARTHEST), help="Look at it at this odometer [km].")
@click.option("--age", type=click.FloatRange(YOUNGEST, OLDEST), help="Look at it at this age [years].")
@click.option(
    "--against", metavar="REVISION", shell_complete=revisions, help="Put another revision of the family beside it."
)
@spoken_in
def engines(
    family: str | None,
    revision: str | None,
    odometer: float | None,
    age: float | None,
    against: str | None,
    language: str,  # noqa: ARG001 (spoken already)
) -> None:
    """List the engine families, or the revisions of a FAMILY, or what is known about one REVISION.

    Without --age it is as old as one from the middle of its span is today; without --odometer it was driven the
    pack's distance a year.

    \b
    riskapi engines
    riskapi engines lapwing
    riskapi engines lapwing lapwing_1a --odometer 120000 --age 8
    riskapi engines lapwing lapwing_1a --against lapwing_2a
    riskapi engines lapwing lapwing_1a --language de --units mi
    """
    from riskapi.commands import engines as do

    do.engines(family, revision, odometer, age, against)
