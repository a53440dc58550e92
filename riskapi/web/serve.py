"""Running the service with gunicorn: the knowledge pack is read once, before the workers are forked."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from flask import Flask
from gunicorn.app.base import BaseApplication

from riskapi.errors import Fault, InputError
from riskapi.storage import matching_key
from riskapi.storage.retention import retain
from riskapi.web.access import ALONE, BY_KEY, is_loopback
from riskapi.web.app import create_app
from riskapi.web.state import state_of

_GRACE = 30  # [s] for a request, and for the running ones when the server is told to stop


class _Server(BaseApplication):  # type: ignore[misc]
    """gunicorn, configured from here instead of from its command line."""

    def __init__(self, app: Flask, options: dict[str, Any]) -> None:
        self.app = app
        self.options = options
        super().__init__()

    def load_config(self) -> None:
        for name, value in self.options.items():
            if name in self.cfg.settings:  # older releases do not have every one of them
                self.cfg.set(name, value)

    def load(self) -> Flask:
        return self.app


def run(host: str = "127.0.0.1", port: int = 8000, workers: int = 2, access: str | None = None) -> None:
    """Serve until told to stop (SIGTERM or SIGINT). Raises KnowledgeError or InputError before the port is opened.

    access: 'alone' or 'keys'; whoever listens beyond the loopback address needs keys.
    """
    if access == ALONE and not is_loopback(host):
        mend = "Leave it out, or listen on 127.0.0.1."
        raise InputError([Fault("--access", f"Without keys only this machine is served, not {host}.", mend)])
    app = create_app({"ACCESS": access or (ALONE if is_loopback(host) else BY_KEY)})
    engine = state_of(app).repository.engine
    matching_key(engine)  # a setting at fault is told now, not by the first request that needs it
    retain(engine, datetime.now(UTC))
    options = {
        "bind": f"[{host}]:{port}" if ":" in host else f"{host}:{port}",
        "workers": workers,
        "preload_app": True,
        "limit_request_line": 8190,  # a reference and a cursor of the longest kind, percent-encoded, fit in
        "timeout": _GRACE,
        "graceful_timeout": _GRACE,
        "post_fork": lambda _arbiter, _worker: _forget_connections(app),
        "accesslog": None,
        "control_socket_disable": True,  # nothing is opened beside the port
    }
    _Server(app, options).run()


def _forget_connections(app: Flask) -> None:
    """A worker must not use the connections of the process it was forked from."""
    state_of(app).repository.engine.dispose(close=False)
