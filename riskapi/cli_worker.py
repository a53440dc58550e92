"""`riskapi worker`: deliver webhooks and keep the price feed fresh, in the background."""

from __future__ import annotations

import os
import signal
import sys
import threading

import click

from riskapi.integrations.addresses import networks_of
from riskapi.integrations.outside import Outside
from riskapi.integrations.price_feed import Keeper
from riskapi.integrations.worker import Work
from riskapi.storage import migrate, open_database


@click.command()
@click.option("--with-parent", is_flag=True, hidden=True, help="End when standard input ends.")
def worker(with_parent: bool) -> None:
    """Do in the background what requests leave to be done: deliver webhooks, fetch the price feed.

    'riskapi serve' starts one of its own. Any number may run at once, on any number of machines.
    """
    engine = open_database()
    migrate(engine)
    allowed = networks_of(os.environ.get("RISKAPI_WEBHOOK_ALLOW", ""), "RISKAPI_WEBHOOK_ALLOW")
    if with_parent:
        threading.Thread(target=_end_with_parent, daemon=True).start()
    feed = os.environ.get("RISKAPI_PRICE_FEED")
    Work(engine, Outside(allowed), Keeper(engine, feed).refresh if feed else None).run()


def _end_with_parent() -> None:
    sys.stdin.buffer.read()
    os.kill(os.getpid(), signal.SIGTERM)
