"""What `riskapi worker` does: deliver webhooks and keep the price feed fresh, in the background."""

from __future__ import annotations

import logging
import os
import signal
import sys
import threading

from riskapi.integrations.outside import Outside
from riskapi.integrations.price_feed import Keeper
from riskapi.integrations.worker import Work
from riskapi.storage import migrate, open_database
from riskapi.web import logs
from riskapi.web.settings import Settings

_LOG = logging.getLogger(__name__)


def worker(with_parent: bool) -> None:
    """Do in the background what requests leave to be done: deliver webhooks, fetch the price feed."""
    settings = Settings.from_environment()
    logs.start(settings.log_level)
    if with_parent:
        threading.Thread(target=_end_with_parent, daemon=True).start()
    try:
        _work(settings)
    except Exception:  # noqa: BLE001 (logged in full, and the end)
        _LOG.exception("the worker ends")
        sys.exit(1)  # no other status: the server beside it reads meanings into some


def _work(settings: Settings) -> None:
    engine = open_database(settings.database_url)
    migrate(engine)
    refresh = Keeper(engine, settings.price_feed).refresh if settings.price_feed else None
    Work(engine, Outside(settings.webhook_allow), refresh).run()


def _end_with_parent() -> None:
    while os.read(0, 1_024):  # not sys.stdin: its lock would outlive this thread
        pass
    os.kill(os.getpid(), signal.SIGTERM)
