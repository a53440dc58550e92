"""`riskapi worker`: deliver webhooks and keep the price feed fresh, in the background."""

from __future__ import annotations

import click


@click.command()
@click.option("--with-parent", is_flag=True, hidden=True, help="End when standard input ends.")
def worker(with_parent: bool) -> None:
    """Do in the background what requests leave to be done: deliver webhooks, fetch the price feed.

    'riskapi serve' starts one of its own. Any number may run at once, on any number of machines.

    \b
    riskapi worker
    """
    from riskapi.commands import worker as do

    do.worker(with_parent)
