"""`riskapi knowledge`: is a pack in order, and what changed from one to another."""

from __future__ import annotations

from pathlib import Path

import click


@click.group()
def knowledge() -> None:
    """Work on a knowledge pack.

    \b
    riskapi knowledge check my_pack/
    riskapi knowledge diff knowledge/ my_pack/
    """


@knowledge.command()
@click.argument("directory", metavar="[DIR]", type=click.Path(path_type=Path), required=False)
def check(directory: Path | None) -> None:
    """Check the knowledge pack in DIR (by default the one in use).

    Every fault is named with file:line:column on standard error; without a fault one line says how much is in it.
    A language that lacks texts is named on standard error; these texts are shown in English.

    \b
    riskapi knowledge check
    riskapi knowledge check my_pack/
    """
    from riskapi.commands import knowledge as do

    do.check(directory)


@knowledge.command()
@click.argument("old", type=click.Path(path_type=Path))
@click.argument("new", type=click.Path(path_type=Path))
def diff(old: Path, new: Path) -> None:
    """Say what changed from the pack in OLD to the pack in NEW, and which way the risk moved.

    Every figure and record that differs is named; then every shipped sample case is assessed with both packs.

    \b
    riskapi knowledge diff knowledge/ my_pack/
    """
    from riskapi.commands import knowledge as do

    do.diff(old, new)


@knowledge.command()
@click.argument("digest", metavar="DIGEST")
@click.option("--reason", required=True, help="Why, in a sentence for the readers of the reports.")
def recall(digest: str, reason: str) -> None:
    """Recall the pack with this DIGEST (or its first 8 digits and more): it is no longer to be relied on.

    Lists every assessment that this installation made with it. They stay as they are; their reports are marked when
    they are asked for, lists and answers say so, and webhooks are told.

    \b
    riskapi knowledge recall DIGEST --reason "The lifetime of the chain is ten times too long."
    """
    from riskapi.commands import knowledge as do

    do.recall(digest, reason)
