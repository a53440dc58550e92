"""`riskapi engines`: the engine families, one family, one revision, or two revisions side by side."""

from __future__ import annotations

from datetime import UTC, datetime

import click

from riskapi.catalogue.load import load_pack
from riskapi.cli_completion import families, revisions
from riskapi.cli_language import spoken_in
from riskapi.cli_screen import waiting
from riskapi.domain.browse import FARTHEST, OLDEST, YOUNGEST, view_at, views_against
from riskapi.report.browsing import against_text, revision_text
from riskapi.report.listing import families_text, family_text
from riskapi.report.translate import pack_in_words


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
    if revision is None and (odometer, age, against) != (None, None, None):
        raise click.UsageError("--odometer, --age and --against need a REVISION.")
    pack = pack_in_words(load_pack())
    if family is None:
        click.echo(families_text(pack), nl=False)
        return
    found = pack.family(family)
    if revision is None:
        click.echo(family_text(found, pack), nl=False)
        return
    asked, today = found.revision(revision), datetime.now(UTC).date()
    if against is None:
        with waiting("progress_view"):
            view = view_at(pack, found, asked, odometer, age, today)
        click.echo(revision_text(view, pack), nl=False)
    else:
        revisions_asked = asked, found.revision(against)
        with waiting("progress_view"):
            pair = views_against(pack, found, revisions_asked, odometer, age, today)
        click.echo(against_text(pair, pack), nl=False)
