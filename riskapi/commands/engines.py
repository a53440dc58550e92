"""What `riskapi engines` does: the engine families, one family, one revision, or two revisions side by side."""

from __future__ import annotations

from datetime import UTC, datetime

import click

from riskapi.catalogue.load import load_pack
from riskapi.commands.screen import waiting
from riskapi.domain.browse import view_at, views_against
from riskapi.report.browsing import against_text, revision_text
from riskapi.report.listing import families_text, family_text
from riskapi.report.translate import pack_in_words


def engines(
    family: str | None,
    revision: str | None,
    odometer: float | None,
    age: float | None,
    against: str | None,
) -> None:
    """List the engine families, or the revisions of a family, or what is known about one revision, or about two."""
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
